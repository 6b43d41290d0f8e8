package lesson

import (
	"errors"
	"fmt"
	"slices"

	"patchfirst/knowledge"
	"patchfirst/rules"
	"patchfirst/rules/cases"
)

// Checked is what a check found of one lesson.
type Checked struct {
	Lesson   *Lesson
	Problems []string // why it cannot be taught as it stands; none: it is solvable
	Teaches  []string // rules that its exercises show, in the order of the base
	Refusing []string // those of them that rule something out, and do so in an exercise
	Cautions []string // that are shown: of dangers to find, and of dangerous choices
	Hardness float64  // from 0, see hardness
	Level    string   // that it seems to be
}

// Check poses every exercise of a lesson.
func (s *School) Check(l *Lesson) (*Checked, error) {
	c := &Checked{Lesson: l}
	failures, err := cases.Run(s.Base, &l.Case, func(a rules.Answers) rules.Answers { return knowledge.WithFigures(s.Base, a) })
	if err != nil {
		return nil, err
	}
	for _, f := range failures {
		c.Problems = append(c.Problems, fmt.Sprintf("%s: %s. %s", l.Case.Pos, f.What, f.Why))
	}
	shown := map[string]bool{}
	for i := range l.Exercises {
		q, err := s.Pose(l, i)
		var bad *ExerciseError
		switch {
		case errors.As(err, &bad):
			c.Problems = append(c.Problems, bad.Error())
			continue
		case err != nil:
			return nil, err
		}
		for _, id := range q.Shows() {
			shown[id] = true
		}
		for _, o := range q.Options {
			if o.Caution != nil && !slices.Contains(c.Cautions, o.Caution.ID) {
				c.Cautions = append(c.Cautions, o.Caution.ID)
			}
		}
		for _, id := range q.refusals() {
			if !slices.Contains(c.Refusing, id) {
				c.Refusing = append(c.Refusing, id)
			}
		}
		c.Hardness = max(c.Hardness, s.hardness(q))
	}
	for _, r := range s.Base.Rules {
		if shown[r.ID] {
			c.Teaches = append(c.Teaches, r.ID)
		}
	}
	for _, id := range l.Teaches {
		if !shown[id] {
			c.Problems = append(c.Problems, fmt.Sprintf("%s: it is to teach %q, and no exercise shows that rule", l.Pos, id))
		}
	}
	c.Level = level(c.Hardness)
	return c, nil
}

// CheckAll checks the lessons of some names, or all if there is none.
func (s *School) CheckAll(all []*Lesson, names []string) (checked []*Checked, err error) {
	var known []string
	for _, l := range all {
		known = append(known, l.Name)
	}
	for _, name := range names {
		if !slices.Contains(known, name) {
			return nil, fmt.Errorf("there is no lesson %q. %s", name, rules.DidYouMean(name, known))
		}
	}
	for _, l := range all {
		if len(names) > 0 && !slices.Contains(names, l.Name) {
			continue
		}
		c, err := s.Check(l)
		if err != nil {
			return nil, err
		}
		checked = append(checked, c)
	}
	return checked, nil
}

// refusals lists the rules that rule out some method that the question speaks of, and are told with it.
func (q *Question) refusals() (ids []string) {
	for _, d := range []*rules.Decision{q.Before, q.Decision} {
		if d == nil {
			continue
		}
		for _, o := range d.Methods {
			if o.Verdict != rules.RuledOut {
				continue
			}
			for _, r := range sure(d, o.Reasons) {
				if q.tells(r.ID) && !slices.Contains(ids, r.ID) {
					ids = append(ids, r.ID)
				}
			}
		}
	}
	return ids
}

// tells reports whether a rule is told with an option as one that counts.
func (q *Question) tells(id string) bool {
	return slices.ContainsFunc(q.Options, func(o *Option) bool {
		methods := q.Kind == ChooseMethod || q.Kind == RuleOut || q.Kind == MissingQuestion || q.Shape == Order
		return slices.Contains(o.Rules(), id) && (o.Right || o.Grave || methods)
	})
}

// hardness weighs what a learner must hold together for one question: how many answers the rules behind it read, directly
// or through findings; how many options look possible; and whether a missing answer must be thought of. The weights are
// the trainer's rule of thumb, from memory.
func (s *School) hardness(q *Question) float64 {
	const perFact, perOption, perFinding, blank = 0.4, 0.25, 0.5, 1.5
	facts, findings := map[string]bool{}, map[string]bool{}
	for _, r := range s.Base.Rules {
		if !q.tells(r.ID) {
			continue
		}
		for subject := range subjects(r.When) {
			if s.Base.Finding(subject) != nil {
				findings[subject] = true
			} else {
				facts[subject] = true
			}
		}
	}
	h := perFact*float64(len(facts)) + perFinding*float64(len(findings)) + perOption*float64(len(q.Options))
	if q.Kind == MissingQuestion {
		h += blank
	}
	return h
}

// The hardness from which a lesson is of the middle level, and from which it is hard.
const middleFrom, hardFrom = 3, 4.8

func level(h float64) string {
	switch {
	case h >= hardFrom:
		return Levels[2]
	case h >= middleFrom:
		return Levels[1]
	}
	return Levels[0]
}
