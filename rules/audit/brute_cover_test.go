package audit_test

import (
	"fmt"
	"slices"
	"testing"

	"patchfirst/rules"
	"patchfirst/rules/audit"
	"patchfirst/rules/cases"
)

// covering are case files of a base, with the complete cases that each leaves.
type covering struct {
	b       *rules.Base
	files   []cases.Case
	left    [][]int // by file: places in whole
	whole   []rules.Answers
	decided [][]*rules.Decision
}

// newCovering takes some partial cases as case files, and for most seeds some complete ones. The seed says which.
func newCovering(t *testing.T, b *rules.Base, seed int) *covering {
	c := &covering{b: b}
	c.whole, c.decided = distinct(t, b)
	const step = 11
	given := partialCases()
	for i := seed % step; i < len(c.whole) && seed%4 > 0; i += step {
		given = append(given, c.whole[i])
	}
	for i := seed % 3; i < len(given); i += 3 {
		a := given[i]
		_, contradiction, err := b.Decide(a)
		if err != nil {
			t.Fatal(err)
		}
		if contradiction != nil {
			continue
		}
		var left []int
		for k, w := range c.whole {
			if leaves(b, a, w) {
				left = append(left, k)
			}
		}
		c.files = append(c.files, cases.Case{Title: fmt.Sprint(a), Given: a})
		c.left = append(c.left, left)
	}
	return c
}

// settles reports whether a test holds in every complete case that a file leaves, or in none.
func (c *covering) settles(test *rules.Test, file int) (all, none bool) {
	all, none = true, true
	for _, k := range c.left[file] {
		if holds(test, c.whole[k], c.decided[k][0]) {
			none = false
		} else {
			all = false
		}
	}
	return all, none
}

// counts reports whether a rule counts on a file: it fires in every case that is left, or rules something out and fires in
// some.
func (c *covering) counts(r *rules.Rule, file int) bool {
	if r.When == nil {
		return true
	}
	all, none := c.settles(r.When.Root, file)
	return all || !none && r.Gives[rules.RuledOut] != 0
}

// decides reports whether a file comes out otherwise when the rule does nothing.
func (c *covering) decides(t *testing.T, rule, file int) bool {
	was, _, err := c.b.Decide(c.files[file].Given)
	if err != nil {
		t.Fatal(err)
	}
	r := c.b.Rules[rule]
	c.b.Rules[rule] = &rules.Rule{ID: r.ID, When: r.When}
	is, _, err := c.b.Decide(c.files[file].Given)
	c.b.Rules[rule] = r
	if err != nil {
		t.Fatal(err)
	}
	return outcome(was) != outcome(is)
}

// Which files a rule counts on, which come out otherwise without it, and which comparisons they settle each way, is what it
// is when each file is looked at in every complete case that it leaves.
func TestCoverAgainstEveryCase(t *testing.T) {
	seen := map[string]int{}
	examples(t, 40, func(t *testing.T, seed int) {
		b := read(t, bases.Example(seed))
		c := newCovering(t, b, seed)
		for i, r := range b.Rules {
			whole, err := audit.Cover(b, c.files, nil, r.ID)
			if err != nil {
				t.Fatal(err)
			}
			var fires, decides []string
			for f := range c.files {
				if c.counts(r, f) {
					fires = append(fires, c.files[f].Title)
					if c.decides(t, i, f) {
						decides = append(decides, c.files[f].Title)
					}
				}
			}
			got := whole.Rules[0]
			if len(whole.Rules) != 1 || whole.Cases != len(c.files) || got.Rule != r {
				t.Fatalf("%d of %d files, and the rule %s in the place of %s", whole.Cases, len(c.files), got.Rule.ID, r.ID)
			}
			if told := titles(got.Fires); !slices.Equal(told, fires) {
				t.Fatalf("rule %s counts on %v, one by one it is %v", r.ID, told, fires)
			}
			if told := titles(got.Decides); !slices.Equal(told, decides) {
				t.Fatalf("rule %s decides %v, one by one it is %v", r.ID, told, decides)
			}
			if len(decides) < len(fires) {
				seen["fires and does not decide"]++
			}
			for _, s := range got.Tests {
				holds, fails := false, false
				for f := range c.files {
					all, none := c.settles(s.Test, f)
					holds, fails = holds || all, fails || none
				}
				if s.True != holds || s.False != fails {
					t.Fatalf("rule %s: %s is seen true: %v, false: %v; one by one %v, %v", r.ID, s.Test, s.True, s.False, holds, fails)
				}
				seen[fmt.Sprintf("%v, %v", holds, fails)]++
			}
		}
		some, err := audit.Cover(b, c.files, nil, "")
		if err != nil {
			t.Fatal(err)
		}
		for i, r := range some.Rules {
			decides := slices.ContainsFunc(r.Fires, func(one *cases.Case) bool {
				return c.decides(t, i, slices.IndexFunc(c.files, func(f cases.Case) bool { return f.Title == one.Title }))
			})
			if decides != (len(r.Decides) > 0) {
				t.Fatalf("rule %s decides %v, one by one it decides any: %v", r.Rule.ID, titles(r.Decides), decides)
			}
		}
	})
	for _, what := range []string{"fires and does not decide", "true, true", "true, false", "false, true", "false, false"} {
		if seen[what] == 0 && !testing.Short() {
			t.Errorf("not in any example: %s", what)
		}
	}
}

func titles(files []*cases.Case) (all []string) {
	for _, f := range files {
		all = append(all, f.Title)
	}
	return all
}
