package patches_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"
	"pgregory.net/rapid"

	"patchfirst/interview/patches"
)

// truth is a build-up that comes clean after a time that falls with the thickness.
func truth(base, slope, mm float64) float64 { return base - slope*mm }

// The bracket holds the truth, narrows with every entry, and is never wider for a thicker paste; nothing contradicts.
func TestBracketNarrows(t *testing.T) {
	b := load(t)
	f := figures(t, b)
	answers, decision := part(t, b, indoors)
	site := patches.Site{Decision: decision}
	rapid.Check(t, func(t *rapid.T) {
		base := float64(rapid.IntRange(600, 3000).Draw(t, "base"))
		slope := float64(rapid.IntRange(0, 50).Draw(t, "slope"))
		d := &diary{}
		thickness := map[string]float64{}
		for i := range rapid.IntRange(1, 4).Draw(t, "patches") {
			label, mm := fmt.Sprintf("A%d", i+1), float64(rapid.IntRange(2, 6).Draw(t, "mm"))
			thickness[label] = mm
			d.put(0, label, paste, fmt.Sprintf("thickness: %g mm", mm), "surface_temp: 12 C")
		}
		labels := make([]string, 0, len(thickness))
		for l := range thickness {
			labels = append(labels, l)
		}
		slices.Sort(labels)
		before := map[float64]patches.Bracket{}
		for range rapid.IntRange(1, 8).Draw(t, "looks") {
			label := rapid.SampledFrom(labels).Draw(t, "label")
			at := float64(rapid.IntRange(1, 4000).Draw(t, "at"))
			left := 0
			if at < truth(base, slope, thickness[label]) {
				left = 3
			}
			d.look(at, label, left, "surface_temp: 12 C")
			r, err := patches.ReadRecord(b, "log.yaml", parse(d.text.String()))
			if err != nil {
				t.Fatal(err)
			}
			c := patches.Read(f, b, r, answers, site).Candidates[0]
			if len(c.Contradictions) > 0 {
				t.Fatalf("contradictions: %+v", c.Contradictions)
			}
			last := math.Inf(1)
			for _, br := range c.Brackets {
				real := truth(base, slope, br.Thickness)
				if br.NotYet >= real || br.CleanBy < real {
					t.Fatalf("%+v does not hold %v", br, real)
				}
				if was, ok := before[br.Thickness]; ok && (br.NotYet < was.NotYet || br.CleanBy > was.CleanBy) {
					t.Fatalf("%+v became %+v", was, br)
				}
				if br.CleanBy > last {
					t.Fatalf("thicker is slower: %+v", c.Brackets)
				}
				last = br.CleanBy
				before[br.Thickness] = br
			}
		}
	})
}

func parse(text string) *yaml.Node {
	var n yaml.Node
	if yaml.Unmarshal([]byte(text), &n) != nil || len(n.Content) == 0 {
		return nil
	}
	return n.Content[0]
}

// Where patches contradict, the advised time is later than every look that found coats on a paste as thick.
func TestDwellIsNeverAveraged(t *testing.T) {
	b := load(t)
	f := figures(t, b)
	answers, decision := part(t, b, indoors)
	rapid.Check(t, func(t *rapid.T) {
		d := &diary{}
		n := rapid.IntRange(1, 4).Draw(t, "patches")
		for i := range n {
			d.put(0, fmt.Sprintf("A%d", i+1), paste, fmt.Sprintf("thickness: %d mm", rapid.IntRange(2, 4).Draw(t, "mm")))
		}
		for range rapid.IntRange(1, 8).Draw(t, "looks") {
			d.look(float64(rapid.IntRange(1, 100).Draw(t, "at")), fmt.Sprintf("A%d", rapid.IntRange(1, n).Draw(t, "patch")), rapid.IntRange(0, 2).Draw(t, "left"), fmt.Sprintf("passes: %d", rapid.IntRange(1, 2).Draw(t, "passes")))
		}
		r, err := patches.ReadRecord(b, "log.yaml", parse(d.text.String()))
		if err != nil {
			t.Fatal(err)
		}
		c := patches.Read(f, b, r, answers, patches.Site{Decision: decision}).Candidates[0]
		for _, p := range r.Patches {
			passes := 1
			for _, l := range p.Looks {
				passes = max(passes, l.Passes)
				at := l.Entry.At.Sub(p.Put.At).Minutes()
				if c.Dwell != nil && l.NotClean() && p.Thickness >= c.Dwell.Thickness && passes >= c.Dwell.Passes && at >= c.Dwell.Minutes {
					t.Fatalf("advised %+v, and %s had coats left after %v\n%s", *c.Dwell, p.Label, at, d.text.String())
				}
			}
		}
	})
}

