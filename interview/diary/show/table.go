package show

import (
	"fmt"
	"strings"

	"patchfirst/interview/diary"
	"patchfirst/interview/job"
	"patchfirst/interview/paper"
)

// table writes the entries in the order of their time, one row each.
func (w *writer) table(d *diary.Diary) {
	if len(d.Entries) == 0 {
		w.Para("  ", "Nothing is entered yet.")
		return
	}
	day := ""
	for _, e := range d.Ordered() {
		if today := e.At.Format("Mon 2 Jan 2006 -07:00"); today != day {
			day = today
			w.Head(today)
		}
		w.Para(fmt.Sprintf("  %s %3d  ", e.At.Format("15:04"), e.ID), "%s", Row(e))
	}
}

// corrected lists what stands no longer: it stays in the file, and is not forgotten.
func (w *writer) corrected(d *diary.Diary) {
	written := d.Patches.Written
	headed := false
	for _, by := range written {
		for _, old := range written {
			if by.Corrects != old.ID {
				continue
			}
			if !headed {
				w.Head("No longer standing")
				headed = true
			}
			how := "Replaced"
			if by.Kind == job.Strike {
				how = "Taken back"
			}
			w.Para(fmt.Sprintf("  entry %d: ", old.ID), "%s %s by entry %d (%s): %s.", Row(old), how, by.ID, by.By, strings.TrimSuffix(by.Because, "."))
		}
	}
}

// Row puts an entry into words: what it is, what it says, and who wrote it.
func Row(e job.Entry) string {
	var says []string
	for _, key := range e.Fields.Keys() {
		if job.Common(key) {
			continue
		}
		text := strings.TrimSpace(e.Fields.Text(key))
		name := strings.ReplaceAll(key, "_", " ")
		if n, ok := names[key]; ok {
			name = n
		}
		switch {
		case text == "true":
			says = append(says, name)
		case text == "false":
		case name == "":
			says = append(says, strings.ReplaceAll(text, "_", " "))
		default:
			says = append(says, name+" "+strings.ReplaceAll(text, "_", " "))
		}
	}
	words := kindWords(e) + ": " + strings.Join(says, ", ")
	if len(says) == 0 {
		words = kindWords(e)
	}
	if e.Note != "" {
		words += ". " + paper.Capital(e.Note)
	}
	if e.Corrects > 0 {
		words += fmt.Sprintf(". In place of entry %d: %s", e.Corrects, e.Because)
	}
	if e.Sure {
		words += ". Asked, and said to be so"
	}
	return strings.TrimSuffix(words, ".") + ". " + e.By + "."
}

// names of keys for people, where they differ from the key; an empty one says the value alone.
var names = map[string]string{
	"air_temp": "air", "surface_temp": "surface", "method": "", "ph": "pH", "strip": "by paper in steps of", "confirm": "confirming patch",
	"spot": "of", "where": "", "took": "took", "who": "", "what": "", "done": "done:", "moisture": "", "depth": "", "with": "with",
	"hold": "", "stream": "", "forecast_low": "lowest forecast", "rain_at": "at", "meter": "by meter", "dry": "dry and wetted again", "off": "taken off",
}

func kindWords(e job.Entry) string {
	words := map[string]string{
		"patch": "patch put on", "look": "look at a patch", "control": "untouched spot",
		diary.WeatherRead: "weather", diary.Crew: "on site", diary.HoldMet: "hold point met", diary.Apply: "put on", diary.Check: "look",
		diary.Remove: "taken off", diary.RinseOff: "rinsed", diary.Neutralise: "neutralised", diary.PHRead: "pH", diary.MoistRead: "moisture",
		diary.WasteOut: "waste", diary.Happened: "incident", diary.PrimedWith: "primed",
	}
	return words[e.Kind]
}
