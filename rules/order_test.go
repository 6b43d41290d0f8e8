package rules_test

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"patchfirst/rules"
)

// inShort is all of a decision that must not hang on the order of the rules.
func inShort(d *rules.Decision) []string {
	lines := []string{"first " + d.First.Method.ID, fmt.Sprint("provisional ", d.Provisional), fmt.Sprint("open ", d.Open)}
	for _, o := range d.Fallback {
		lines = append(lines, "fallback "+o.Method.ID)
	}
	for _, s := range d.Stages {
		lines = append(lines, fmt.Sprint("stage ", s.Rows, s.Method.Method.ID))
	}
	for _, l := range d.Findings {
		lines = append(lines, fmt.Sprint("finding ", l.Finding.ID, l.Min, l.Max, ids(l.Rules, ruleID)))
	}
	for _, o := range d.Methods {
		lines = append(lines, fmt.Sprint(o.Method.ID, " ", o.Verdict, " until ", o.Until, " if ", o.Conditions, " care ", o.Care, ids(o.Reasons, ruleID), ids(o.Changes, ruleID)))
		for _, a := range o.Notes {
			lines = append(lines, fmt.Sprint("    ", a.Note.Kind, a.Note.ID, a.Sure))
		}
	}
	return lines
}

func TestOrderOfRulesAndFilesDoesNotMatter(t *testing.T) {
	b := loadToy(t, nil)
	others := []*rules.Base{loadToy(t, shuffled(1)), loadToy(t, shuffled(2)), loadToy(t, shuffled(3))}
	rapid.Check(t, func(t *rapid.T) {
		answers := drawAnswers(t, rapid.IntRange(1, 9).Draw(t, "known"))
		d, contradiction, err := b.Decide(answers)
		if err != nil {
			t.Fatal(err)
		}
		for _, other := range others {
			od, oc, err := other.Decide(answers)
			if err != nil {
				t.Fatal(err)
			}
			if (contradiction == nil) != (oc == nil) {
				t.Fatalf("a contradiction in one order only: %v %v", contradiction, oc)
			}
			if contradiction != nil {
				continue
			}
			one, two := inShort(d), inShort(od)
			for i := range one {
				if len(one) != len(two) || one[i] != two[i] {
					t.Fatalf("in one order of rules:\n%s\nin another:\n%s", strings.Join(one, "\n"), strings.Join(two, "\n"))
				}
			}
		}
	})
}

func TestDecideIsDeterministic(t *testing.T) {
	b := loadToy(t, nil)
	rapid.Check(t, func(t *rapid.T) {
		answers := drawAnswers(t, rapid.IntRange(1, 9).Draw(t, "known"))
		one, c1, _ := b.Decide(answers)
		two, c2, _ := b.Decide(answers)
		if !reflect.DeepEqual(c1, c2) {
			t.Fatal("asked twice, it finds two contradictions")
		}
		if c1 != nil {
			return
		}
		// The cases that it came across on the way are no part of what it says.
		for i := range reflect.TypeFor[rules.Decision]().NumField() {
			if f := reflect.TypeFor[rules.Decision]().Field(i); f.IsExported() && !reflect.DeepEqual(reflect.ValueOf(*one).Field(i).Interface(), reflect.ValueOf(*two).Field(i).Interface()) {
				t.Fatalf("asked twice, it decides twice: %s", f.Name)
			}
		}
		for _, o := range one.Methods {
			for _, r := range o.Reasons {
				if !reflect.DeepEqual(one.Chain(r), two.Chain(r)) {
					t.Fatalf("asked twice, it comes to %s on two ways", r.ID)
				}
			}
		}
	})
}
