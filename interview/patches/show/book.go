package show

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"

	"patchfirst/explain"
	"patchfirst/interview/patches"
)

// Book is a job whose parts are decided, with the figures of test patches.
type Book struct {
	Advice  *explain.Advice
	Figures *patches.Figures
	Path    string // of the job file, for mistakes in its logs
	Width   int
}

// NewBook reads the figures.
func NewBook(a *explain.Advice, path string, width int) (*Book, error) {
	f, err := patches.LoadFigures(a.Base)
	return &Book{a, f, path, width}, err
}

func (b *Book) plan(p explain.Part) *patches.Plan {
	return patches.NewPlan(b.Advice.Base, b.Figures, p.Answers, p.Decision)
}

// Plans writes the plan of every part.
func (b *Book) Plans(out io.Writer) error {
	return b.each(out, func(p explain.Part) error {
		return Plan(out, b.Advice.Base, b.Figures, p.Element.Name, b.plan(p), b.Width)
	})
}

// Cards writes the cards of every part.
func (b *Book) Cards(out io.Writer) error {
	return b.each(out, func(p explain.Part) error { return Cards(out, p.Element.Name, b.plan(p), b.Width) })
}

// each writes the parts with an empty line between, and the limits of all advice at the end.
func (b *Book) each(out io.Writer, write func(explain.Part) error) error {
	for _, p := range b.Advice.Parts {
		if err := write(p); err != nil {
			return err
		}
		if _, err := io.WriteString(out, "\n"); err != nil {
			return err
		}
	}
	_, err := io.WriteString(out, explain.Wrap(explain.Limits, "", "", b.Width))
	return err
}

// SVG draws the patches of the only part.
func (b *Book) SVG(out io.Writer) error {
	if len(b.Advice.Parts) != 1 {
		return fmt.Errorf("a drawing shows one part, and the job has %d: name one with --element", len(b.Advice.Parts))
	}
	p := b.Advice.Parts[0]
	plan := b.plan(p)
	if plan.Why != "" {
		return errors.New(plan.Why)
	}
	return SVG(out, p.Element.Name, plan)
}

// PlansJSON writes the plans as data.
func (b *Book) PlansJSON(out io.Writer) error {
	type part struct {
		Name string `json:"name"`
		patches.PlanData
	}
	parts := []part{}
	for _, p := range b.Advice.Parts {
		parts = append(parts, part{p.Element.Name, b.plan(p).Data()})
	}
	return data(out, patches.PlanSchema, b.Advice.Job.Title, parts)
}

// read reads the log of every part. All mistakes are returned together.
func (b *Book) read(now time.Time) ([]*patches.Reading, []patches.Evidence, error) {
	var readings []*patches.Reading
	var evidence []patches.Evidence
	var wrong []error
	for _, p := range b.Advice.Parts {
		r, err := patches.ReadRecord(b.Advice.Base, b.Path, p.Element.Log)
		if err != nil {
			wrong = append(wrong, err)
			continue
		}
		site := patches.Site{Decision: p.Decision, Now: now}
		if layers, ok := p.Answers["layers"]; ok {
			site.Layers = layers.Hi
		}
		readings = append(readings, patches.Read(b.Figures, b.Advice.Base, r, p.Answers, site))
		evidence = append(evidence, r.Evidence(b.Figures.Layout.Dead))
	}
	return readings, evidence, errors.Join(wrong...)
}

// Readings writes what the patches of every part show.
func (b *Book) Readings(out io.Writer, now time.Time) error {
	readings, _, err := b.read(now)
	if err != nil {
		return err
	}
	i := 0
	return b.each(out, func(p explain.Part) error {
		i++
		return Reading(out, b.Advice.Base, b.Figures, p.Element.Name, readings[i-1], b.Width)
	})
}

// ReadingsJSON writes what the patches show as data.
func (b *Book) ReadingsJSON(out io.Writer, now time.Time) error {
	readings, evidence, err := b.read(now)
	if err != nil {
		return err
	}
	type part struct {
		Name string `json:"name"`
		patches.ReadingData
	}
	parts := []part{}
	for i, p := range b.Advice.Parts {
		parts = append(parts, part{p.Element.Name, readings[i].Data(evidence[i])})
	}
	return data(out, patches.ReadingSchema, b.Advice.Job.Title, parts)
}

func data(out io.Writer, schema, job string, elements any) error {
	enc := json.NewEncoder(out)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(map[string]any{"schema": schema, "job": job, "elements": elements})
}

// Recorded tells that an entry was written.
func Recorded(out io.Writer, k *patches.Kept) error {
	_, err := fmt.Fprintf(out, "Recorded as entry %d of %s, at %s.\n", k.ID, explain.Clean(k.Element), k.At.Format(time.RFC3339))
	return err
}

// RecordedJSON tells it as data.
func RecordedJSON(out io.Writer, k *patches.Kept) error {
	return json.NewEncoder(out).Encode(struct {
		Schema string `json:"schema"`
		*patches.Kept
	}{patches.EntrySchema, k})
}
