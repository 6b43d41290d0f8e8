// Package ask runs a lesson through a prompter: for a learner, who answers before the engine does, and for a trainer,
// who shows each step to a room and reveals it.
package ask

import (
	"context"
	"errors"
	"fmt"
	"time"

	"patchfirst/interview"
	"patchfirst/interview/lesson"
	"patchfirst/interview/lesson/show"
)

// Keys tells whoever answers line by line what may be typed.
const Keys = "Answer with a number from the list, or with several and commas between them. Instead of an answer: ? gives a hint, and the next ? one more. b shows the situation again, q stops. Every answer is kept at once."

// stuckID is the answer of somebody who does not know.
const stuckID = "stuck"

// Learn puts the exercises of a lesson that are still open, judges each answer, keeps it, and tells what the engine says.
// It returns the run as far as it came; the error is interview.ErrStopped or interview.ErrInputEnded if it did not end.
func Learn(ctx context.Context, p interview.Prompter, s *lesson.School, l *lesson.Lesson, k *lesson.Keeper, now func() time.Time) (*lesson.Run, error) {
	run := k.Open(l)
	begins := true // this sitting
	if run == nil {
		run = k.Begin(l, now())
	} else if len(run.Given) > 0 {
		p.Say(fmt.Sprintf("Going on with exercise %d of %d.", len(run.Given)+1, run.Of))
	}
	for !run.Done() {
		number := len(run.Given)
		fresh := begins || number > 0 && len(l.Exercises[number-1].Then) > 0
		if err := exercise(ctx, p, s, l, k, run, fresh, now); err != nil {
			return run, err
		}
		begins = false
	}
	return run, nil
}

func exercise(ctx context.Context, p interview.Prompter, s *lesson.School, l *lesson.Lesson, k *lesson.Keeper, run *lesson.Run, fresh bool, now func() time.Time) error {
	number := len(run.Given)
	q, err := s.Pose(l, number)
	if err != nil {
		return err
	}
	hints := 0
	chosen, err := answer(ctx, p, q, show.Situation(s.Base, l, number), heading(l, number, q), fresh, &hints)
	if err != nil {
		return err
	}
	j := q.Judge(chosen)
	given := lesson.Given{Exercise: number + 1, Kind: q.Kind, Chose: chosen, Mark: j.Mark, Points: j.Points, Hints: hints, Shown: q.Shows(), Lost: q.Lost(j), At: now()}
	run.Given = append(run.Given, given)
	if err := k.Save(); err != nil {
		return &interview.SaveError{Err: err}
	}
	text, err := show.Reveal(s.Base, q, j)
	if err != nil {
		return err
	}
	if len(chosen) > 0 {
		text = "You said: " + show.Answered(q, chosen) + ".\n" + text
	}
	_, err = p.Ask(ctx, &interview.Ask{Kind: interview.Page, Heading: heading(l, number, q), Text: text})
	return err
}

func heading(l *lesson.Lesson, number int, q *lesson.Question) string {
	return fmt.Sprintf("%s. Exercise %d of %d: %s", l.Case.Title, number+1, len(l.Exercises), q.Kind.Words())
}

// answer asks, and shows before it what is new: the situation, or what this question adds to it. Back shows all of it.
func answer(ctx context.Context, p interview.Prompter, q *lesson.Question, situation, heading string, fresh bool, hints *int) ([]string, error) {
	before := show.Added(q)
	if fresh {
		before = situation + before
	}
	for {
		if before != "" {
			if _, err := p.Ask(ctx, &interview.Ask{Kind: interview.Page, Heading: heading, Text: before}); err != nil {
				return nil, err
			}
		}
		r, err := p.Ask(ctx, asked(q, heading, hints))
		switch {
		case err != nil:
			return nil, err
		case r.Act == interview.Back:
			before = situation + show.Added(q)
			continue
		case r.Act == interview.NotKnown || len(r.Values) == 1 && r.Values[0] == stuckID:
			return nil, nil
		}
		return r.Values, nil
	}
}

// asked is the question as the prompter puts it.
func asked(q *lesson.Question, heading string, hints *int) *interview.Ask {
	a := &interview.Ask{Heading: heading, Text: q.Text, Back: true, WhyName: "hint", Why: func() string { return hint(q, hints) }}
	for _, o := range q.Options {
		a.Options = append(a.Options, interview.Option{ID: o.ID, Label: o.Label})
	}
	switch q.Shape {
	case lesson.Some:
		a.Kind = interview.Many
		a.Check = alone
	case lesson.Order:
		a.Kind, a.Order, a.Whole = interview.Many, "first to last", true
		a.Help = "Put all of them in order, first to last."
		a.Check = func(r interview.Reply) error { return whole(r, len(q.Options)) }
		a.Unknown, a.List = true, true
		return a
	}
	a.Options = append(a.Options, interview.Option{ID: stuckID, Label: "I do not know: show me"})
	return a
}

func alone(r interview.Reply) error {
	for _, v := range r.Values {
		if v == stuckID && len(r.Values) > 1 {
			return errors.New("Not to know stands alone: take its mark off, or the others.")
		}
	}
	return nil
}

func whole(r interview.Reply, want int) error {
	seen := map[string]bool{}
	for _, v := range r.Values {
		seen[v] = true
	}
	if len(seen) != want || len(r.Values) != want {
		return fmt.Errorf("Name each of the %d once, first to last.", want)
	}
	return nil
}

// hint gives the hints so far and one more.
func hint(q *lesson.Question, given *int) string {
	*given = min(*given+1, len(q.Hints))
	text := ""
	for i, h := range q.Hints[:*given] {
		text += fmt.Sprintf("Hint %d of %d. %s\n", i+1, len(q.Hints), h)
	}
	if *given == len(q.Hints) {
		text += "There are no more hints."
	}
	return text
}
