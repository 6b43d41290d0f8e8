package show

import (
	"fmt"
	"html"
	"io"
	"strings"

	"patchfirst/explain"
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
// each method.
func SVG(out io.Writer, name string, plan *patches.Plan) error {
	const margin, title, most = 20., 34., 6
	w, h, gap := plan.Size.Width, plan.Size.Height, plan.Gap
	all := zones(plan)
	width, height := 2*margin+w*2, 2*margin
	for _, z := range all {
		n := len(z.boxes)
		width = max(width, 2*margin+float64(min(n, most))*(w+gap)-gap)
		height += title + float64((n+most-1)/most)*(h+gap)
	}
	legend := height
	height += 30*float64(len(plan.Candidates)) + 60
	width = max(width, 520)
	var s strings.Builder
	fmt.Fprintf(&s, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" role="img" aria-labelledby="t d" font-family="sans-serif">`+"\n", width, height)
	fmt.Fprintf(&s, "<title id=\"t\">Test patches: %s</title>\n<desc id=\"d\">%s</desc>\n", escape(name), escape(describe(plan, all)))
	s.WriteString("<defs>\n")
	for i := range plan.Candidates {
		fmt.Fprintf(&s, `<pattern id="m%d" width="8" height="8" patternUnits="userSpaceOnUse">%s</pattern>`+"\n", i, hatches[i%len(hatches)])
	}
	fmt.Fprintf(&s, "</defs>\n<rect width=\"%g\" height=\"%g\" fill=\"#fff\"/>\n", width, height)
	y := margin
	for _, z := range all {
		fmt.Fprintf(&s, `<text x="%g" y="%g" font-size="20">%s</text>`+"\n", margin, y+20, escape(z.title))
		y += title
		for i, b := range z.boxes {
			x := margin + float64(i%most)*(w+gap)
			drawBox(&s, b, x, y+float64(i/most)*(h+gap), w, h)
		}
		y += float64((len(z.boxes)+most-1)/most) * (h + gap)
	}
	for i, c := range plan.Candidates {
		at := legend + 30*float64(i)
		fmt.Fprintf(&s, `<rect x="%g" y="%g" width="30" height="20" fill="url(#m%d)" stroke="#000"/>`+"\n", margin, at, i)
		fmt.Fprintf(&s, `<text x="%g" y="%g" font-size="16">%s: %s</text>`+"\n", margin+40, at+16, c.Letter, escape(c.Outcome.Method.Label))
	}
	at := legend + 30*float64(len(plan.Candidates)) + 20
	fmt.Fprintf(&s, `<path d="M%g %gv-8v16v-8h100v-8v16" fill="none" stroke="#000" stroke-width="1.5"/>`+"\n", margin, at)
	fmt.Fprintf(&s, `<text x="%g" y="%g" font-size="14">100 mm. Patches %g × %g mm, %g mm apart</text>`+"\n</svg>\n", margin+110, at+5, w, h, gap)
	_, err := io.WriteString(out, s.String())
	return err
}

func drawBox(s *strings.Builder, b box, x, y, w, h float64) {
	fill, dash := "none", ` stroke-dasharray="6 4"`
	if b.candidate >= 0 {
		fill, dash = fmt.Sprintf("url(#m%d)", b.candidate), ""
	}
	fmt.Fprintf(s, `<rect x="%g" y="%g" width="%g" height="%g" fill="%s" stroke="#000" stroke-width="2"%s/>`+"\n", x, y, w, h, fill, dash)
	lines := append([]string{b.label}, b.lines...)
	const step = 19.
	high, wide := step*float64(len(lines))+6, 84.
	fmt.Fprintf(s, `<rect x="%g" y="%g" width="%g" height="%g" fill="#fff"/>`+"\n", x+(w-wide)/2, y+(h-high)/2, wide, high)
	for i, line := range lines {
		size := 15
		if i == 0 {
			size = 18
		}
		fmt.Fprintf(s, `<text x="%g" y="%g" font-size="%d" text-anchor="middle">%s</text>`+"\n", x+w/2, y+(h-high)/2+step*float64(i+1)-2, size, escape(line))
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
		parts = append(parts, fmt.Sprintf("%s: patches %s and one spot left untouched.", z.title, joined(labels, "and")))
	}
	for _, c := range plan.Candidates {
		parts = append(parts, fmt.Sprintf("%s is %s.", c.Letter, c.Outcome.Method.Label))
	}
	return strings.Join(parts, " ")
}

func escape(s string) string { return html.EscapeString(explain.Clean(s)) }
