package show

import (
	"fmt"
	"io"
	"strings"

	"patchfirst/explain"
	"patchfirst/interview/patches"
)

// Cards writes a card to fill in for each patch of a plan, in lines of at most width runes.
func Cards(out io.Writer, name string, plan *patches.Plan, width int) error {
	p := &paper{width: width}
	for _, c := range plan.Candidates {
		for _, pp := range c.Patches {
			p.card(name, plan, c, pp)
		}
	}
	_, err := io.WriteString(out, p.String())
	return err
}

func (p *paper) card(name string, plan *patches.Plan, c patches.Planned, pp patches.PlannedPatch) {
	rule := strings.Repeat("=", p.width)
	p.line(rule)
	p.para("", "PATCH %s   %s", pp.Label, name)
	p.para("", "%s, on %s, %g × %g mm", c.Outcome.Method.Label, areaWords(pp.Area), plan.Size.Width, plan.Size.Height)
	p.line("")
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
	for _, t := range plan.Again.Look {
		looks = append(looks, "dry, after "+patches.Duration(t))
	}
	for _, look := range looks {
		p.line("")
		p.para("", "LOOK %s", look)
		p.field("Date, time, who")
		p.field("Surface °C")
		p.field("Coats left, in the worst place")
		p.para("", "Lifts: [ ] easily  [ ] with work  [ ] not")
		p.para("", "Harm: [ ] none seen  [ ] grain  [ ] face soft  [ ] colour  [ ] other")
		p.field("pH, and of the control spot")
	}
	p.line("")
	p.para("", "Decision: [ ] confirm  [ ] go on  [ ] next method  [ ] stop and call")
	p.field("Signed")
}

// field writes a name with a line to write on.
func (p *paper) field(name string) {
	const least = 12
	lines := strings.Split(strings.TrimRight(explain.Wrap(name+":", "", "  ", max(least, p.width-least-1)), "\n"), "\n")
	last := lines[len(lines)-1]
	lines[len(lines)-1] = last + " " + strings.Repeat("_", max(least, p.width-len([]rune(last))-1))
	p.line(strings.Join(lines, "\n"))
}
