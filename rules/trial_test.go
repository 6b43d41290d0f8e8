package rules_test

import (
	"testing"

	"pgregory.net/rapid"

	"patchfirst/rules"
)

// Trials never open what the rules refuse; harm always closes; what is proven and offered comes first unless something
// gentler is favoured too.
func TestTrialsSpeakAfterTheRules(t *testing.T) {
	b := loadToy(t, nil)
	o := newOracle(t, b)
	rapid.Check(t, func(t *rapid.T) {
		v := o.possibleAnswers(t)
		before, after := decide(t, b, v.answers), decide(t, b, v.answers)
		trials := map[string]rules.Shown{}
		for _, m := range b.Methods {
			if shown := rapid.SampledFrom([]rules.Shown{"", rules.Harmed, rules.Failed, rules.Proven}).Draw(t, m.ID); shown != "" && !m.LastResort {
				trials[m.ID] = shown
			}
		}
		after.Heed(trials)
		for m, was := range before.Methods {
			is := after.Methods[m]
			if !was.Verdict.Offered() && is.Verdict.Offered() {
				t.Fatalf("%s was %s and is %s", is.Method.ID, was.Verdict, is.Verdict)
			}
			switch shown := trials[is.Method.ID]; {
			case shown == rules.Harmed && is.Verdict != rules.RuledOut, shown == rules.Failed && is.Verdict.Offered():
				t.Fatalf("%s showed %s and is %s", is.Method.ID, shown, is.Verdict)
			case shown == rules.Proven && was.Verdict.Offered() && after.First.Verdict != rules.Favoured:
				t.Fatalf("%s is proven, and %s comes first", is.Method.ID, after.First.Method.ID)
			}
		}
		if !after.First.Verdict.Offered() && !after.First.Method.LastResort {
			t.Fatalf("%s comes first and is %s", after.First.Method.ID, after.First.Verdict)
		}
	})
}
