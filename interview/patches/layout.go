package patches

import (
	"fmt"
	"math"
	"slices"
)

// patches sets the patches of a candidate, one on the worst area and one on the soundest. The first choice has the thin
// end of its range on both, and the thick end on the worst; a fallback has the middle. Where many would be damage there is
// one.
func (p *Plan) patches(c *Planned) {
	add := func(area string, thickness float64) {
		pp := PlannedPatch{Label: fmt.Sprintf("%s%d", c.Letter, len(c.Patches)+1), Area: area, Thickness: thickness, Look: c.Range.Look}
		if p.Temperature != nil {
			pp.Look = c.Range.looks(*p.Temperature, p.Warmth)
		}
		c.Patches = append(c.Patches, pp)
	}
	middle := (c.Range.Thin + c.Range.Thick) / 2
	switch {
	case p.Few != "":
		add(Worst, middle)
	case c.First && c.Range.Thick > c.Range.Thin:
		add(Worst, c.Range.Thin)
		add(Worst, c.Range.Thick)
		add(Soundest, c.Range.Thin)
	default:
		add(Worst, middle)
		add(Soundest, middle)
	}
}

// looks are the planned looking times at a surface of so many °C: never later than the stop, and for one at which no paste
// is put on those of the coldest that will do.
func (r Range) looks(temperature float64, w Warmth) []float64 {
	look := slices.Clone(r.Look)
	for i := range look {
		if r.Thin > 0 {
			look[i] = handy(w.Planned(look[i], max(temperature, w.NoneBelow)))
		}
		if r.Stop > 0 {
			look[i] = min(look[i], r.Stop)
		}
	}
	look = slices.Compact(look)
	if len(look) == 1 && len(r.Look) > 1 { // the stop is no time for a first look
		return []float64{min(r.Look[0], look[0]/2), look[0]}
	}
	return look
}

// handy rounds a time to what a person would look at the clock for: under two hours to 5 minutes, else to an hour.
func handy(minutes float64) float64 {
	step := 60.0
	switch {
	case minutes < 5:
		return minutes
	case minutes < 120:
		step = 5
	}
	return math.Round(minutes/step) * step
}
