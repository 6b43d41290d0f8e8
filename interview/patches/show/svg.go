package show

import (
	"fmt"
	"io"
	"strings"

	"patchfirst/interview/paper"
	"patchfirst/interview/patches"
)

// hatches tell the methods apart without colour: lines at angles, a grid, dots.
var hatches = []string{
	`<path d="M0 0V8" stroke="#000" stroke-width="1"/>`,
	`<path d="M0 4H8" stroke="#000" stroke-width="1"/>`,
	`<path d="M0 8L8 0" stroke="#000" stroke-width="1"/>`,
	`<circle cx="4" cy="4" r="1.2" fill="#000"/>`,
}

// SVG draws the patches of a plan to scale: one unit is a millimetre. It is black on white, with a hatch and a label for
// each method. Letters grow with the patches, so that a sheet of any of them can be read.
func SVG(out io.Writer, name string, plan *patches.Plan) error {
	const most, readable = 6, 100. // patches side by side; the width in mm at which letters are as given here
	w, h, gap := plan.Size.Width, plan.Size.Height, plan.Gap
	k := max(w, readable) / readable
	margin, title, entry := 20*k, 34*k, 30*k
	all := zones(plan)
	width, height := 520*k, 2*margin
	for _, z := range all {
		n := len(z.boxes)
		width = max(width, 2*margin+float64(min(n, most))*(w+gap)-gap)
		height += title + float64((n+most-1)/most)*(h+gap)
	}
	legend := height
	height += entry*float64(len(plan.Candidates)) + 60*k
	d := drawing{&paper.Drawing{Scale: k}}
	d.Begin(width, height, "Test patches: "+name, describe(plan, all))
	d.Add("<defs>")
	for i := range plan.Candidates {
		d.Add(`<pattern id="m%d" width="8" height="8" patternUnits="userSpaceOnUse" patternTransform="scale(%g)">%s</pattern>`, i, k, hatches[i%len(hatches)])
	}
	d.Add("</defs>")
	d.Add(`<rect width="%g" height="%g" fill="#fff"/>`, width, height)
	y := margin
	for _, z := range all {
		d.Text(margin, y+20*k, 20, "start", z.title)
		y += title
		for i, b := range z.boxes {
			d.box(b, margin+float64(i%most)*(w+gap), y+float64(i/most)*(h+gap), w, h)
		}
		y += float64((len(z.boxes)+most-1)/most) * (h + gap)
	}
	for i, c := range plan.Candidates {
		at := legend + entry*float64(i)
		d.Add(`<rect x="%g" y="%g" width="%g" height="%g" fill="url(#m%d)" stroke="#000" stroke-width="%g"/>`, margin, at, 30*k, 20*k, i, k)
		d.Text(margin+40*k, at+16*k, 16, "start", c.Letter+": "+c.Outcome.Method.Label)
	}
	at := legend + entry*float64(len(plan.Candidates)) + 20*k
	d.Add(`<path d="M%g %gv%gv%gv%gh100v%gv%g" fill="none" stroke="#000" stroke-width="%g"/>`, margin, at, -8*k, 16*k, -8*k, -8*k, 16*k, 1.5*k)
	d.Text(margin+100+10*k, at+5*k, 14, "start", fmt.Sprintf("100 mm. Patches %g × %g mm, %g mm apart", w, h, gap))
	d.Add("</svg>")
	_, err := io.WriteString(out, d.String())
	return err
}

type drawing struct{ *paper.Drawing }

func (d drawing) box(b box, x, y, w, h float64) {
	k := d.Scale
	fill, dash := "none", fmt.Sprintf(` stroke-dasharray="%g %g"`, 6*k, 4*k)
	if b.candidate >= 0 {
		fill, dash = fmt.Sprintf("url(#m%d)", b.candidate), ""
	}
	d.Add(`<rect x="%g" y="%g" width="%g" height="%g" fill="%s" stroke="#000" stroke-width="%g"%s/>`, x, y, w, h, fill, 2*k, dash)
	lines := append([]string{b.label}, b.lines...)
	step := 19 * k
	high, wide := step*float64(len(lines))+6*k, 84*k
	d.Add(`<rect x="%g" y="%g" width="%g" height="%g" fill="#fff"/>`, x+(w-wide)/2, y+(h-high)/2, wide, high)
	for i, line := range lines {
		size := 15.
		if i == 0 {
			size = 18
		}
		d.Text(x+w/2, y+(h-high)/2+step*float64(i+1)-2*k, size, "middle", line)
	}
}

// describe says in words what is drawn.
func describe(plan *patches.Plan, all []zone) string {
	var parts []string
	for _, z := range all {
		var labels []string
		for _, b := range z.boxes[:len(z.boxes)-1] {
			labels = append(labels, b.label)
		}
		parts = append(parts, fmt.Sprintf("%s: patches %s and one spot left untouched.", z.title, paper.Joined(labels, "and")))
	}
	for _, c := range plan.Candidates {
		parts = append(parts, fmt.Sprintf("%s is %s.", c.Letter, c.Outcome.Method.Label))
	}
	return strings.Join(parts, " ")
}
