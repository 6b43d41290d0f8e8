package lesson

import (
	"fmt"
	"reflect"
	"slices"

	"patchfirst/explain"
	"patchfirst/interview/job"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

// Shape is what an answer is.
type Shape int

// The shapes of an answer.
const (
	One   Shape = iota // one of the options
	Some               // a set of them
	Order              // all of them, in order
)

// Question is an exercise with what the engine makes of it.
type Question struct {
	Kind    Kind
	Shape   Shape
	Text    string
	Facts   []string // what is shown beside the situation, line by line
	Options []*Option
	Hints   []string
	Lesson  *Lesson
	Answers rules.Answers
	seed    string // of what is chosen and ordered as if by chance
	// What the engine says of the situation. Of WhatChanged it is the second one, and Before the first.
	Decision *rules.Decision
	Explain  *explain.Explainer
	Before   *rules.Decision
	Changed  []string // what made, or would make, the difference, in words: of WhatChanged, ReadPatches and ReadPH
}

// Option is one thing to choose, and what the engine says of it.
type Option struct {
	ID, Label string
	Worth     float64 // of One: what choosing it earns, from 0 to 1
	Right     bool    // of One and Some: it belongs to the best answer
	Place     int     // of Order: options with a smaller place come first
	Grave     bool    // of Some: to leave it out is dangerous if it is right; of One and Some: to choose it if it is wrong
	Says      string  // the verdict, in words
	Why       []explain.Said
	Caution   *rules.Note // what a person who chooses it would meet
}

// Rules lists the rules that are shown with the option.
func (o *Option) Rules() (ids []string) {
	for _, s := range o.Why {
		ids = append(ids, s.Rule)
	}
	return ids
}

// Option returns the option of an id, or nil.
func (q *Question) Option(id string) *Option {
	i := slices.IndexFunc(q.Options, func(o *Option) bool { return o.ID == id })
	if i < 0 {
		return nil
	}
	return q.Options[i]
}

// ExerciseError is an exercise that cannot be put: what is wrong with it and what to write instead.
type ExerciseError struct {
	Lesson string
	Pos    rules.Pos
	What   string
	Fix    string
}

func (e *ExerciseError) Error() string {
	text := fmt.Sprintf("%s: %s", e.Pos, e.What)
	if e.Fix != "" {
		text += "\n    " + e.Fix
	}
	return text
}

func (q *Question) cannot(e *Exercise, fix, format string, args ...any) error {
	return &ExerciseError{q.Lesson.Name, e.Pos, fmt.Sprintf(format, args...), fix}
}

// Pose makes the question of an exercise of a lesson, counted from 0. The error is an ExerciseError if the exercise
// cannot be answered by what is told.
func (s *School) Pose(l *Lesson, exercise int) (*Question, error) {
	e := l.Exercises[exercise]
	q := &Question{Kind: e.Kind, Lesson: l, Text: e.Text, seed: fmt.Sprintf("%s %d", l.Name, exercise), Answers: knowledge.WithFigures(s.Base, l.Answers(exercise))}
	var err error
	if q.Explain, err = s.explain(l, q.Answers); err != nil {
		return nil, q.cannot(e, "Check given and then: no building is like that.", "%v", err)
	}
	q.Decision = q.Explain.Decision()
	pose := map[Kind]func(*Question, *Exercise) error{
		ChooseMethod: s.chooseMethod, RuleOut: s.ruleOut, MissingQuestion: s.missingQuestion, FindDanger: s.findDanger,
		OrderSteps: s.orderSteps, ReadPatches: s.readPatches, ReadPH: s.readPH, WhatChanged: s.whatChanged,
	}[e.Kind]
	if err := pose(q, e); err != nil {
		return nil, err
	}
	if err := q.judgeable(e); err != nil {
		return nil, err
	}
	q.Hints = append(slices.Clone(e.Hints), s.hints(q)...)
	return q, nil
}

// judgeable refuses a question that has no right answer, or none but right ones.
func (q *Question) judgeable(e *Exercise) error {
	right := 0
	places := map[int]bool{}
	for _, o := range q.Options {
		places[o.Place] = true
		if o.Right {
			right++
		}
	}
	switch {
	case q.Shape == Order && len(places) < 2:
		return q.cannot(e, "Name steps of different stages of the work.", "the steps belong to one stage, so no order is wrong")
	case q.Shape == Order:
		return nil
	case right == 0:
		return q.cannot(e, "Change the options, or what is given.", "no option of the exercise to %s is right", e.Kind.Words())
	case right == len(q.Options):
		return q.cannot(e, "Add options that are wrong, or change what is given.", "every option of the exercise to %s is right", e.Kind.Words())
	}
	return nil
}

// explain decides a situation by the rules.
func (s *School) explain(l *Lesson, answers rules.Answers) (*explain.Explainer, error) {
	if s.last.x != nil && s.last.title == l.Case.Title && reflect.DeepEqual(s.last.answers, answers) {
		return s.last.x, nil
	}
	j, element := job.New(), job.NewElement(l.Case.Title)
	for id, a := range answers {
		if s.Base.Fact(id).Asked() {
			element.Answers[id] = a
		}
	}
	j.Elements = []*job.Element{element}
	x, err := explain.ExplainBy(s.reasoner, s.Base, j, element)
	if err == nil {
		s.last = told{l.Case.Title, answers, x}
	}
	return x, err
}

// outcome returns what becomes of a method.
func (q *Question) outcome(m *rules.Method) *rules.Outcome { return q.Decision.Methods[m.Rank] }

// VerdictWords says a verdict to a learner.
func VerdictWords(o *rules.Outcome) string {
	switch o.Verdict {
	case rules.Favoured:
		return "allowed, and the rules speak for it"
	case rules.Possible:
		return "allowed"
	case rules.Discouraged:
		return "allowed, and the rules speak against it"
	case rules.NoUse:
		return "of no use here"
	}
	if len(o.Until) > 0 {
		return "ruled out until more is known"
	}
	return "ruled out"
}

// mostReasons is how many reasons are shown for one option, the weightiest first.
const mostReasons = 3

// sure keeps the rules that fire whatever is still unknown; where none does all count that may.
func sure(d *rules.Decision, reasons []*rules.Rule) []*rules.Rule {
	var firm []*rules.Rule
	for _, r := range reasons {
		if d.Always(r) {
			firm = append(firm, r)
		}
	}
	if len(firm) == 0 {
		return reasons
	}
	return firm
}

func said(all []*rules.Rule) (why []explain.Said) {
	for _, r := range all[:min(mostReasons, len(all))] {
		why = append(why, explain.Said{Rule: r.ID, Because: r.Because, Sources: r.Sources})
	}
	return why
}

// methodOption is a method as an option, with the rules behind its verdict.
func (s *School) methodOption(q *Question, m *rules.Method) *Option {
	o := q.outcome(m)
	option := &Option{ID: m.ID, Label: m.Label, Says: VerdictWords(o), Why: said(sure(q.Decision, o.Reasons))}
	if o.Verdict == rules.RuledOut {
		option.Caution = s.caution(q, m, sure(q.Decision, o.Reasons))
	}
	return option
}

// caution finds what a person would be warned of who used a refused method: of the cautions that the method has here, the
// one that hangs most on what the refusal hangs on, and of several the gravest.
func (s *School) caution(q *Question, m *rules.Method, reasons []*rules.Rule) *rules.Note {
	if len(reasons) == 0 {
		return nil
	}
	reads := subjects(reasons[0].When)
	var found *rules.Note
	best := 0.0
	for _, r := range s.Base.Rules {
		if len(r.Attach[rules.Caution]) == 0 || r.Cell != "" || !r.With.Has(m.Rank) || !q.Decision.Always(r) {
			continue
		}
		has := subjects(r.When)
		common := 0.0
		for subject := range has {
			if reads[subject] {
				common++
			}
		}
		const everywhere = 0.01 // one that the method has wherever it is used is better than none
		likeness := everywhere
		if len(has) > 0 {
			likeness = common / (float64(len(has)+len(reads)) - common)
		}
		for _, id := range r.Attach[rules.Caution] {
			n := s.Base.Note(rules.Caution, id)
			if likeness > best || likeness == best && found != nil && slices.Index(rules.Gravities, n.Gravity) < slices.Index(rules.Gravities, found.Gravity) {
				found, best = n, likeness
			}
		}
	}
	return found
}

// subjects are the findings and questions that a condition reads.
func subjects(c *rules.Cond) map[string]bool {
	all := map[string]bool{}
	c.Walk(func(t *rules.Test) {
		switch {
		case t.Finding != nil:
			all[t.Finding.ID] = true
		case t.Fact != nil:
			all[t.Fact.Parent().ID] = true
		}
	})
	return all
}
