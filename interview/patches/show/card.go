package show

import (
	"fmt"
	"io"
	"strings"

	"patchfirst/explain"
	"patchfirst/interview/paper"
	"patchfirst/interview/patches"
)

// Cards writes a card to fill in for each patch of a plan, in lines of at most width runes.
func Cards(out io.Writer, name string, plan *patches.Plan, width int) error {
	p := &writer{&paper.Paper{Width: width}}
	for _, c := range plan.Candidates {
		for _, pp := range c.Patches {
			p.card(name, plan, c, pp)
		}
	}
	_, err := io.WriteString(out, p.String())
	return err
}

func (p *writer) card(name string, plan *patches.Plan, c patches.Planned, pp patches.PlannedPatch) {
	rule := strings.Repeat("=", p.Width)
	p.Line(rule)
	p.Para("", "PATCH %s   %s", pp.Label, name)
	p.Para("", "%s, on %s, %g × %g mm", c.Outcome.Method.Label, areaWords(pp.Area), plan.Size.Width, plan.Size.Height)
	p.Line("")
	thickness := "Wet thickness"
	if pp.Thickness > 0 {
		thickness = fmt.Sprintf("Wet thickness (plan %g mm)", pp.Thickness)
	}
	for _, field := range []string{"Exact place", "Photo numbers", "Put on: date, time", "Product class and safety sheet no.", thickness, "Cover", "Air °C, humidity %", "Surface °C", "pH before, and of the control spot"} {
		p.field(field)
	}
	const quick = 10 // minutes within which nobody writes more than once
	var looks []string
	switch n := len(pp.Look); {
	case n == 0:
		looks = []string{"when the coat lifts"}
	case pp.Look[n-1] < quick:
		looks = []string{"at " + durations(pp.Look) + ": ring the first at which it lifts"}
	default:
		for _, t := range pp.Look {
			looks = append(looks, "after "+patches.Duration(t))
		}
	}
	wet := len(looks)
	for _, t := range plan.Again.Look {
		looks = append(looks, "dry, after "+patches.Duration(t))
	}
	for i, look := range looks {
		p.Line("")
		p.Para("", "LOOK %s", look)
		p.field("Date, time, who")
		p.field("Surface °C")
		p.field("Coats left, in the worst place")
		if i < wet && pp.Thickness > 0 {
			p.Para("", "Edges: [ ] wet  [ ] drying  [ ] dry. Put on so far: [ ] once  [ ] twice")
		}
		p.Para("", "Lifts: [ ] easily  [ ] with work  [ ] not")
		p.Para("", "Harm: [ ] none seen  [ ] grain  [ ] face soft  [ ] colour  [ ] other")
		p.field("pH, and of the control spot")
	}
	p.Line("")
	p.Para("", "Decision: [ ] confirm  [ ] go on  [ ] next method  [ ] stop and call")
	p.field("Signed")
}

// field writes a name with a line to write on.
func (p *writer) field(name string) {
	const least = 12
	lines := strings.Split(strings.TrimRight(explain.Wrap(name+":", "", "  ", max(least, p.Width-least-1)), "\n"), "\n")
	last := lines[len(lines)-1]
	lines[len(lines)-1] = last + " " + strings.Repeat("_", max(least, p.Width-len([]rune(last))-1))
	p.Line(strings.Join(lines, "\n"))
}
