package audit_test

import (
	"fmt"
	"math/big"
	"slices"
	"strings"
	"testing"

	"patchfirst/rules"
	"patchfirst/rules/audit"
)

// of returns the outcome of a method, wherever it stands in its base.
func of(d *rules.Decision, id string) *rules.Outcome {
	return d.Methods[slices.IndexFunc(d.Methods, func(o *rules.Outcome) bool { return o.Method.ID == id })]
}

// countNotes counts one case for each change of a note: some method that both bases offer has the note by one of them only.
// by lists those methods.
func countNotes(b *rules.Base, was, is *rules.Decision, counts map[string]int64, by map[string][]string) {
	for _, n := range b.Notes {
		changes := map[string]bool{}
		for _, o := range was.Methods {
			p := of(is, o.Method.ID)
			before, after := o.Has(n.Kind, n.ID), p.Has(n.Kind, n.ID)
			if before == after || !o.Verdict.Offered() || !p.Verdict.Offered() {
				continue
			}
			key := fmt.Sprintf("%s %s: with -> without", n.Kind, n.ID)
			if after {
				key = fmt.Sprintf("%s %s: without -> with", n.Kind, n.ID)
			}
			changes[key] = true
			if !slices.Contains(by[key], o.Method.ID) {
				by[key] = append(by[key], o.Method.ID)
			}
		}
		for key := range changes {
			counts[key]++
		}
	}
}

// reordered puts the first method after the others.
func reordered(base string) string {
	first := strings.Index(base, "- {method: carry")
	end := first + strings.Index(base[first:], "\n") + 1
	last := strings.Index(base, "- {method: call")
	return base[:first] + base[end:last] + base[first:end] + base[last:]
}

// Of two small bases each change has exactly as many cases as there are when each is decided by both; the other way round
// it is the same, mirrored; and a base does not differ from itself.
func TestCompareAgainstEveryCase(t *testing.T) {
	told := map[string]int{} // by what changes
	examples(t, 40, func(t *testing.T, seed int) {
		one, two := bases.Example(seed), bases.Example(seed+1)
		switch seed % 4 {
		case 1: // the methods stand in another order
			two = reordered(two)
		case 2: // and nothing else is changed
			two = reordered(one)
		}
		compare := func(a, b string) *audit.Comparison {
			c, err := audit.Compare(audit.Side{Base: read(t, a)}, audit.Side{Base: read(t, b)}, nil, nil, nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			return c
		}
		if c := compare(one, one); len(c.Keys()) > 0 {
			t.Fatalf("a base differs from itself: %s", c)
		}
		c := compare(one, two)
		cases, decided := distinct(t, c.Old, c.New)
		if c.Cases.Cmp(big.NewInt(int64(len(cases)))) != 0 {
			t.Fatalf("%v cases, decided one by one it is %d", c.Cases, len(cases))
		}
		counts, moves, by := map[string]int64{}, map[string]bool{}, map[string][]string{}
		for _, ds := range decided {
			countNotes(c.New, ds[0], ds[1], counts, by)
			for _, o := range ds[0].Methods {
				if p := of(ds[1], o.Method.ID); o.Verdict != p.Verdict {
					counts[fmt.Sprintf("verdict %s: %s -> %s", o.Method.ID, o.Verdict, p.Verdict)]++
				}
			}
			for i, l := range ds[0].Findings {
				if k := ds[1].Findings[i]; l.Max != k.Max {
					counts[fmt.Sprintf("finding %s: %s -> %s", l.Finding.ID, l.Finding.Scale[l.Max], k.Finding.Scale[k.Max])]++
				}
			}
			if a, b := ds[0].First.Method.ID, ds[1].First.Method.ID; a != b {
				moves["first: "+a+" -> "+b] = true
			}
		}
		for _, ch := range c.Changes {
			told[ch.What]++
			slices.Sort(ch.Methods)
			if slices.Sort(by[ch.Key()]); !slices.Equal(ch.Methods, by[ch.Key()]) {
				t.Fatalf("%s for %v, decided one by one it is for %v", ch.Key(), ch.Methods, by[ch.Key()])
			}
			if ch.Cases.Cmp(big.NewInt(counts[ch.Key()])) != 0 {
				t.Fatalf("%s in %v cases, decided one by one it is %d", ch.Key(), ch.Cases, counts[ch.Key()])
			}
			delete(counts, ch.Key())
		}
		if len(counts) > 0 {
			t.Fatalf("not told: %v", counts)
		}
		for _, m := range c.First.Moves {
			if !moves[m.Key()] {
				t.Fatalf("%s does not occur", m.Key())
			}
			delete(moves, m.Key())
		}
		if len(moves) > 0 || c.First.NotSettled > 0 {
			t.Fatalf("not told: %v; %d not settled", moves, c.First.NotSettled)
		}
		back := compare(two, one)
		if len(back.Changes) != len(c.Changes) || back.Lost.Cmp(c.Gained) != 0 || back.Gained.Cmp(c.Lost) != 0 {
			t.Fatalf("there %s and back %s", c, back)
		}
		for _, ch := range c.Changes {
			mirrored := ch
			mirrored.From, mirrored.To = ch.To, ch.From
			if !slices.ContainsFunc(back.Changes, func(o audit.Change) bool { return o.Key() == mirrored.Key() && o.Cases.Cmp(ch.Cases) == 0 }) {
				t.Fatalf("%s is not mirrored in %s", ch.Key(), back)
			}
		}
	})
	for _, what := range []string{"verdict", "finding", "caution", "step"} {
		if told[what] == 0 {
			t.Errorf("no %s changes in any example", what)
		}
	}
}
