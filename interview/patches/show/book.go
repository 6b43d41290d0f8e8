package show

import (
	"errors"
	"fmt"
	"io"
	"time"

	"patchfirst/explain"
	"patchfirst/interview/job"
	"patchfirst/interview/paper"
	"patchfirst/interview/patches"
	"patchfirst/rules"
)

// Book is a job whose parts are decided, with the figures of test patches and what the logs say of them.
type Book struct {
	Advice  *explain.Advice
	Figures *patches.Figures
	Width   int

	records  []*patches.Record
	counted  map[*job.Element]counted
	readings []*patches.Reading
}

// counted are the answers about a part with its coats as thick as they were measured.
type counted struct {
	answers rules.Answers
	film    *patches.Film
}

// Open reads the logs of a job, then decides its parts. Mistakes in the logs are returned together, before the time that
// deciding takes; path is the name of the job file in them.
func Open(b *rules.Base, j *job.Job, path string, width int) (*Book, error) {
	book := &Book{Width: width}
	var wrong []error
	for _, e := range j.Elements {
		r, err := patches.ReadRecord(b, path, e.Log)
		book.records, wrong = append(book.records, r), append(wrong, err)
	}
	err := errors.Join(wrong...)
	if err != nil {
		return nil, err
	}
	if book.Figures, err = patches.LoadFigures(b); err != nil {
		return nil, err
	}
	if book.Advice, err = explain.AdviseByRules(b, j); err != nil {
		return nil, err
	}
	book.counted = map[*job.Element]counted{}
	for _, p := range book.Advice.Parts {
		answers, film, err := patches.Counted(b, path, p.Element, p.Answers)
		wrong = append(wrong, err)
		book.counted[p.Element] = counted{answers, film}
	}
	return book, errors.Join(wrong...)
}

func (b *Book) plan(p explain.Part) *patches.Plan {
	c := b.counted[p.Element]
	plan := patches.NewPlan(b.Advice.Base, b.Figures, c.answers, p.Decision)
	plan.Film = c.film
	return plan
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
	return paper.Data(out, patches.PlanSchema, b.Advice.Job.Title, parts)
}

// Read judges the patches of every part, as of a time.
func (b *Book) Read(now time.Time) {
	for i, p := range b.Advice.Parts {
		site := patches.Site{Decision: p.Decision, Now: now, Figures: b.Figures}
		if layers, ok := p.Answers["layers"]; ok {
			site.Layers = layers.Hi
		}
		b.readings = append(b.readings, patches.Read(b.Figures, b.Advice.Base, b.records[i], b.counted[p.Element].answers, site))
	}
}

// Readings writes what the patches of every part show, after Read.
func (b *Book) Readings(out io.Writer) error {
	left := b.readings
	return b.each(out, func(p explain.Part) error {
		r := left[0]
		left = left[1:]
		return Reading(out, b.Advice.Base, b.Figures, p.Element.Name, r, b.Width)
	})
}

// ReadingsJSON writes what the patches show as data, after Read.
func (b *Book) ReadingsJSON(out io.Writer) error {
	type part struct {
		Name string `json:"name"`
		patches.ReadingData
	}
	parts := []part{}
	for i, p := range b.Advice.Parts {
		parts = append(parts, part{p.Element.Name, b.readings[i].Data()})
	}
	return paper.Data(out, patches.ReadingSchema, b.Advice.Job.Title, parts)
}
