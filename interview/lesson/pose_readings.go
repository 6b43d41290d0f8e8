package lesson

import (
	"fmt"
	"math"
	"strings"

	"patchfirst/explain"
	"patchfirst/interview/patches"
	"patchfirst/rules"
)

// coatAll is to go on with the whole part on the strength of the patches, which no record allows by itself.
const coatAll = "coat_all"

// nextSteps are what can follow a patch record.
var nextSteps = []struct{ id, label string }{
	{patches.Extend, "Go on with this method's patches: too little is known."},
	{patches.LookAgain, "Rinse, let it dry, and look again for harm."},
	{patches.Confirm, "Make one larger patch to confirm it, then begin."},
	{patches.TryNext, "Give this method up here, and patch the next one."},
	{patches.Stop, "Stop, and call the right specialist."},
	{coatAll, "Treat the whole part now."},
}

func (s *School) readPatches(q *Question, e *Exercise) error {
	if q.Text == "" {
		q.Text = "What do the test patches say: what comes next?"
	}
	record, err := patches.ReadRecord(s.Base, e.Pos.File, e.Log)
	if err != nil {
		return err
	}
	site := patches.Site{Decision: q.Decision}
	if layers, ok := q.Answers["layers"]; ok {
		site.Layers = layers.Hi
	}
	reading := patches.Read(s.figures, s.Base, record, q.Answers, site)
	if len(record.Patches) == 0 {
		return q.cannot(e, "Add an entry of kind patch.", "no patch was put on")
	}
	if len(reading.Questions) > 0 {
		return q.cannot(e, "Mend the log.", "the log leaves a question in entry %d: %s", reading.Questions[0].Entry, reading.Questions[0].Ask)
	}
	q.Facts = recordWords(s.Base, record)
	harmed := reading.Next.Harm
	q.Changed = []string{otherwise[reading.Next.Do]}
	why := s.patchReasons(q)
	for _, n := range nextSteps {
		o := &Option{ID: n.id, Label: n.label}
		switch {
		case n.id == reading.Next.Do:
			o.Worth, o.Right, o.Says, o.Why = 1, true, nextWords(reading.Next), why
		case n.id == coatAll:
			o.Grave, o.Says, o.Why = true, "a patch is no proof for the whole part", why
		case harmed && (n.id == patches.Confirm || n.id == patches.Extend):
			o.Grave, o.Says = true, "harm was seen: this method goes no further"
		case n.id == patches.Confirm:
			o.Says = "the patches do not prove it yet"
		case n.id == patches.Stop:
			o.Worth, o.Says = notNeeded, "it does no harm, and is not needed yet"
		default:
			o.Says = "not what the record says"
		}
		q.Options = append(q.Options, o)
	}
	return nil
}

// otherwise says what another record would have led to, by what this one leads to.
var otherwise = map[string]string{
	patches.Confirm:   "Harm on one of the patches would have stopped it.",
	patches.LookAgain: "A look a day or more later, when it is dry, proves it if there is no harm, and ends it if there is.",
	patches.Extend:    "A look that finds no coat left would have moved it on.",
	patches.TryNext:   "Without harm, and with no coat left, it would have been confirmed.",
	patches.Stop:      "Without harm on the last method that is open, it would have gone on.",
}

// patchReasons are the rules that ask for test patches here.
func (s *School) patchReasons(q *Question) []explain.Said {
	var asking []*rules.Rule
	for _, a := range q.Decision.First.Notes {
		if a.Note.Kind == rules.Step && a.Note.Stage == "test" && a.Sure {
			asking = append(asking, a.Rule)
		}
	}
	return said(asking)
}

func nextWords(n patches.Next) string {
	method := "this method"
	if n.Method != nil {
		method = n.Method.Label
	}
	switch n.Do {
	case patches.Confirm:
		return fmt.Sprintf("%s came clean and did no harm when dry", method)
	case patches.LookAgain:
		return fmt.Sprintf("%s came clean; harm shows only when it is dry", method)
	case patches.Extend:
		return fmt.Sprintf("the record does not settle %s", method)
	case patches.TryNext:
		return fmt.Sprintf("the next in turn is %s", method)
	}
	return "nothing is left that may be tried here"
}

// recordWords tells a record line by line.
func recordWords(b *rules.Base, r *patches.Record) (lines []string) {
	for _, p := range r.Patches {
		line := fmt.Sprintf("Patch %s: %s", p.Label, b.Method(p.Method).Label)
		if p.Thickness > 0 {
			line += fmt.Sprintf(", %g mm thick", p.Thickness)
		}
		if p.Area != "" {
			line += fmt.Sprintf(", on the %s area", p.Area)
		}
		if p.Surface != nil {
			line += fmt.Sprintf(", surface %g °C", *p.Surface)
		}
		lines = append(lines, line+".")
		for _, l := range p.Looks {
			lines = append(lines, "  "+lookWords(p, l))
		}
	}
	return lines
}

func lookWords(p *patches.Patch, l patches.Look) string {
	words := []string{fmt.Sprintf("after %s", patches.Duration(math.Round(l.Entry.At.Sub(p.Put.At).Minutes())))}
	if l.LayersLeft != nil {
		left := "clean"
		if *l.LayersLeft > 0 {
			left = fmt.Sprintf("%g coats left", *l.LayersLeft)
		}
		words = append(words, left)
	}
	if l.Lifts != "" {
		words = append(words, map[string]string{patches.Easily: "lifts easily", patches.WithWork: "lifts with work", patches.Not: "does not lift"}[l.Lifts])
	}
	switch {
	case l.Harmed():
		words = append(words, "harm: "+l.Harm)
	case l.Harm == patches.NoHarm:
		words = append(words, "no harm seen")
	}
	if l.PH != nil {
		words = append(words, fmt.Sprintf("pH %g", *l.PH))
	}
	if l.Edges != "" {
		words = append(words, "edges "+l.Edges)
	}
	if l.Passes > 1 {
		words = append(words, fmt.Sprintf("put on %d times", l.Passes))
	}
	if l.Off {
		words = append(words, "paste taken off")
	}
	return strings.Join(words, ", ") + "."
}
