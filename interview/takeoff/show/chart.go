package show

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"patchfirst/interview/takeoff"
	"patchfirst/rules"
)

// holdAt says before which rows the hold points of a stage stand.
var holdAt = map[string][]string{
	"before": {takeoff.Protect}, "protect": {takeoff.Protect}, "test": {takeoff.PutOn,
		takeoff.Strip}, "apply": {takeoff.PutOn, takeoff.Strip}, "check": {takeoff.TakeOff, takeoff.Strip},
	"remove": {takeoff.TakeOff, takeoff.Strip}, "clean": {takeoff.TakeOff, takeoff.Strip}, "neutralise": {takeoff.TakeOff,
		takeoff.Strip}, "dry": {takeoff.Dries, takeoff.Prime}, "prime": {takeoff.Prime},
}

// Hold is a hold point on the day before which it must be passed.
type Hold struct {
	Day   int    `json:"day"` // 0: the first
	ID    string `json:"id"`
	Stage string `json:"stage"`
	Say   string `json:"say"`
	Sure  bool   `json:"always"`
}

// holds lists the hold points of a method by day.
func holds(s *takeoff.Sums) []Hold {
	var all []Hold
	for _, n := range s.Case.Decision.Methods[s.Method.Rank].Notes {
		if n.Note.Kind != rules.Hold {
			continue
		}
		day, found := 0, false
		for _, row := range holdAt[n.Note.Stage] {
			for _, t := range s.Programme.Tasks {
				if t.Row == row && (!found || int(t.Start/24) < day) {
					day, found = int(t.Start/24), true
				}
			}
			if found {
				break
			}
		}
		if !found && s.Programme.Days > 0 {
			day = s.Programme.Days - 1
		}
		all = append(all, Hold{day, n.Note.ID, n.Note.Stage, n.Note.Say, n.Sure})
	}
	slices.SortStableFunc(all, func(a, b Hold) int { return a.Day - b.Day })
	return all
}

// chart writes the programme as bars of days, with the hold points below.
func (p *page) chart(s *takeoff.Sums) {
	if s.Programme == nil || s.Programme.Days == 0 {
		return
	}
	const label = 28
	columns := max(10, p.Width-label-4)
	each := max(1, int(math.Ceil(float64(s.Programme.Days)/float64(columns))))
	n := (s.Programme.Days + each - 1) / each
	unit := "Each place is a day"
	if each > 1 {
		unit = fmt.Sprintf("Each place is %d days", each)
	}
	p.section("Programme")
	p.Para("  ", "%s: # someone works, ~ it acts, dries or waits, H hold points to pass first.", unit)
	marks := []rune(strings.Repeat(" ", n))
	all := holds(s)
	for _, h := range all {
		marks[h.Day/each] = 'H'
	}
	p.bar("Hold points", marks, label)
	for _, row := range takeoff.Rows {
		cells := []rune(strings.Repeat(".", n))
		used := false
		for _, t := range s.Programme.Tasks {
			if t.Row != row {
				continue
			}
			used = true
			for day := int(t.Start/24 + 1e-9); day < int(math.Ceil(t.End/24-1e-9)); day++ {
				switch {
				case !t.Waits:
					cells[day/each] = '#'
				case cells[day/each] == '.':
					cells[day/each] = '~'
				}
			}
		}
		if used {
			p.bar(row, cells, label)
		}
	}
	if s.Programme.Late {
		p.Para("  ! ", "Some paste is due at night and lies until the morning. Look at it before its time is over.")
	}
	for _, h := range all {
		iff := ""
		if !h.Sure {
			iff = "Perhaps: "
		}
		p.Para(fmt.Sprintf("  H day %d  ", h.Day+1), "%s%s", iff, h.Say)
	}
}

func (p *page) bar(label string, cells []rune, width int) {
	if p.Width < 60 {
		p.Para("  ", "%s", label)
		p.Line("    " + strings.TrimRight(string(cells), " "))
		return
	}
	p.Line("  " + label + strings.Repeat(" ", max(1, width-len(label))) + strings.TrimRight(string(cells), " "))
}
