package audit_test

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"patchfirst/rules"
	"patchfirst/rules/audit"
	"patchfirst/rules/cases"
)

// partialCases leaves some of the answers of the test bases blank.
func partialCases() (all []rules.Answers) {
	for _, size := range []string{"", "small", "big", "huge"} {
		for _, weight := range []float64{-1, 10, 50} {
			for _, on := range [][]string{nil, {}, {"red"}, {"blue", "red"}, {"gold"}} {
				a := rules.Answers{}
				if size != "" {
					a["size"] = rules.Answer{Values: []string{size}}
				}
				if weight >= 0 {
					a["weight"] = rules.Answer{Lo: weight, Hi: weight}
				}
				if on != nil {
					a["on"] = rules.Answer{Values: on}
				}
				all = append(all, a)
			}
		}
	}
	return all
}

// leaves reports whether a complete case is one of those that a partial one leaves, as far as the diagrams tell cases apart.
func leaves(b *rules.Base, partial, whole rules.Answers) bool {
	told := maps.Clone(whole)
	maps.Copy(told, partial)
	return cell(told, b) == cell(whole, b)
}

// What is offered under conditions is offered in every complete case that the answers leave and that meets them. A promise
// that a method is never first is told to be broken on just those partial cases of which it speaks as a whole, and whose
// first choice is that method.
func TestPartialCasesAgainstEveryCase(t *testing.T) {
	examples(t, 8, func(t *testing.T, seed int) {
		b := read(t, bases.Example(seed))
		whole, decided := distinct(t, b)
		var given []cases.Case
		want := map[int]bool{}
		for _, a := range partialCases() {
			d, contradiction, err := b.Decide(a)
			if err != nil {
				t.Fatal(err)
			}
			if contradiction != nil {
				continue
			}
			speaks := map[*rules.Promise]bool{}
			for _, p := range b.Promises {
				speaks[p] = p.NeverFirst != 0
			}
			for i, w := range whole {
				if !leaves(b, a, w) {
					continue
				}
				for _, p := range b.Promises {
					speaks[p] = speaks[p] && holds(p.When.Root, w, decided[i][0])
				}
				for m, o := range d.Methods {
					meets := !slices.ContainsFunc(o.Conditions, func(r rules.Requirement) bool {
						return r.Fact != "wet" || !slices.Contains(r.Values, w["wet"].Values[0])
					})
					if o.Verdict != rules.RuledOut && meets && decided[i][0].Methods[m].Verdict == rules.RuledOut {
						t.Fatalf("%v: %s is offered where %v, and ruled out where %v", a, o.Method.ID, o.Conditions, w)
					}
				}
			}
			for p, yes := range speaks {
				if yes && p.NeverFirst.Has(d.First.Method.Rank) {
					want[len(given)] = true
				}
			}
			given = append(given, cases.Case{Given: a, Pos: rules.Pos{Line: len(given)}})
		}
		report, err := audit.Check(b, given, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		told := map[int]bool{}
		for _, f := range report.Failures {
			if !strings.Contains(f.What, "promised") {
				t.Fatal(f)
			}
			told[f.Case.Pos.Line] = true
		}
		for i := range given {
			if told[i] != want[i] {
				t.Errorf("%v: told %v, decided one by one %v", given[i].Given, told[i], want[i])
			}
		}
	})
}
