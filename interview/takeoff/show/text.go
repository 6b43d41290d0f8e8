package show

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/explain"
	"patchfirst/interview/takeoff"
	"patchfirst/knowledge/figures"
)

// paper is text in lines of at most width runes.
type paper struct {
	strings.Builder
	width int
	us    bool
}

func (p *paper) line(s string) { p.WriteString(s + "\n") }

// para writes a paragraph behind a lead, its further lines indented as far as the lead.
func (p *paper) para(lead, format string, args ...any) {
	text := explain.Clean(fmt.Sprintf(format, args...))
	p.WriteString(explain.Wrap(text, lead, strings.Repeat(" ", len([]rune(lead))), p.width))
}

// title writes a name, underlined.
func (p *paper) title(s string) {
	p.para("", "%s", s)
	p.line(strings.Repeat("-", min(p.width, len([]rune(s)))))
}

// quantity writes a quantity in the units and the currency that are asked for.
func (p *paper) quantity(s *takeoff.Sums, q figures.Quantity) string {
	if p.us {
		q = q.InUS()
	}
	return figures.InCurrency(q.String(), s.Case.Given.Currency)
}

// input writes an input of a working: six figures are enough to follow it.
func (p *paper) input(s *takeoff.Sums, q figures.Quantity) string {
	return figures.InCurrency(q.Worked(), s.Case.Given.Currency)
}

// sums writes the figures of a part and a method, by section. Each stands behind the name to ask for it.
func (p *paper) sums(s *takeoff.Sums) {
	p.title(s.Case.Element.Name + ": " + s.Method.Label)
	section := ""
	for _, l := range s.Lines {
		if l.Section != section {
			section = l.Section
			p.line("\n  " + section)
		}
		text := l.Title + ": " + p.quantity(s, l.Result)
		if l.Note != "" {
			text += "; " + l.Note
		}
		const column = 16
		lead := "  " + l.ID
		lead += strings.Repeat(" ", max(1, column-len(lead)))
		p.para(lead, "%s", text)
	}
	p.list("To know", s.Notes)
	p.list("What would make it better", s.Missing)
}

func (p *paper) list(head string, texts []string) {
	if len(texts) == 0 {
		return
	}
	p.line("\n  " + head)
	for _, t := range texts {
		p.para("  - ", "%s", t)
	}
}

// working writes how a figure was made, and then those it was made from, each once.
func (p *paper) working(s *takeoff.Sums, id string) {
	p.title(s.Case.Element.Name + ": " + s.Method.Label)
	queue := []string{id}
	for i := 0; i < len(queue); i++ {
		l := s.Line(queue[i])
		p.line("")
		p.para("", "%s: %s", l.ID, p.quantity(s, l.Result))
		p.para("  ", "%s", l.Title)
		p.para("  = ", "%s", l.Formula.Words)
		for _, in := range l.Inputs {
			p.para("  * ", "%s: %s; %s", in.Name, p.input(s, in.Quantity), in.From)
			if used := l.Uses[in.Name]; used != "" && !slices.Contains(queue, used) {
				queue = append(queue, used)
			}
		}
		if len(l.Matters) > 0 {
			m := l.Matters[0]
			p.para("  ", "moved most by: %s, by %s alone", m.Input, p.quantity(s, figures.Quantity{Range: figures.Exactly(m.By), Unit: l.Result.Unit}))
		}
		if l.Formula.Caution != "" {
			p.para("  ", "note: %s", l.Formula.Caution)
		}
		p.para("  ", "source: %s", l.Formula.Source)
	}
}
