package show

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"patchfirst/interview/diary"
	"patchfirst/interview/paper"
)

// A lane is the life of one patch or batch: the paste is on, the surface is wet or drying, and it is primed.
type lane struct {
	name   string
	words  string // what it is
	from   time.Time
	off    time.Time // zero: the paste is still on
	dry    time.Time // the last water; zero: the paste is still on
	primed time.Time // zero: not yet
	marks  []mark
}

// mark is an entry on a lane, by one letter.
type mark struct {
	at     time.Time
	letter byte
}

// letters of the marks, and what they stand for.
var letters = []struct {
	kind   string
	letter byte
	words  string
}{
	{diary.Check, 'o', "look"}, {diary.Remove, 'x', "taken off"}, {diary.RinseOff, 'r', "rinse"}, {diary.Neutralise, 'n', "acid"},
	{diary.PHRead, 'p', "pH"}, {diary.MoistRead, 'm', "moisture"}, {diary.PrimedWith, 'P', "primed"},
}

func lanes(d *diary.Diary) (all []lane) {
	for _, p := range d.Patches.Patches {
		l := lane{name: p.Label, words: "test patch " + p.Label, from: p.Put.At}
		for _, k := range p.Looks {
			if l.marks = append(l.marks, mark{k.Entry.At, 'o'}); k.Off && l.off.IsZero() {
				l.off, l.dry = k.Entry.At, k.Entry.At
			}
		}
		all = append(all, l)
	}
	for _, b := range d.Batches {
		l := lane{name: b.Label, words: b.String(), from: b.Put.At}
		if off, ok := b.Off(); ok {
			l.off, l.dry = off, b.Wetted()
		}
		add := func(at time.Time, kind string) {
			for _, x := range letters {
				if x.kind == kind {
					l.marks = append(l.marks, mark{at, x.letter})
				}
			}
		}
		for _, x := range b.Looks {
			add(x.Entry.At, diary.Check)
		}
		for _, x := range b.PH {
			add(x.Entry.At, diary.PHRead)
		}
		for _, x := range b.Moisture {
			add(x.Entry.At, diary.MoistRead)
		}
		for _, x := range b.Rinses {
			add(x.Entry.At, diary.RinseOff)
		}
		for _, x := range b.Acids {
			add(x.Entry.At, diary.Neutralise)
		}
		for _, x := range b.Removals {
			add(x.Entry.At, diary.Remove)
		}
		if b.Primed != nil {
			l.primed = b.Primed.Entry.At
			add(l.primed, diary.PrimedWith)
		}
		all = append(all, l)
	}
	return all
}

// state is what a batch is at a time: before it is put on, under paste, wet, drying, primed.
func (l lane) state(at time.Time) byte {
	switch {
	case at.Before(l.from):
		return ' '
	case !l.primed.IsZero() && !at.Before(l.primed):
		return '='
	case l.off.IsZero() || at.Before(l.off):
		return '#'
	case at.Before(l.dry):
		return '~'
	}
	return '.'
}

// timeline draws patches and batches as lines of characters, one each, from the first of them until now.
func (w *writer) timeline(d *diary.Diary) {
	all := lanes(d)
	if len(all) == 0 {
		return
	}
	first := all[0].from
	name := 0
	for _, l := range all {
		name = max(name, len([]rune(l.name)))
		if l.from.Before(first) {
			first = l.from
		}
	}
	cells := w.Width - name - 4
	span := w.now.Sub(first)
	if cells < 10 || span <= 0 {
		return
	}
	w.Head("Timeline, " + first.Format("2 Jan 15:04") + " to " + w.now.Format("2 Jan 15:04"))
	cell := func(at time.Time) int { return min(cells-1, int(float64(cells)*float64(at.Sub(first))/float64(span))) }
	w.Line(strings.TrimRight(strings.Repeat(" ", name+4)+ticks(first, w.now, cells), " "))
	for _, l := range all {
		line := make([]byte, cells)
		for i := range line {
			line[i] = l.state(first.Add(time.Duration(float64(span) * (float64(i) + 0.5) / float64(cells))))
		}
		for _, m := range l.marks {
			line[cell(m.at)] = m.letter
		}
		w.Line(strings.TrimRight(fmt.Sprintf("  %-*s  %s", name, l.name, line), " "))
	}
	var words []string
	for _, x := range letters {
		words = append(words, string(x.letter)+" "+x.words)
	}
	w.Para("  ", "# paste on, ~ wet, . bare, = primed; %s", strings.Join(words, ", "))
}

// ticks writes the days of a span at the cells where they begin, as many as there is room for.
func ticks(first, last time.Time, cells int) string {
	line := []byte(strings.Repeat(" ", cells))
	span := last.Sub(first)
	free := 0
	for day := midnight(first).AddDate(0, 0, 1); day.Before(last); day = day.AddDate(0, 0, 1) {
		at := int(float64(cells) * float64(day.Sub(first)) / float64(span))
		label := "|" + day.Format("2/1")
		if at >= free && at+len(label) <= cells {
			copy(line[at:], label)
			free = at + len(label) + 1
		}
	}
	return string(line)
}

func midnight(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, t.Location())
}

