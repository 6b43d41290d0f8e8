package show

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"patchfirst/interview/paper"
	"patchfirst/interview/patches"
)

// zone is one area of the part, with the patches that go on it.
type zone struct {
	title string
	boxes []box
}

// box is one patch, or the untouched spot.
type box struct {
	label     string
	candidate int // which method; -1: untouched
	lines     []string
}

// zones sorts the patches of a plan by area. Each zone ends with a spot that stays untouched.
func zones(plan *patches.Plan) []zone {
	var all []zone
	for _, area := range []string{patches.Worst, patches.Soundest} {
		z := zone{title: paper.Capital(areaWords(area))}
		for i, c := range plan.Candidates {
			for _, pp := range c.Patches {
				if pp.Area != area {
					continue
				}
				b := box{label: pp.Label, candidate: i}
				if pp.Thickness > 0 {
					b.lines = append(b.lines, fmt.Sprintf("%g mm", pp.Thickness))
				}
				if len(pp.Look) > 0 {
					b.lines = append(b.lines, patches.Duration(pp.Look[0])+" to", patches.Duration(pp.Look[len(pp.Look)-1]))
				}
				z.boxes = append(z.boxes, b)
			}
		}
		if len(z.boxes) > 0 {
			z.boxes = append(z.boxes, box{label: "0", candidate: -1, lines: []string{"leave", "untouched"}})
			all = append(all, z)
		}
	}
	return all
}

// Map draws the patches of a plan as text in lines of at most width runes: by area, side by side. It is not to scale.
func Map(plan *patches.Plan, width int) string {
	const inside, gap = 9, 1 // "untouched" must fit
	across := max(1, (width+gap)/(inside+2+gap))
	var out strings.Builder
	for i, z := range zones(plan) {
		if i > 0 {
			out.WriteString("\n")
		}
		out.WriteString(z.title + "\n")
		for from := 0; from < len(z.boxes); from += across {
			row := z.boxes[from:min(from+across, len(z.boxes))]
			height := 0
			for _, b := range row {
				height = max(height, 1+len(b.lines))
			}
			edge := func(b box) string {
				if b.candidate < 0 {
					return "+" + strings.Repeat(" -", inside/2) + " +"
				}
				return "+" + strings.Repeat("-", inside) + "+"
			}
			drawRow(&out, row, edge)
			for k := range height {
				drawRow(&out, row, func(b box) string {
					text := ""
					switch {
					case k == 0:
						text = b.label
					case k <= len(b.lines):
						text = b.lines[k-1]
					}
					return "|" + centred(text, inside) + "|"
				})
			}
			drawRow(&out, row, edge)
		}
	}
	return out.String()
}

func drawRow(out *strings.Builder, row []box, cell func(box) string) {
	cells := make([]string, len(row))
	for i, b := range row {
		cells[i] = cell(b)
	}
	out.WriteString(strings.Join(cells, " ") + "\n")
}

func centred(s string, width int) string {
	free := max(0, width-utf8.RuneCountInString(s))
	return strings.Repeat(" ", free/2) + s + strings.Repeat(" ", free-free/2)
}
