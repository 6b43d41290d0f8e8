package show

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"patchfirst/interview/paper"
	"patchfirst/interview/takeoff"
)

// DaysSVG draws the programme as bars: black where someone works, hatched where it acts, dries or waits, a line for each
// hold point.
func DaysSVG(s *takeoff.Sums) (string, error) {
	if s.Programme == nil || s.Programme.Days == 0 {
		return "", fmt.Errorf("there is no programme of %s by %s to draw", s.Case.Element.Name, s.Method.ID)
	}
	const label, row, top, width = 230., 26., 60., 900.
	var used []string
	for _, r := range takeoff.Rows {
		if slices.ContainsFunc(s.Programme.Tasks, func(t takeoff.Task) bool { return t.Row == r }) {
			used = append(used, r)
		}
	}
	days := float64(s.Programme.Days)
	scale := (width - label - 20) / (days * 24)
	all := holds(s)
	height := top + row*float64(len(used)) + 60
	d := &paper.Drawing{Scale: 1}
	title := fmt.Sprintf("Programme: %s, %s", s.Case.Element.Name, s.Method.Label)
	d.Begin(width, height, title, describe(s, used, len(all)))
	d.Add(`<defs><pattern id="w" width="6" height="6" patternUnits="userSpaceOnUse"><path d="M0 6L6 0" stroke="#000" stroke-width="1"/></pattern></defs>`)
	d.Add(`<rect width="%g" height="%g" fill="#fff"/>`, width, height)
	d.Text(10, 22, 16, "start", title)
	step := max(1, int(math.Ceil(days/20)))
	for day := 0; day <= s.Programme.Days; day += step {
		x := label + float64(day)*24*scale
		d.Add(`<path d="M%.1f %gV%g" stroke="#000" stroke-width="0.5" stroke-dasharray="1 3"/>`, x, top-4,
			top+row*float64(len(used)))
		if day < s.Programme.Days {
			d.Text(x+2, top-8, 11, "start", fmt.Sprint(day+1))
		}
	}
	for i, r := range used {
		y := top + row*float64(i)
		d.Text(10, y+17, 13, "start", r)
		for _, t := range s.Programme.Tasks {
			if t.Row != r {
				continue
			}
			fill := "#000"
			if t.Waits {
				fill = "url(#w)"
			}
			d.Add(`<rect x="%.1f" y="%g" width="%.1f" height="%g" fill="%s" stroke="#000" stroke-width="0.5"/>`,
				label+t.Start*scale, y+4, max(1, (t.End-t.Start)*scale), row-10, fill)
		}
	}
	bottom := top + row*float64(len(used))
	seen := map[int]int{}
	for _, h := range all {
		seen[h.Day]++
	}
	for day := range s.Programme.Days {
		if seen[day] == 0 {
			continue
		}
		x := label + float64(day)*24*scale
		d.Add(`<path d="M%.1f %gV%g" stroke="#000" stroke-width="2"/>`, x, top-4, bottom+6)
		d.Text(x, bottom+20, 11, "start", fmt.Sprintf("H×%d", seen[day]))
	}
	d.Text(10, bottom+44, 12, "start", "Black: someone works. Hatched: it acts, dries or waits. H: hold points to pass before that day's work. Numbers are days.")
	d.Add("</svg>")
	return d.String(), nil
}

// describe says in words what the programme shows.
func describe(s *takeoff.Sums, rows []string, holds int) string {
	return fmt.Sprintf("%d days, with work on %d of them. Rows: %s. %d hold points.", s.Programme.Days, s.Programme.OnSite,
		strings.Join(rows, "; "), holds)
}
