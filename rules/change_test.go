package rules_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"patchfirst/rules"
)

var toyCosts = map[int]int{ice: 1, wind: 2, watchman: 2}

// hangsOn returns which of some questions a property of cases depends on, among the cases of a box.
func hangsOn(box []*toyCase, among []int, is func(*toyCase) bool) (set int) {
	for _, q := range among {
		seen := map[[questions]int]bool{}
		for _, c := range box {
			rest := c.is
			rest[q] = -1
			if before, ok := seen[rest]; ok && before != is(c) {
				set |= 1 << q
			}
			seen[rest] = is(c)
		}
	}
	return set
}

// opens reports whether a method is open once some questions may be answered anew.
func (o *oracle) opens(answers rules.Answers, changed, choice int, closed func(*toyCase) bool) bool {
	kept := rules.Answers{}
	for q := range questions {
		if a, ok := answers[factIDs[q]]; ok && changed>>q&1 == 0 {
			kept[factIDs[q]] = a
		}
	}
	cases := filter(o.box(kept), isReal)
	if changed>>ice&1 == 0 {
		cases = filter(cases, asUsual(answers))
	}
	groups := map[[questions]int]bool{}
	for _, c := range cases {
		key := c.only(choice | changed)
		groups[key] = groups[key] || closed(c)
	}
	for _, isClosed := range groups {
		if !isClosed {
			return true
		}
	}
	return false
}

// The nearest change is the cheapest of all sets of changes, and it really opens the method.
func TestNearest(t *testing.T) {
	b := loadToy(t, nil)
	o := newOracle(t, b)
	reasoner, err := b.Reasoner()
	if err != nil {
		t.Fatal(err)
	}
	helped, hopeless := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		v := o.possibleAnswers(t)
		for m, method := range b.Methods {
			closed := func(c *toyCase) bool { return c.gives[rules.RuledOut].Has(m) || c.gives[rules.NoUse].Has(m) }
			reads := hangsOn(o.cases, []int{ice, wind, watchman}, closed)
			kept := rules.Answers{}
			for q := range questions {
				if a, ok := v.answers[factIDs[q]]; ok && reads>>q&1 == 0 {
					kept[factIDs[q]] = a
				}
			}
			choice := hangsOn(o.box(kept), []int{wind, watchman}, closed)
			best := -1
			tested := v.answers["ice"].Values
			known := len(tested) == 1 && tested[0] != "not_tested"
			for set := range 1 << questions {
				cost := 0
				for q := range questions {
					if set>>q&1 == 1 {
						if toyCosts[q] == 0 || q == ice && known || reads>>q&1 == 0 || q != ice && blank(q, v.answers) {
							cost = -1
							break
						}
						cost += toyCosts[q]
					}
				}
				if cost >= 0 && (best < 0 || cost < best) && o.opens(v.answers, set, choice, closed) {
					best = cost
				}
			}
			change, err := reasoner.Nearest(v.answers, method)
			if err != nil {
				t.Fatal(err)
			}
			if change == nil {
				hopeless++
				if best >= 0 {
					t.Fatalf("%s: no change is found, and one costs %d", method.ID, best)
				}
				continue
			}
			helped++
			if change.Cost != best {
				t.Fatalf("%v: %s: a change %v costs %d, and the cheapest %d; %s", v.answers, method.ID, change.Facts, change.Cost, best, decide(t, b, v.answers).Methods[m].Why())
			}
			answers := v.answers
			for _, r := range change.Answers {
				f := b.Fact(r.Fact)
				if f.Kind == rules.Choice && slices.Contains(factIDs[:], r.Fact) {
					answers = answers.With(r.Fact, rules.Answer{Values: r.Values})
				}
			}
			if d := decide(t, b, answers); !d.Methods[m].Verdict.Offered() {
				t.Fatalf("%s: after the change %v it is %s", method.ID, change.Answers, d.Methods[m].Why())
			}
		}
	})
	if helped == 0 || hopeless == 0 {
		t.Errorf("%d changes helped, and %d methods were beyond help", helped, hopeless)
	}
}