// SVG draws the timeline of a part: a bar for each patch and batch, and marks for what was done. It is black on
// white; hatches and letters tell things apart.
func SVG(out io.Writer, name string, r *diary.Report, now time.Time) error {
	all := lanes(r.Diary)
	if len(all) == 0 {
		return fmt.Errorf("nothing was put on %s yet: there is nothing to draw", name)
	}
	first := all[0].from
	for _, l := range all {
		if l.from.Before(first) {
			first = l.from
		}
	}
	first = midnight(first)
	span := max(now.Sub(first), time.Hour)
	const left, right, top, bar, pitch, legend = 120., 34., 60., 22., 52., 90.
	const width = 960.
	height := top + pitch*float64(len(all)) + legend
	d := &paper.Drawing{Scale: 1}
	d.Begin(width, height, "Site diary: "+name, describe(all, now))
	d.Add(`<defs><pattern id="paste" width="6" height="6" patternUnits="userSpaceOnUse"><path d="M0 6L6 0" stroke="#000" stroke-width="1"/></pattern>`)
	d.Add(`<pattern id="wet" width="6" height="6" patternUnits="userSpaceOnUse"><path d="M0 3H6" stroke="#000" stroke-width="1"/></pattern></defs>`)
	d.Add(`<rect width="%g" height="%g" fill="#fff"/>`, width, height)
	d.Text(left, 24, 18, "start", "Site diary: "+name)
	x := func(at time.Time) float64 {
		return round(left + (width-left-right)*float64(at.Sub(first))/float64(span))
	}
	free := 0.
	for day := first; day.Before(now); day = day.AddDate(0, 0, 1) {
		at := x(day)
		d.Add(`<path d="M%g %gV%g" stroke="#000" stroke-width="0.5" stroke-dasharray="1 4"/>`, at, top-8, height-legend)
		if at >= free {
			d.Text(at, top-12, 11, "middle", day.Format("2 Jan"))
			free = at + 44
		}
	}
	for i, l := range all {
		y := top + pitch*float64(i)
		d.Text(left-10, y+16, 14, "end", l.name)
		part := func(from, to time.Time, fill string) {
			if to.After(from) {
				d.Add(`<rect x="%g" y="%g" width="%g" height="%g" fill="%s" stroke="#000" stroke-width="1"/>`, x(from), y, round(x(to)-x(from)), bar, fill)
			}
		}
		end := now
		if !l.primed.IsZero() {
			end = l.primed
			part(l.primed, now, "#000")
		}
		switch {
		case l.off.IsZero():
			part(l.from, end, "url(#paste)")
		default:
			part(l.from, l.off, "url(#paste)")
			part(l.off, l.dry, "url(#wet)")
			part(l.dry, end, "none")
		}
		for _, m := range l.marks {
			d.Add(`<path d="M%g %gv6" stroke="#000" stroke-width="1"/>`, x(m.at), y+bar)
		}
		for _, c := range l.clusters(x) {
			d.Text(c.x, y+bar+17, 11, "middle", c.letters)
		}
	}
	y := height - legend + 30
	for i, k := range []struct{ fill, words string }{{"url(#paste)", "paste on"}, {"url(#wet)", "rinsing"}, {"none", "bare, drying"}, {"#000", "primed"}} {
		at := left + 140*float64(i)
		d.Add(`<rect x="%g" y="%g" width="24" height="14" fill="%s" stroke="#000" stroke-width="1"/>`, at, y, k.fill)
		d.Text(at+32, y+12, 12, "start", k.words)
	}
	var words []string
	for _, l := range letters {
		words = append(words, string(l.letter)+" "+l.words)
	}
	d.Text(left, y+40, 12, "start", strings.Join(words, ", "))
	d.Add("</svg>")
	_, err := io.WriteString(out, d.String())
	return err
}

// cluster is the letters of marks that stand too close together to be told apart, each once.
type cluster struct {
	x       float64 // of the middle
	letters string
}

func (l lane) clusters(x func(time.Time) float64) (all []cluster) {
	const letter = 7. // as wide as one is
	marks := slices.Clone(l.marks)
	slices.SortStableFunc(marks, func(a, b mark) int { return a.at.Compare(b.at) })
	var from, to float64
	for _, m := range marks {
		at := x(m.at)
		last := len(all) - 1
		if last < 0 || at-letter > to {
			all = append(all, cluster{at, string(m.letter)})
			from, to = at, at+letter
			continue
		}
		if !strings.Contains(all[last].letters, string(m.letter)) {
			all[last].letters += string(m.letter)
		}
		all[last].x = round((from + at) / 2)
		to = max(at, all[last].x+letter*float64(len(all[last].letters))/2)
	}
	return all
}

func round(v float64) float64 { return float64(int(v*10+0.5)) / 10 }

// describe says in words what is drawn.
func describe(all []lane, now time.Time) string {
	var parts []string
	for _, l := range all {
		words := l.words + " put on " + l.from.Format("2 Jan 15:04")
		if !l.off.IsZero() {
			words += ", taken off " + l.off.Format("2 Jan 15:04")
		}
		if !l.primed.IsZero() {
			words += ", primed " + l.primed.Format("2 Jan 15:04")
		}
		parts = append(parts, paper.Capital(words)+".")
	}
	return strings.Join(append(parts, "As of "+now.Format("2 Jan 2006 15:04")+"."), " ")
}
