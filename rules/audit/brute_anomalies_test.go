package audit_test

import (
	"fmt"
	"maps"
	"slices"
	"testing"

	"patchfirst/rules"
	"patchfirst/rules/audit"
)

// anomalies lists by the definitions, from every complete case, what is told of a base: rules that never fire, notes that
// no case is shown, methods that no case is offered, and rules that favour what others rule out in the very same cases.
func anomalies(b *rules.Base, whole []rules.Answers, decided [][]*rules.Decision) map[string]bool {
	found := map[string]bool{}
	fires := make([]string, len(b.Rules)) // by rule: the cases in which it fires
	shown, offered := map[string]bool{}, map[string]bool{}
	for k, a := range whole {
		d := decided[k][0]
		for i, r := range b.Rules {
			if r.When == nil || holds(r.When.Root, a, d) {
				fires[i] += fmt.Sprint(k, " ")
			}
		}
		for _, o := range d.Methods {
			if !o.Verdict.Offered() {
				continue
			}
			offered[o.Method.ID] = true
			for _, n := range o.Notes {
				shown[n.Note.ID] = true
			}
		}
	}
	for i, r := range b.Rules {
		if fires[i] == "" {
			found["never-fires "+r.ID] = true
			continue
		}
		for j, other := range b.Rules {
			if fires[i] == fires[j] && r.Gives[rules.Favoured]&other.Gives[rules.RuledOut] != 0 {
				found[fmt.Sprintf("conflict %s [%s]", r.ID, other.ID)] = true
			}
		}
	}
	for _, n := range b.Notes {
		if !shown[n.ID] {
			found["unreached "+n.ID] = true
		}
	}
	for _, m := range b.Methods {
		if !offered[m.ID] {
			found["never-offered "+m.ID] = true
		}
	}
	return found
}

// The anomalies that speak of all cases are those that the cases show.
func TestAnomaliesAgainstEveryCase(t *testing.T) {
	seen := map[audit.Kind]int{}
	examples(t, 200, func(t *testing.T, seed int) {
		b := read(t, bases.Example(seed))
		whole, decided := distinct(t, b)
		if len(whole) == 0 {
			t.Skip("no case can occur")
		}
		s, err := b.Compile(nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		told := map[string]bool{}
		for _, a := range audit.Anomalies(s) {
			switch a.Kind {
			case audit.NeverFires, audit.Unreached, audit.NeverOffered:
				told[fmt.Sprint(a.Kind, " ", a.ID)] = true
			case audit.Conflict:
				told[fmt.Sprint(a.Kind, " ", a.ID, " ", a.Others)] = true
			default:
				continue
			}
			seen[a.Kind]++
		}
		if want := anomalies(b, whole, decided); !maps.Equal(told, want) {
			t.Errorf("told %v, one by one it is %v", slices.Sorted(maps.Keys(told)), slices.Sorted(maps.Keys(want)))
		}
	})
	for _, kind := range []audit.Kind{audit.NeverFires, audit.Unreached, audit.NeverOffered, audit.Conflict} {
		if seen[kind] == 0 && !testing.Short() {
			t.Errorf("no example has an anomaly of the kind %s", kind)
		}
	}
}

// A question that is said to change nothing changes no case, and answers that are said to be alike are: where one can occur
// so can the other, and the same comes of both.
func TestAlikeAnswersAgainstEveryCase(t *testing.T) {
	seen := map[audit.Kind]int{}
	examples(t, 200, func(t *testing.T, seed int) {
		b := read(t, bases.Example(seed))
		whole, decided := distinct(t, b)
		comes := map[string]string{} // of a case by its cell
		for i, a := range whole {
			comes[cell(a, b)] = outcome(decided[i][0])
		}
		s, err := b.Compile(nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range audit.Anomalies(s) {
			if a.ID != "size" && a.ID != "wet" || a.Kind != audit.NoEffect && a.Kind != audit.SameAnswers {
				continue
			}
			seen[a.Kind]++
			values := b.Fact(a.ID).ValueIDs()
			if a.Kind == audit.SameAnswers {
				values = a.Others
			}
			for _, c := range whole {
				if !slices.Contains(values, c[a.ID].Values[0]) {
					continue
				}
				for _, v := range values {
					other, occurs := comes[cell(c.With(a.ID, rules.Answer{Values: []string{v}}), b)]
					if a.Kind == audit.SameAnswers && !occurs || occurs && other != comes[cell(c, b)] {
						t.Fatalf("%s: with %s it comes out as %q, and of %v comes %q", a, v, other, c, comes[cell(c, b)])
					}
				}
			}
		}
	})
	for _, kind := range []audit.Kind{audit.NoEffect, audit.SameAnswers} {
		if seen[kind] == 0 && !testing.Short() {
			t.Errorf("no example has an anomaly of the kind %s", kind)
		}
	}
}
