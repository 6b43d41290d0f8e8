package show

import (
	"fmt"
	"slices"
	"time"

	"patchfirst/explain"
	"patchfirst/interview/diary"
	"patchfirst/interview/paper"
	"patchfirst/interview/patches"
)

// report writes what may be done now, what must wait, and why.
func (w *writer) report(r *diary.Report) {
	w.Head("Now, " + w.now.Format("Mon 2 Jan 2006 15:04 -07:00"))
	if r.Method != nil {
		w.Para("  ", "Method: %s.", r.Method.Label)
	}
	if len(r.Actions) == 0 {
		w.Para("  ", "Everything that was put on is primed. Watch it, and look again for slow harm.")
	}
	for _, a := range urgentFirst(r.Actions) {
		w.action(r, a)
	}
	for _, p := range r.Passed {
		w.Para("  ! ", "Entry %d (%s) was written although something should have waited:", p.Entry.ID, kindWords(p.Entry))
		w.findings("      ", p.Waits)
	}
	for _, q := range r.Questions {
		w.Para(fmt.Sprintf("  ? entry %d: ", q.Entry), "%s", q.Ask)
	}
}

// urgentFirst puts what is overdue before the rest, which stays in the order of the work.
func urgentFirst(all []diary.Action) []diary.Action {
	sorted := slices.Clone(all)
	slices.SortStableFunc(sorted, func(a, b diary.Action) int { return min(len(b.Late), 1) - min(len(a.Late), 1) })
	return sorted
}

func (w *writer) action(r *diary.Report, a diary.Action) {
	mark := "MAY"
	switch {
	case len(a.Late) > 0:
		mark = "NOW"
	case len(a.Waits) > 0:
		mark = "NOT YET"
	case a.From.After(w.now):
		mark = "WAIT"
	}
	when := ""
	if a.From.After(w.now) {
		when = ", from " + w.at(a.From)
	}
	if !a.By.IsZero() {
		when += ", by " + w.at(a.By) + " at the latest"
	}
	w.Para(fmt.Sprintf("  %-7s ", mark), "%s%s", Words(a, r), when)
	w.findings("          ", a.Late)
	w.findings("          ", a.Waits)
	if len(a.Waits) == 0 {
		w.kept(a)
	}
	for _, s := range a.Says {
		if slices.Contains(w.said, s.Text) {
			continue // once is enough, where several batches are at the same stage
		}
		w.said = append(w.said, s.Text)
		if len(s.Sources) > 0 {
			w.Para("          ", "%s %s", s.Text, w.Cite(s.Sources))
		} else {
			w.Para("          ", "%s", s.Text)
		}
	}
}

// kept lists the limits that are kept. What was said of another batch is not said again.
func (w *writer) kept(a diary.Action) {
	again := false
	for _, f := range a.Kept {
		words := paper.Capital(f.Reading) + "; needed: " + f.Limit + "."
		switch {
		case f.Limit == "":
			continue
		case slices.Contains(w.said, words):
			again = true
			continue
		}
		w.said = append(w.said, words)
		w.Para("          + ", "%s %s", words, w.Cite(f.Sources))
	}
	if again {
		w.Para("          + ", "The rest as above.")
	}
}

func (w *writer) findings(indent string, all []diary.Finding) {
	for _, f := range all {
		iff := explain.If(w.Base, f.If, f.Else)
		limit := ""
		if f.Limit != "" {
			limit = "; needed: " + f.Limit
		}
		w.Para(indent+"- ", "%s%s%s. %s %s", iff, paper.Capital(f.Reading), limit, f.Say, w.Cite(f.Sources))
	}
}

// at says a moment, without its day where that is today.
func (w *writer) at(t time.Time) string {
	t = t.In(w.now.Location())
	if t.Format(time.DateOnly) == w.now.Format(time.DateOnly) {
		return t.Format("15:04")
	}
	return t.Format("Mon 2 Jan 15:04")
}

// Words says what an action does.
func Words(a diary.Action, r *diary.Report) string {
	batch := ""
	if a.Batch != nil {
		batch = a.Batch.String()
	}
	switch a.Do {
	case diary.ToPatch:
		return "Make and read test patches first"
	case diary.ToConfirm:
		size := ""
		if r.Patches.Next.Do == patches.Confirm {
			size = ": " + r.Patches.Next.Size.Confirm
		}
		return "Make a larger confirming patch" + size
	case diary.ToApply:
		return "Begin the next batch"
	case diary.ToLook:
		return "Look under the cover of " + batch
	case diary.ToRemove:
		if !a.Paste {
			return "Finish " + batch + ", and enter it as taken off"
		}
		return "Take the paste off " + batch
	case diary.ToRinse:
		return "Rinse " + batch
	case diary.ToNeutralise:
		return "Neutralise " + batch + " with weak acid"
	case diary.ToDry:
		return "Let " + batch + " dry, and read it dry"
	}
	return "Prime " + batch
}