// The order in which entries are written does not matter, only their times.
func TestOrderOfEntries(t *testing.T) {
	b := load(t)
	f := figures(t, b)
	answers, decision := part(t, b, indoors)
	rapid.Check(t, func(t *rapid.T) {
		d := &diary{}
		d.put(0, "A1", paste, "thickness: 3 mm", "surface_temp: 12 C").put(5, "A2", paste, "thickness: 4 mm", "surface_temp: 14 C").put(7, "B1", "steam")
		at := rapid.Permutation([]float64{60, 200, 400, 700, 900, 1600, 3500}).Draw(t, "times")
		for _, a := range at {
			left := max(0, 4-int(a/300))
			more := []string{fmt.Sprintf("surface_temp: %d C", 10+int(a)%5)}
			if a > 2000 {
				more = append(more, "harm: none")
			}
			d.look(a, fmt.Sprintf("A%d", 1+int(a/100)%2), left, more...)
		}
		lines := strings.SplitAfter(strings.TrimSpace(d.text.String()), "\n")
		shuffled := rapid.Permutation(lines).Draw(t, "order")
		for i, line := range shuffled {
			_, rest, _ := strings.Cut(strings.TrimSpace(line), ",")
			shuffled[i] = fmt.Sprintf("- {id: %d,%s\n", i+1, rest)
		}
		show := func(text string) string {
			r, err := patches.ReadRecord(b, "log.yaml", parse(text))
			if err != nil {
				t.Fatal(err)
			}
			reading := patches.Read(f, b, r, answers, patches.Site{Decision: decision})
			out := fmt.Sprintf("%+v %+v", reading.Next.Do, reading.Next.Patches)
			for _, c := range reading.Candidates {
				out += fmt.Sprintf("\n%s %s %+v %+v %v", c.Method.ID, c.State, c.Brackets, c.Dwell, c.Shares)
			}
			return out
		}
		if a, z := show(d.text.String()), show(strings.Join(shuffled, "")); a != z {
			t.Fatalf("in order:\n%s\nshuffled:\n%s", a, z)
		}
	})
}

// A mistake in a log is an error with a place; nothing panics, and what is read can be judged.
func FuzzReadRecord(f *testing.F) {
	b := load(f)
	figs := figures(f, b)
	answers, decision := part(f, b, indoors)
	d := (&diary{}).put(0, "A1", paste, "thickness: 3 mm", "surface_temp: 12 C", "area: worst").look(60, "A1", 3, "harm: none", "ph: 7", "lifts: not").
		add("control", 70, "ph: 6").add("look", 60, "patch: A1, corrects: 2, because: x, layers_left: 0").add("strike", 80, "corrects: 3, because: y")
	f.Add(d.text.String())
	for _, text := range []string{"", "[]", "x", "- {}", "- []", "- {kind: look}", "- {id: 1, kind: patch, at: 2026-06-01T08:00:00Z, by: x, patch: [a], method: {b: c}}", "- {id: 1e9, kind: strike, corrects: 1}", "- ? a\n"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, err := patches.ReadRecord(b, "log.yaml", parse(text))
		if err != nil {
			if !strings.Contains(err.Error(), "log.yaml") {
				t.Errorf("an error without a place: %v", err)
			}
			return
		}
		reading := patches.Read(figs, b, r, answers, patches.Site{Decision: decision, Now: start})
		reading.Data()
	})
}
