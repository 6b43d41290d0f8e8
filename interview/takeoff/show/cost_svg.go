package show

import (
	"fmt"
	"math"
	"strings"

	"patchfirst/interview/paper"
	"patchfirst/interview/takeoff"
	"patchfirst/knowledge/figures"
)

// dashes tell curves apart without colour.
var dashes = []string{"", "8 4", "2 3", "10 3 2 3", "4 4", "14 4"}

// CostSVG draws the cost of the methods of a part by the number of coats.
func CostSVG(c *takeoff.Comparison) (string, error) {
	if len(c.Curves) == 0 {
		return "", fmt.Errorf("there are no methods of %s to draw", c.Case.Element.Name)
	}
	const width, height, left, right, top, bottom = 1040., 560., 80., 430., 60., 60.
	most := 0.
	for _, curve := range c.Curves {
		for _, v := range curve.Cost {
			if !math.IsNaN(v) {
				most = math.Max(most, v)
			}
		}
	}
	step := niceStep(most / 6)
	most = math.Ceil(most/step) * step
	coats := c.Curves[0].Coats
	x := func(v float64) float64 {
		return left + (v-coats[0])/(coats[len(coats)-1]-coats[0])*(width-left-right)
	}
	y := func(v float64) float64 { return height - bottom - v/most*(height-top-bottom) }
	what := "Cost, " + c.Case.Given.Currency
	if c.By != "cost" {
		what = "Hours paid"
	}
	d := &paper.Drawing{Scale: 1}
	title := fmt.Sprintf("%s by coats: %s", what, c.Case.Element.Name)
	d.Begin(width, height, title, curveWords(c, what))
	d.Add(`<rect width="%g" height="%g" fill="#fff"/>`, width, height)
	d.Text(10, 24, 16, "start", title)
	d.Add(`<path d="M%g %gV%gH%g" fill="none" stroke="#000" stroke-width="1.5"/>`, left, top, height-bottom, width-right)
	for v := 0.; v <= most+step/2; v += step {
		d.Add(`<path d="M%g %.1fh-5" stroke="#000" stroke-width="1"/>`, left, y(v))
		d.Text(left-8, y(v)+4, 12, "end", figures.Rounded(v))
	}
	for _, v := range coats {
		d.Text(x(v), height-bottom+18, 12, "middle", fmt.Sprint(v))
	}
	d.Text((left+width-right)/2, height-bottom+42, 13, "middle", "number of coats; every other input at its likeliest")
	for i, curve := range c.Curves {
		var points []string
		for k, v := range curve.Cost {
			if !math.IsNaN(v) {
				points = append(points, fmt.Sprintf("%.1f,%.1f", x(curve.Coats[k]), y(v)))
			}
		}
		wide := 1.5
		if i >= len(dashes) {
			wide = 3
		}
		d.Add(`<polyline points="%s" fill="none" stroke="#000" stroke-width="%g" stroke-dasharray="%s"/>`,
			strings.Join(points, " "), wide, dashes[i%len(dashes)])
		at := top + 22*float64(i)
		d.Add(`<path d="M%g %gh40" stroke="#000" stroke-width="%g" stroke-dasharray="%s"/>`, width-right+15, at, wide,
			dashes[i%len(dashes)])
		d.Text(width-right+62, at+4, 12, "start", letter(i)+" "+curve.Method.Label)
	}
	if l := leafOf(c.Rows[0], "coats"); l != nil && l.Known() && l.Point >= coats[0] && l.Point <= coats[len(coats)-1] {
		d.Add(`<path d="M%.1f %gV%g" stroke="#000" stroke-width="0.7" stroke-dasharray="1 4"/>`, x(l.Point), top,
			height-bottom)
		d.Text(x(l.Point), top-6, 12, "middle", "this part")
	}
	d.Add("</svg>")
	return d.String(), nil
}

func leafOf(s *takeoff.Sums, id string) *takeoff.Leaf {
	for _, l := range s.Leaves {
		if l.ID == id {
			return l
		}
	}
	return nil
}

// curveWords says in words what the curves show: each at its first and its last.
func curveWords(c *takeoff.Comparison, what string) string {
	var parts []string
	for i, curve := range c.Curves {
		last := len(curve.Cost) - 1
		parts = append(parts, fmt.Sprintf("%s, %s: from %s at %g coats to %s at %g.", letter(i), curve.Method.Label,
			figures.Rounded(curve.Cost[0]), curve.Coats[0], figures.Rounded(curve.Cost[last]), curve.Coats[last]))
	}
	return what + ". " + strings.Join(parts, " ")
}

// niceStep rounds a step of an axis up to 1, 2 or 5 times a power of ten.
func niceStep(v float64) float64 {
	if v <= 0 {
		return 1
	}
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, k := range []float64{1, 2, 5, 10} {
		if v <= k*power {
			return k * power
		}
	}
	return 10 * power
}
