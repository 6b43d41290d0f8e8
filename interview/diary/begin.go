package diary

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"patchfirst/interview/patches"
	"patchfirst/rules"
)

// patchWords says what the test patches still need.
func (j *judge) patchWords() (says []Say) {
	n := j.reading.Next
	switch n.Do {
	case patches.Stop:
		return []Say{{"No method is left that may be tried here.", nil}}
	case patches.TryNext:
		return []Say{{"Make test patches of this method: " + n.Method.Label + ".", nil}}
	case patches.LookAgain:
		return []Say{{"A patch came clean. Rinse it, let it dry, and look again for harm.", nil}}
	}
	return []Say{{"Go on with the patches of this method: " + n.Method.Label + ".", nil}}
}

// wantsPatch reports whether the rules ask for a test patch of the method.
func (j *judge) wantsPatch() bool {
	if j.method.Keeps || j.method.LastResort {
		return false
	}
	if j.outcome == nil {
		return true
	}
	ok, _ := patches.Patchable(j.outcome)
	return ok
}

// confirming is the confirming patch of the method; nil: none was made.
func (j *judge) confirming() *Batch {
	for _, b := range slices.Backward(j.d.Batches) { // the last, where one had to be repeated
		if b.Confirms && b.Method == j.method.ID {
			return b
		}
	}
	return nil
}

// paste reports whether the method is one whose paste lies and works: the base bounds how long.
func (j *judge) paste() bool {
	return len(j.Base.LimitsOn("over_patch", "remove", j.method, j.Answers)) > 0
}

// apply is the next batch; b is nil for one that is not entered yet.
func (j *judge) apply(b *Batch, confirms bool) Action {
	a := Action{Do: ToApply}
	if confirms {
		a.Do = ToConfirm
	}
	j.allowed(&a)
	if j.wantsPatch() {
		j.patched(&a)
		if !confirms {
			j.confirmed(&a)
		}
	}
	j.holds(&a, "before", "protect", "test", "apply")
	j.air(&a, "apply")
	if !j.wantsPatch() {
		return a
	}
	j.colder(&a)
	if b != nil {
		j.thinner(&a, b)
	}
	switch {
	case confirms:
	case b != nil && b.Area == nil:
		j.limits(&a, "removal_over", "apply", nil, "it is not told how large the batch is")
	case b != nil:
		j.inTime(&a, b.Area)
	default:
		j.inTime(&a, nil)
	}
	return a
}

// thinner holds the thickness of a batch against that of the patches that came clean.
func (j *judge) thinner(a *Action, b *Batch) {
	c := j.candidate()
	if c == nil || c.Dwell == nil || c.Dwell.Thickness == 0 {
		return
	}
	clean := number(c.Dwell.Thickness) + " mm came clean on the patches"
	if b.Thickness == nil {
		j.limits(a, "thinner_than_patch", "apply", nil, "it is not told how thick the paste is; "+clean)
		return
	}
	by := math.Max(0, exact(c.Dwell.Thickness-*b.Thickness))
	j.limits(a, "thinner_than_patch", "apply", &by, number(*b.Thickness)+" mm thick; "+clean)
}

// allowed lets a refusal of the rules stand before everything. What is left to a specialist waits for him.
func (j *judge) allowed(a *Action) {
	if j.method.LastResort {
		f := Finding{ID: j.method.ID, Reading: "no method is left that may be used here", Say: "Touch nothing."}
		for _, n := range j.referred() {
			f.ID, f.Say, f.Sources = n.ID, n.Say+" Until then: "+n.Meanwhile, n.Sources
			a.Waits = append(a.Waits, f)
		}
		if len(a.Waits) == 0 {
			f.Sources = j.method.Sources
			a.Waits = append(a.Waits, f)
		}
		return
	}
	if j.outcome == nil || j.outcome.Verdict.Offered() {
		return
	}
	f := Finding{ID: "verdict", Reading: j.method.Label + ": " + strings.ReplaceAll(j.outcome.Verdict.String(), "_", " "), Say: "Do not use it here."}
	if len(j.outcome.Reasons) > 0 {
		r := j.outcome.Reasons[0]
		f.ID, f.Because, f.Sources = r.ID, r.Because, r.Sources
	}
	a.Waits = append(a.Waits, f)
}

// referred lists whom the advice refers to.
func (j *judge) referred() (notes []*rules.Note) {
	if j.outcome == nil {
		return nil
	}
	for _, n := range j.outcome.Notes {
		if n.Note.Kind == rules.Refer {
			notes = append(notes, n.Note)
		}
	}
	return notes
}

// patched holds the test patches of the method against the hold point that they pass.
func (j *judge) patched(a *Action) {
	n := j.Base.Note(rules.Hold, patchHold)
	if n == nil {
		return
	}
	f := Finding{ID: n.ID, Hold: n.ID, Reading: "no patch of it was made", Say: n.Say, Sources: n.Sources}
	c := j.candidate()
	if c != nil {
		f.Reading = "patches: " + c.State.Words()
	}
	if j.proven() {
		a.Kept = append(a.Kept, f)
		return
	}
	a.Waits = append(a.Waits, f)
}

// proven reports whether the test patches of the method came clean and bore it.
func (j *judge) proven() bool {
	c := j.candidate()
	return c != nil && c.State == patches.Proven
}

// confirmed holds the confirming patch against its limits: clean, dry, and no harm.
func (j *judge) confirmed(a *Action) {
	b := j.confirming()
	if b == nil {
		j.limits(a, "confirm_hours", "apply", nil, "no confirming patch was made")
		return
	}
	off, is := b.Off()
	if !is {
		j.limits(a, "confirm_hours", "apply", nil, "the paste of the confirming patch is still on")
		return
	}
	if left := b.layersLeft(); left != nil && *left > 0 {
		j.limits(a, "confirm_hours", "apply", nil, fmt.Sprintf("the confirming patch did not come clean: %g coats are left", *left))
		return
	}
	if harm := b.harm(); harm != "" {
		j.limits(a, "confirm_hours", "apply", nil, "harm on the confirming patch: "+harm)
		return
	}
	var stood *float64
	words := "the confirming patch was not looked at again since it came clean"
	for _, l := range b.Looks {
		if l.Harm == patches.NoHarm && l.Entry.At.After(off) {
			stood = pointer(l.Entry.At.Sub(off).Hours())
			words = "the confirming patch was looked at " + ago(*stood) + " after it came clean, no harm"
		}
	}
	j.limits(a, "confirm_hours", "apply", stood, words)
}

// colder holds the surface against the temperature of the patches.
func (j *judge) colder(a *Action) {
	c := j.candidate()
	if c == nil || c.Reference == nil {
		return // patched says that there is none, or the reading of the patches that it was not read
	}
	w, _ := j.weather()
	var by *float64
	if w.Surface != nil {
		by = pointer(exact(*c.Reference - *w.Surface))
	}
	j.limits(a, "colder_than_patch", "apply", by, fmt.Sprintf("surface %s, at the patches %s", temperature(w.Surface), temperature(c.Reference)))
}
