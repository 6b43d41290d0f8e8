package interview

import (
	"context"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"pgregory.net/rapid"

	"patchfirst/interview/job"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

// script is a random survey: what is typed at the plain front, and the same answers as assignments, by part.
type script struct {
	site  rules.Answers // given; nil if it is asked too
	lines []string
	keys  []string // the same for the rich front
	parts []string
	sets  map[string][]string
}

// say adds a line of text, for both fronts.
func (sc *script) say(text string) {
	sc.lines = append(sc.lines, text)
	sc.keys = append(sc.keys, text, "enter")
}

// choose adds a choice from a list: what is typed, and the place in the rich front's list.
func (sc *script) choose(line string, at int) {
	sc.lines = append(sc.lines, line)
	sc.keys = append(sc.keys, down(0, at)...)
	sc.keys = append(sc.keys, "enter")
}

// down moves the cursor of a list from a line to a later one.
func down(from, to int) (keys []string) {
	for range to - from {
		keys = append(keys, "down")
	}
	return keys
}

// draw makes a random survey by asking Next what comes and answering at random.
func draw(t *rapid.T, b *rules.Base, site rules.Answers) *script {
	sc := &script{site: site, parts: []string{""}, sets: map[string][]string{}}
	j := sc.job()
	if site == nil {
		sc.say("A job")
		sc.answer(t, b, j, nil)
	}
	for i := range rapid.IntRange(1, 2).Draw(t, "parts") {
		e := job.NewElement(fmt.Sprintf("part %d", i+1))
		j.Elements = append(j.Elements, e)
		sc.parts = append(sc.parts, e.Name)
		if i > 0 {
			sc.choose("part", 2)
		}
		sc.say(e.Name)
		sc.answer(t, b, j, e)
	}
	sc.choose("finish", 1)
	return sc
}

func (sc *script) job() *job.Job {
	j := job.New()
	j.Title = "A job"
	maps.Copy(j.Site, sc.site)
	return j
}

func (sc *script) answer(t *rapid.T, b *rules.Base, j *job.Job, e *job.Element) {
	own, unknown, part := j.Site, j.NotKnown, ""
	if e != nil {
		own, unknown, part = e.Answers, e.NotKnown, e.Name
	}
	for {
		f, c, err := Next(b, j, e)
		if err != nil || c != nil {
			t.Fatal(err, c)
		}
		if f == nil {
			break
		}
		d := drawAnswer(t, f)
		if d.set != "" {
			if err := j.Set(b, e, f.ID+"="+d.set); err != nil {
				t.Fatal(err)
			}
			if _, c, err := Next(b, j, e); err != nil {
				t.Fatal(err)
			} else if c != nil {
				delete(own, f.ID)
				d = drawn{line: "u"}
			}
		}
		if d.set == "" {
			unknown[f.ID] = true
			sc.sets[part] = append(sc.sets[part], f.ID+"=?")
		} else {
			sc.sets[part] = append(sc.sets[part], f.ID+"="+d.set)
		}
		sc.lines = append(sc.lines, d.line)
		sc.keys = append(sc.keys, d.keys(f)...)
	}
	sc.choose("ok", 1)
}

// drawn is an answer as it is typed, as it is set (empty where it is not known), and as it is chosen.
type drawn struct {
	line, set string
	at        []int // places of the values in the list of the fact
	more      bool
}

// keys are those that give the answer at the rich front.
func (d drawn) keys(f *rules.Fact) (keys []string) {
	n := len(f.Values)
	mark := func(places ...int) {
		from := 0
		for _, at := range places {
			keys = append(keys, down(from, at)...)
			keys = append(keys, "space")
			from = at
		}
		keys = append(keys, "enter")
	}
	pick := func(at int) {
		keys = append(keys, down(0, at)...)
		keys = append(keys, "enter")
	}
	switch {
	case f.Kind == rules.Number:
		return []string{d.line, "enter"}
	case f.Kind == rules.Choice && d.set == "":
		pick(1 + n)
	case f.Kind == rules.Choice && len(d.at) == 1:
		pick(1 + d.at[0])
	case f.Kind == rules.Choice:
		pick(1 + n + 1)
		mark(d.at...)
	case f.Order == "" && d.set == "":
		mark(n + 2)
	case f.Order == "" && len(d.at) == 0:
		mark(n)
	case f.Order == "" && d.more:
		mark(append(d.at, n+1)...)
	case f.Order == "":
		mark(d.at...)
	case d.set == "":
		pick(1 + n + 1)
	case len(d.at) == 0:
		pick(1 + n)
	default:
		const before = 3 // "choose one", "nothing more" and "others" stand before the values, from the second on
		for i, at := range d.at {
			if i == 0 {
				pick(1 + at)
			} else {
				pick(before + at)
			}
		}
		if d.more {
			pick(2)
		} else {
			pick(1)
		}
	}
	return keys
}

func drawAnswer(t *rapid.T, f *rules.Fact) (d drawn) {
	if rapid.IntRange(0, 9).Draw(t, "known") == 0 {
		return drawn{line: "u"}
	}
	var ids, typed []string
	set := func() {
		if f.Order == "" {
			slices.Sort(d.at)
			d.at = slices.Compact(d.at)
		}
		for _, i := range d.at {
			v := f.Values[i]
			forms := []string{fmt.Sprint(i + 1), v.ID, strings.ToUpper(v.ID), v.Label}
			if strings.Contains(v.Label, ",") || v.Label == "" {
				forms = forms[:3]
			}
			ids = append(ids, v.ID)
			typed = append(typed, rapid.SampledFrom(forms).Draw(t, "form"))
		}
	}
	pick := func() { d.at = append(d.at, rapid.IntRange(0, len(f.Values)-1).Draw(t, f.ID)) }
	switch f.Kind {
	case rules.Number:
		lo := rapid.IntRange(int(f.From), int(f.To)).Draw(t, f.ID)
		d.line = fmt.Sprintf("%d %s", lo, f.Unit)
		d.set = fmt.Sprint(lo)
		if rapid.Bool().Draw(t, "range") {
			d.set = fmt.Sprintf("%d..%d", lo, rapid.IntRange(lo, int(f.To)).Draw(t, "to"))
			d.line = d.set
		}
		return d
	case rules.Several:
		most := f.Most
		if most == 0 {
			most = len(f.Values)
		}
		for range rapid.IntRange(0, most).Draw(t, "how many") {
			pick()
		}
		set()
		if len(ids) == 0 {
			d.line, d.set = "0", "[]"
			return d
		}
		if d.more = rapid.IntRange(0, 4).Draw(t, "more") == 0; d.more {
			ids, typed = append(ids, "?"), append(typed, "?")
		}
		d.line, d.set = strings.Join(typed, ", "), "["+strings.Join(ids, ", ")+"]"
		return d
	}
	pick()
	if len(f.Values) > 2 && rapid.IntRange(0, 4).Draw(t, "several") == 0 {
		pick()
	}
	set()
	d.line, d.set = strings.Join(typed, ", "), "["+strings.Join(ids, ", ")+"]"
	return d
}

// keyboard drives the screens of the rich front without a terminal.
func keyboard(keys []string, width, height int) *Rich {
	p := &Rich{out: io.Discard, size: func() (int, int) { return width, height }}
	p.show = func(_ context.Context, m *screen) error {
		for !m.done {
			if len(keys) == 0 {
				m.stopped = true
				return nil
			}
			m.Update(keyMsg(keys[0]))
			if view := m.View(); !m.done && strings.Count(view, "\n")+1 > height {
				return fmt.Errorf("the view is taller than %d lines:\n%s", height, view)
			}
			keys = keys[1:]
		}
		return nil
	}
	return p
}

func keyMsg(key string) tea.KeyMsg {
	switch key {
	case "enter":
		return tea.KeyMsg{Type: tea.KeyEnter}
	case "down":
		return tea.KeyMsg{Type: tea.KeyDown}
	case "up":
		return tea.KeyMsg{Type: tea.KeyUp}
	case "space":
		return tea.KeyMsg{Type: tea.KeySpace, Runes: []rune{' '}}
	case "backspace":
		return tea.KeyMsg{Type: tea.KeyBackspace}
	case "esc":
		return tea.KeyMsg{Type: tea.KeyEsc}
	case "ctrl+j":
		return tea.KeyMsg{Type: tea.KeyCtrlJ}
	case "back":
		return tea.KeyMsg{Type: tea.KeyShiftTab}
	case "ctrl+c":
		return tea.KeyMsg{Type: tea.KeyCtrlC}
	}
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(key)}
}

