package takeoff

import (
	"fmt"

	"patchfirst/knowledge/figures"
	"patchfirst/rules/source"
)

// Check asks about what was told and seems unlikely: a door of 40 m². file is the name of the job file in the question.
func (c *Case) Check(file string) error {
	usual := c.Base.Coefficient("usual_area", c.Decision.First.Method, c.Answers)
	if usual == nil || c.Given.Sure {
		return nil
	}
	s := &Sums{Case: c, Method: c.Decision.First.Method}
	s.area()
	area := s.Line("area")
	bounds, err := figures.ParseQuantity(usual.Is, figures.Area)
	if s.err != nil || err != nil || area == nil {
		return s.err
	}
	if got := area.Result.Point; c.sized() && (got < bounds.Low || got > bounds.High) {
		asks := fmt.Sprintf("%s of painted area is unlikely for %q: usual is %g to %g m²", area.Result, c.Element.Name,
			bounds.Low, bounds.High)
		const fix = "Check the figure and its unit. If it is right, add sure: true under takeoff of the part."
		at := c.Element.Takeoff
		if at == nil {
			return fmt.Errorf("%s. %s", asks, fix)
		}
		d := &source.Document{File: file}
		d.Fail(at, fix, "%s", asks)
		return d.Problems.Err()
	}
	return nil
}

// sized tells whether some size of the part is known.
func (c *Case) sized() bool {
	for _, key := range []string{"area", "width", "length"} {
		if _, ok := c.Given.values[key]; ok {
			return true
		}
	}
	_, ok := c.Answers["area"]
	return ok
}
