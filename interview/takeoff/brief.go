package takeoff

import (
	"fmt"
	"strings"

	"patchfirst/interview/job"
	"patchfirst/knowledge/figures"
	"patchfirst/rules"
)

// Brief says the sums of the first choice in one line: the points of the figures that people ask first. It is empty where no
// size of the part was told, where the sums cannot be done, or where what was told cannot be read.
func Brief(b *rules.Base, j *job.Job, e *job.Element, answers rules.Answers, d *rules.Decision) string {
	if e.Takeoff == nil {
		return ""
	}
	c, err := NewCase(b, "", j, e)
	if err != nil || !c.sized() {
		return ""
	}
	c.Decide(answers, d)
	s, err := c.Sum(d.First.Method)
	if err != nil || s.Line("hours") == nil {
		return ""
	}
	var parts []string
	for _, figure := range []struct{ id, words string }{{"area", "%s"}, {"paste", "%s of paste"}, {"hours", "%s attended"},
		{"days", "%s days"}, {"waste", "%s of waste"}, {"cost", "%s"}} {
		if l := s.Line(figure.id); l != nil {
			point := figures.Quantity{Range: figures.Exactly(l.Result.Point), Unit: l.Result.Unit}
			parts = append(parts, fmt.Sprintf(figure.words, figures.InCurrency(point.String(), c.Given.Currency)))
		}
	}
	return "about " + strings.Join(parts, ", ") + ". The ranges are wide: see takeoff."
}
