package rules_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"patchfirst/rules"
)

// pinned returns the questions of a case that a reason may name: those that are answered, and those whose blank is a
// value.
func (v *view) pinned() (set int) {
	for q := range questions {
		if !blank(q, v.answers) || q == ice {
			set |= 1 << q
		}
	}
	return set
}

// having returns the cases that can occur and have the answers to some questions as the view has them.
func (o *oracle) having(v *view, set int) []*toyCase {
	answers := rules.Answers{}
	for q := range questions {
		if set>>q&1 == 1 && !blank(q, v.answers) {
			answers[factIDs[q]] = v.answers[factIDs[q]]
		}
	}
	mud := certainMud(v.answers)
	return filter(o.cases, func(c *toyCase) bool {
		if !c.real {
			return false
		}
		for q := range questions {
			if a, ok := answers[factIDs[q]]; ok && !c.agrees(q, a, mud) {
				return false
			}
		}
		return set>>ice&1 == 0 || asUsual(v.answers)(c)
	})
}

func (o *oracle) set(facts []*rules.Fact) (set int) {
	for _, f := range facts {
		set |= 1 << slices.Index(factIDs[:], f.ID)
	}
	return set
}

// A reason is enough: every case that has its answers has the conclusion. It is minimal: without any one of them some
// case has not. It meets every set of answers that must change for the conclusion to fall.
func TestWhy(t *testing.T) {
	b := loadToy(t, nil)
	o := newOracle(t, b)
	reasoner, err := b.Reasoner()
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	rapid.Check(t, func(t *rapid.T) {
		v := o.possibleAnswers(t)
		type conclusion struct {
			name string
			c    rules.Conclusion
			says func(*toyCase) bool
		}
		var all []conclusion
		for m, method := range b.Methods {
			for _, verdict := range []rules.Verdict{rules.Favoured, rules.Discouraged, rules.NoUse, rules.RuledOut} {
				all = append(all, conclusion{method.ID + " " + verdict.String(), reasoner.Verdict(method, verdict), func(c *toyCase) bool {
					for k := verdict; k <= rules.RuledOut; k++ {
						if c.gives[k].Has(m) {
							return true
						}
					}
					return false
				}})
			}
		}
		for k, f := range b.Findings {
			for level := 1; level < len(f.Scale); level++ {
				all = append(all, conclusion{f.ID, reasoner.Finding(f, level), func(c *toyCase) bool { return c.found[k] >= level }})
			}
		}
		for _, one := range all {
			holds := func(set int) bool {
				return !slices.ContainsFunc(o.having(v, set), func(c *toyCase) bool { return !one.says(c) })
			}
			reason, ok := reasoner.Why(v.answers, one.c)
			if ok != holds(v.pinned()) {
				t.Fatalf("%s: a reason is found: %v, by the definitions %v", one.name, ok, !ok)
			}
			if !ok {
				continue
			}
			found++
			set := o.set(reason.Facts)
			if !holds(set) {
				t.Fatalf("%s: %v is not enough", one.name, ids(reason.Facts, func(f *rules.Fact) string { return f.ID }))
			}
			for q := range questions {
				if set>>q&1 == 1 && holds(set&^(1<<q)) {
					t.Fatalf("%s: %s can be left out", one.name, factIDs[q])
				}
			}
			// A set of questions is a why-not if the conclusion can fall when all of them may change.
			for change := range 1 << questions {
				if change&^v.pinned() == 0 && !holds(v.pinned()&^change) && change&set == 0 {
					t.Fatalf("%s: the reason misses the change of %b", one.name, change)
				}
			}
			if rule := reason.Rule; rule != nil {
				i := slices.Index(b.Rules, rule)
				if slices.ContainsFunc(o.having(v, set), func(c *toyCase) bool { return !c.fires[i] }) {
					t.Fatalf("%s: %s does not fire wherever the reason holds", one.name, rule.ID)
				}
			}
		}
	})
	if found == 0 {
		t.Error("no reason was found")
	}
}
