package diary

import (
	"time"

	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/rules"
)

// Report is what may be done now, and what must wait.
type Report struct {
	Diary     *Diary
	Method    *rules.Method // that the work is done with, or would be; nil: none is known
	Actions   []Action      // in the order of the work
	Passed    []Passed
	Questions []job.Question
	Patches   *patches.Reading
}

// Doing is what an action does.
type Doing string

// The actions, in the order of the work.
const (
	ToPatch      Doing = "patch"
	ToConfirm    Doing = "confirm"
	ToApply      Doing = "apply"
	ToLook       Doing = "look"
	ToRemove     Doing = "remove"
	ToRinse      Doing = "rinse"
	ToNeutralise Doing = "neutralise"
	ToDry        Doing = "dry"
	ToPrime      Doing = "prime"
)

// Action is a piece of work that is next for a part or a batch.
type Action struct {
	Do    Doing
	Batch *Batch    // nil: a new one, or none
	Paste bool      // it is of paste that lies and works
	From  time.Time // not before then; zero: at once
	By    time.Time // and no later; zero: no matter
	Waits []Finding // why it must wait
	Late  []Finding // what is overdue
	Kept  []Finding // the limits that are kept
	Says  []Say
}

// May reports whether it may be done at a time.
func (a Action) May(now time.Time) bool { return len(a.Waits) == 0 && !a.From.After(now) }

// Say is something to know about an action.
type Say struct {
	Text    string
	Sources []string
}

// Finding is a reading held against a limit or a hold point.
type Finding struct {
	ID      string // of the limit or the hold point
	Hold    string // the hold point that waits for it; empty: none
	Reading string // in words
	Value   *float64
	Limit   string // in words
	Say     string // what to do
	Because string
	Sources []string
	If      []rules.Requirement // it holds in these cases
	Else    bool                // and perhaps in others
}

// Passed is an entry that was written although something should have waited.
type Passed struct {
	Entry job.Entry
	Waits []Finding
}
