package paper

import (
	"fmt"
	"html"
	"strings"

	"patchfirst/explain"
)

// Drawing is an SVG in the making; letters are Scale times as large as given.
type Drawing struct {
	strings.Builder
	Scale float64
}

// Begin opens a drawing of a size, with its title and what it shows in words.
func (d *Drawing) Begin(width, height float64, title, description string) {
	d.Add(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" role="img" aria-labelledby="t d" font-family="sans-serif">`, width, height)
	d.Add(`<title id="t">%s</title>`, Escape(title))
	d.Add(`<desc id="d">%s</desc>`, Escape(description))
}

// Add writes a line of SVG.
func (d *Drawing) Add(format string, args ...any) { fmt.Fprintf(d, format+"\n", args...) }

// Text writes words at a place.
func (d *Drawing) Text(x, y, size float64, anchor, s string) {
	d.Add(`<text x="%g" y="%g" font-size="%g" text-anchor="%s">%s</text>`, x, y, size*d.Scale, anchor, Escape(s))
}

// Escape makes a text one of SVG.
func Escape(s string) string { return html.EscapeString(explain.Clean(s)) }
