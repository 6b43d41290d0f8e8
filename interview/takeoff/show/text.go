package show

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/interview/paper"
	"patchfirst/interview/takeoff"
	"patchfirst/knowledge/figures"
)

// page is a paper with the units that its quantities are written in.
type page struct {
	paper.Paper
	us bool
}

func (b *Book) page() *page { return &page{paper.Paper{Base: b.Advice.Base, Width: b.Width}, b.US} }

// section begins a section with its name.
func (p *page) section(name string) {
	p.Line("")
	p.Para("  ", "%s", name)
}

// quantity writes a quantity in the units and the currency that are asked for.
func (p *page) quantity(s *takeoff.Sums, q figures.Quantity) string {
	if p.us {
		q = q.InUS()
	}
	return figures.InCurrency(q.String(), s.Case.Given.Currency)
}

// exact writes a quantity that is only a point.
func (p *page) exact(s *takeoff.Sums, v float64, unit figures.Unit) string {
	return p.quantity(s, figures.Quantity{Range: figures.Exactly(v), Unit: unit})
}

// input writes an input of a working: as it was given, or to six figures, which are enough to follow it.
func (p *page) input(s *takeoff.Sums, q figures.Quantity, given bool) string {
	if p.us && !given {
		q = q.InUS()
	}
	return figures.InCurrency(q.Worked(), s.Case.Given.Currency)
}

// sums writes the figures of a part and a method, by section. Each stands behind the name to ask for it.
func (p *page) sums(s *takeoff.Sums, matters []takeoff.Matter) {
	p.Title(s.Case.Element.Name+": "+s.Method.Label, "-")
	section := ""
	for _, l := range s.Lines {
		if l.Section != section {
			section = l.Section
			p.section(section)
		}
		text := l.Title + ": " + p.quantity(s, l.Result)
		if l.Note != "" {
			text += "; " + l.Note
		}
		const column = 22
		lead := "  " + l.ID
		p.Para(lead+strings.Repeat(" ", max(1, column-len(lead))), "%s", text)
	}
	p.matters(s, matters)
	p.list("Order before the first day", orders(p, s))
	p.list("Where the inputs came from", origins(s))
	p.list("To know", s.Notes)
	p.list("What would make it better", s.Missing)
	p.chart(s)
}

// matters says which inputs move the last figure most.
func (p *page) matters(s *takeoff.Sums, matters []takeoff.Matter) {
	const shown = 3
	if len(matters) == 0 {
		return
	}
	p.section("What moves it most")
	for _, m := range matters[:min(shown, len(matters))] {
		p.Para("  - ", "%s, %s: alone it moves the sum from %s to %s (%s).", words(m.Leaf.ID),
			p.quantity(s, m.Leaf.Quantity),
			p.exact(s, min(m.Low, m.High), m.Quantity.Unit), p.exact(s, max(m.Low, m.High), m.Quantity.Unit), m.Leaf.From)
	}
}

// origins names the inputs by what stands behind them, the strongest first.
func origins(s *takeoff.Sums) []string {
	heads := []struct {
		kind takeoff.Kind
		head string
	}{{takeoff.Told, "told in the job"}, {takeoff.Shown, "shown by proven test patches"}, {takeoff.Answered,
		"answered"}, {takeoff.Planned, "planning ranges, for want of better"}}
	var all []string
	for _, h := range heads {
		var names []string
		for _, l := range s.Leaves {
			if l.Kind == h.kind {
				names = append(names, words(l.ID))
			}
		}
		if names != nil {
			all = append(all, h.head+": "+strings.Join(names, ", "))
		}
	}
	return all
}

// orders lists what must be there before the work starts; who takes the waste away is asked then as well.
func orders(p *page, s *takeoff.Sums) []string {
	var all []string
	for _, b := range s.Bill() {
		q := figures.Quantity{Range: figures.Exactly(b.Line.Result.Point), Unit: b.Line.Result.Unit}
		text := fmt.Sprintf("%s: %s", b.Material.Label, p.quantity(s, q))
		if b.Line.Note != "" {
			text += ", " + b.Line.Note
		}
		all = append(all, text)
	}
	return all
}

func words(id string) string { return strings.ReplaceAll(id, "_", " ") }

func (p *page) list(head string, texts []string) {
	if len(texts) == 0 {
		return
	}
	p.section(head)
	for _, t := range texts {
		p.Para("  - ", "%s", t)
	}
}

// working writes how a figure was made, and then those it was made from, each once.
func (p *page) working(s *takeoff.Sums, id string) {
	p.Title(s.Case.Element.Name+": "+s.Method.Label, "-")
	queue := []string{id}
	for i := 0; i < len(queue); i++ {
		l := s.Line(queue[i])
		p.Line("")
		p.Para("", "%s: %s", l.ID, p.quantity(s, l.Result))
		p.Para("  ", "%s", l.Title)
		p.Para("  = ", "%s", l.Formula.Words)
		for _, in := range l.Inputs {
			p.Para("  * ", "%s: %s; %s", in.Name, p.input(s, in.Quantity, l.Uses[in.Name] == ""), in.From)
			if used := l.Uses[in.Name]; used != "" && !slices.Contains(queue, used) {
				queue = append(queue, used)
			}
		}
		if len(l.Matters) > 0 {
			m := l.Matters[0]
			p.Para("  ", "moved most by: %s, by %s alone", m.Input, p.exact(s, m.By, l.Result.Unit))
		}
		if l.Formula.Caution != "" {
			p.Para("  ", "note: %s", l.Formula.Caution)
		}
		p.Para("  ", "source: %s", l.Formula.Source)
	}
}
