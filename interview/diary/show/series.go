package show

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"patchfirst/interview/diary"
	"patchfirst/interview/paper"
)

// series writes how the readings of each batch went, one after the other.
func (w *writer) series(d *diary.Diary) {
	var lines [][2]string
	for _, b := range d.Batches {
		if words := readings(b); words != "" {
			lines = append(lines, [2]string{b.Label, words})
		}
	}
	for _, spot := range [][2]string{{diary.OfWater, "rinse water"}, {diary.OnControl, "untouched spot"}} {
		var read []diary.PH
		for _, r := range d.Readings {
			if r.Spot == spot[0] {
				read = append(read, r)
			}
		}
		if len(read) > 0 {
			lines = append(lines, [2]string{spot[1], "pH " + acidity(read)})
		}
	}
	if len(lines) == 0 {
		return
	}
	w.Head("Readings, the first to the last")
	for _, l := range lines {
		w.Para("  "+l[0]+": ", "%s.", l[1])
	}
}

func readings(b *diary.Batch) string {
	var wet, dry []diary.PH
	for _, r := range b.PH {
		if r.Dry {
			dry = append(dry, r)
		} else {
			wet = append(wet, r)
		}
	}
	var parts []string
	if len(wet) > 0 {
		parts = append(parts, "pH wet "+acidity(wet))
	}
	if len(dry) > 0 {
		parts = append(parts, "pH dry "+acidity(dry))
	}
	if words := wettest(b); words != "" {
		parts = append(parts, "wettest in depth "+words)
	}
	return strings.Join(parts, "; ")
}

func acidity(read []diary.PH) string {
	words := make([]string, len(read))
	for i, r := range read {
		words[i] = strconv.FormatFloat(r.Value, 'f', -1, 64)
	}
	return paper.Joined(words, "and")
}

// wettest is the wettest place of each day.
func wettest(b *diary.Batch) string {
	var days []string
	most := map[string]float64{}
	for _, m := range b.Moisture {
		if m.Percent == nil || !m.Deep {
			continue
		}
		day := m.Entry.At.Format(time.DateOnly)
		if _, ok := most[day]; !ok {
			days = append(days, day)
		}
		most[day] = max(most[day], *m.Percent)
	}
	words := make([]string, len(days))
	for i, day := range days {
		at, _ := time.Parse(time.DateOnly, day)
		words[i] = fmt.Sprintf("%g %% on %s", most[day], at.Format("2 Jan"))
	}
	return paper.Joined(words, "and")
}
