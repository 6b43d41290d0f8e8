package lesson

import (
	"fmt"
	"maps"
	"slices"

	"patchfirst/explain"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

// sameAdvice is the answer that nothing flipped.
const sameAdvice = "same"

// whatChanged asks why the advice flipped between two situations. If they differ in one answer the options are reasons;
// if they differ in several, the options are the answers that changed, and those are right that flip it by themselves.
func (s *School) whatChanged(q *Question, e *Exercise) error {
	second := maps.Clone(q.Lesson.Answers(slices.Index(q.Lesson.Exercises, e)))
	maps.Copy(second, e.To)
	x, err := s.explain(q.Lesson, knowledge.WithFigures(s.Base, second))
	if err != nil {
		return q.cannot(e, "Check to: no building is like that.", "%v", err)
	}
	first := q.Decision
	q.Before, q.Decision, q.Explain = first, x.Decision(), x
	m := s.Base.Method(e.Method)
	if m == nil {
		m = first.First.Method
	}
	was, is := first.Methods[m.Rank], q.Decision.Methods[m.Rank]
	flip := s.flip(m, first, q.Decision)
	if flip == "" {
		return q.cannot(e, "Change to, or name another method.", "nothing flips: %s stays %s", m.ID, VerdictWords(was))
	}
	var changed []*rules.Fact
	for _, f := range s.Base.Facts {
		if a, ok := e.To[f.ID]; ok {
			changed = append(changed, f)
			q.Changed = append(q.Changed, fmt.Sprintf("%s: %s", f.Words(), explain.Answer(f, a)))
			q.Facts = append(q.Facts, fmt.Sprintf("Second situation: %s: %s (%s).", f.Words(), explain.Answer(f, a), s.before(q, f)))
		}
	}
	q.Facts = append(q.Facts, fmt.Sprintf("%s: %s in the first, %s in the second.", m.Label, s.stands(first, was), s.stands(q.Decision, is)))
	if len(changed) > 1 {
		return s.whichChange(q, e, m, changed)
	}
	if q.Text == "" {
		q.Text = "Why did the advice flip?"
	}
	q.Shape = Some
	s.flipReasons(q, m, was, is)
	return nil
}

// flip says how a method differs between two decisions; empty: it does not.
func (s *School) flip(m *rules.Method, a, b *rules.Decision) string {
	was, is := a.Methods[m.Rank], b.Methods[m.Rank]
	switch {
	case was.Verdict.Offered() != is.Verdict.Offered():
		return "offered"
	case (was == a.First) != (is == b.First):
		return "first"
	}
	return ""
}

func (s *School) before(q *Question, f *rules.Fact) string {
	if a, ok := q.Answers[f.ID]; ok {
		return "first: " + explain.Answer(f, a)
	}
	return "first: not told"
}

func (s *School) stands(d *rules.Decision, o *rules.Outcome) string {
	if o == d.First {
		return "the first choice"
	}
	return VerdictWords(o)
}

// whichChange offers the answers that changed.
func (s *School) whichChange(q *Question, e *Exercise, m *rules.Method, changed []*rules.Fact) error {
	if q.Text == "" {
		q.Text = "Which change flipped the advice?"
	}
	q.Shape = Some
	for _, f := range changed {
		alone := maps.Clone(q.Lesson.Answers(slices.Index(q.Lesson.Exercises, e)))
		alone[f.ID] = e.To[f.ID]
		o := &Option{ID: f.ID, Label: fmt.Sprintf("%s: %s", f.Words(), explain.Answer(f, e.To[f.ID])), Says: "alone it changes nothing that was asked"}
		d, clash, err := s.Base.Decide(knowledge.WithFigures(s.Base, alone))
		if err != nil {
			return err
		}
		if clash == nil && s.flip(m, q.Before, d) != "" {
			o.Right, o.Says, o.Why = true, "alone it flips the advice", said(news(q.Before, d, m))
		}
		q.Options = append(q.Options, o)
	}
	return nil
}

// news lists the rules behind the verdict of a method in the second decision, or if it opened those that closed it in
// the first; those that count in both are left out.
func news(a, b *rules.Decision, m *rules.Method) (fresh []*rules.Rule) {
	was, is := a.Methods[m.Rank], b.Methods[m.Rank]
	one, other := is, was
	if was.Verdict > is.Verdict && was.Verdict != rules.Possible && is.Verdict.Offered() && !was.Verdict.Offered() {
		one, other = was, is
	}
	in := b
	if one == was {
		in = a
	}
	for _, r := range sure(in, one.Reasons) {
		if !slices.Contains(other.Reasons, r) {
			fresh = append(fresh, r)
		}
	}
	if len(fresh) == 0 && was == a.First { // another one came before it
		for _, r := range b.First.Reasons {
			if !slices.Contains(a.Methods[b.First.Method.Rank].Reasons, r) {
				fresh = append(fresh, r)
			}
		}
	}
	if len(fresh) == 0 { // what spoke for it or for another no longer does
		for _, r := range slices.Concat(was.Reasons, a.First.Reasons) {
			if b.Never(r) && !slices.Contains(fresh, r) {
				fresh = append(fresh, r)
			}
		}
	}
	return fresh
}

// flipReasons offers the rules that made the flip, some that did not, and that there was no flip. To take a refused
// method for allowed is dangerous.
func (s *School) flipReasons(q *Question, m *rules.Method, was, is *rules.Outcome) {
	fresh := news(q.Before, q.Decision, m)
	others := func(r *rules.Rule) bool {
		return !slices.Contains(is.Reasons, r) && !slices.Contains(was.Reasons, r) && len(r.Gives) > 0
	}
	for _, r := range s.reasonsAnd(q, fresh, others) {
		o := s.reasonOption(r)
		o.Right = slices.Contains(fresh, r)
		o.Says = "it does not bear on this"
		if o.Right {
			o.Says = "this made the difference"
		}
		q.Options = append(q.Options, o)
	}
	same := &Option{ID: sameAdvice, Label: fmt.Sprintf("It did not flip: in both it is the same for %s.", m.Label), Says: "it did flip"}
	if is.Verdict == rules.RuledOut {
		same.Grave, same.Why, same.Caution = true, said(sure(q.Decision, is.Reasons)), s.caution(q, m, sure(q.Decision, is.Reasons))
	}
	q.Options = append(q.Options, same)
}