// run makes a survey and returns the job as it was saved last.
func (sc *script) run(b *rules.Base, p Prompter) (saved string, err error) {
	j := sc.job()
	if sc.site == nil {
		j.Title = ""
	}
	s := newSession(b, j, p, func(j *job.Job) error {
		data, err := j.Marshal(b)
		saved = string(data)
		return err
	})
	err = s.run(context.Background())
	return saved, err
}

// The plain front, the rich front and --set give the same job file.
func TestFrontsAgree(t *testing.T) {
	b := loadSmall(t)
	rapid.Check(t, func(rt *rapid.T) { frontsAgree(rt, b, draw(rt, b, nil)) })
}

func TestFrontsAgreeOnTheWholeBase(t *testing.T) {
	if testing.Short() {
		t.Skip("a whole survey takes a while")
	}
	b, err := knowledge.Load("")
	if err != nil {
		t.Fatal(err)
	}
	example, err := job.ReadFile(b, "../testdata/jobs/gannet-ness.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	frontsAgree(t, b, rapid.Custom(func(rt *rapid.T) *script { return draw(rt, b, example.Site) }).Example(1))
}

type fataler interface {
	Helper()
	Fatalf(format string, args ...any)
}

func frontsAgree(t fataler, b *rules.Base, sc *script) {
	t.Helper()
	var out strings.Builder
	plain, err := sc.run(b, NewPlain(strings.NewReader(strings.Join(sc.lines, "\n")), &out, 80, true))
	if err != nil {
		t.Fatalf("%v\n%s", err, out.String())
	}
	rich, err := sc.run(b, keyboard(sc.keys, 40, 14))
	if err != nil || rich != plain {
		t.Fatalf("%v: the rich front gives\n%s\nthe plain front gives\n%s\n%q", err, rich, plain, sc.keys)
	}
	j := sc.job()
	for _, part := range sc.parts {
		if err := apply(b, j, Options{Element: part, Set: sc.sets[part]}); err != nil {
			t.Fatalf("%v", err)
		}
	}
	set, err := j.Marshal(b)
	if err != nil || string(set) != plain {
		t.Fatalf("%v: --set gives\n%s\nthe plain front gives\n%s\n%s", err, set, plain, out.String())
	}
	again, err := job.Parse(b, "job.yaml", set)
	if err != nil {
		t.Fatalf("%v", err)
	}
	if data, _ := again.Marshal(b); string(data) != plain {
		t.Fatalf("read again it is\n%s\nnot\n%s", data, plain)
	}
}
