package interview

import (
	"context"
	"errors"
	"slices"
	"strings"

	"patchfirst/interview/job"
)

// Form puts the questions of an entry, one after the other, until something stops it, and keeps the answers as the
// entry's text.
type Form struct {
	Draft job.Draft
	Err   error // what stopped it: ErrStopped, ErrInputEnded

	ctx    context.Context
	p      Prompter
	number int
}

// Blank is a question whose answer is typed in words; an optional one may be left open.
type Blank struct {
	Key, Text, Help string
	Optional        bool
}

// Blanks of every entry.
var (
	When   = Blank{Key: "at", Text: "When was it?", Help: "Date and time with its offset, such as 2026-06-01T09:30:00+01:00. Left open it is now.", Optional: true}
	Writer = Blank{Key: "by", Text: "Who writes this?", Help: "A name or initials."}
)

// NewForm returns a form without answers.
func NewForm(ctx context.Context, p Prompter) *Form { return &Form{Draft: job.Draft{}, ctx: ctx, p: p} }

// Pick asks for one of some options.
func (f *Form) Pick(key, text string, optional bool, options ...Option) {
	f.ask(key, &Ask{Text: text, Kind: One, Options: options, Unknown: optional})
}

// Confirm asks whether something is so, and reports whether the answer is yes.
func (f *Form) Confirm(text string) bool {
	f.Pick("confirmed", text, false, Option{ID: "yes", Label: "yes"}, Option{ID: "no", Label: "no"})
	yes := f.Draft["confirmed"] == "yes"
	delete(f.Draft, "confirmed")
	return yes && f.Err == nil
}

// Fill asks for answers in words; check says what is wrong with one.
func (f *Form) Fill(check func(key, text string) error, blanks ...Blank) {
	for _, b := range blanks {
		f.ask(b.Key, &Ask{Text: b.Text, Help: b.Help, Kind: Line, Unknown: b.Optional, Check: func(r Reply) error { return check(b.Key, r.Line) }})
	}
}

// Say tells something.
func (f *Form) Say(text string) { f.p.Say(text) }

func (f *Form) ask(key string, q *Ask) {
	if f.Err != nil {
		return
	}
	f.number++
	q.Number, q.Heading = f.number, "the entry"
	reply, err := f.p.Ask(f.ctx, q)
	if f.Err = err; err != nil || reply.Act != Answered {
		return
	}
	f.Draft[key] = strings.Join(append(slices.Clone(reply.Values), strings.TrimSpace(reply.Line)), "")
}

// Settle keeps a draft, and where that leaves a doubt asks whether it is right as it stands. If it is not, nothing is
// written and the job.DoubtError returned.
func (f *Form) Settle(keep func(job.Draft) (*job.Kept, error)) (*job.Kept, error) {
	if f.Err != nil {
		return nil, f.Err
	}
	kept, err := f.keep(keep)
	var doubt *job.DoubtError
	if !errors.As(err, &doubt) {
		return kept, err
	}
	for _, q := range doubt.Questions {
		f.Say(q.Ask)
	}
	if !f.Confirm("Is it right as it stands?") {
		if f.Err != nil {
			return nil, f.Err
		}
		return nil, doubt
	}
	f.Draft.Mark("sure", true)
	return f.keep(keep)
}

// keep keeps the draft. While another program has the file it offers to try again, so that what was typed is not lost.
func (f *Form) keep(keep func(job.Draft) (*job.Kept, error)) (*job.Kept, error) {
	for {
		kept, err := keep(f.Draft)
		var busy *job.BusyError
		if !errors.As(err, &busy) || f.Err != nil {
			return kept, err
		}
		f.Say(busy.Error() + ". Nothing is lost yet.")
		if !f.Confirm("Try again?") {
			return nil, err
		}
	}
}
