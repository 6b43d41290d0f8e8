package audit

import (
	"fmt"
	"slices"

	"patchfirst/rules"
	"patchfirst/rules/cases"
	"patchfirst/rules/diagram"
)

// runner decides case files again and again. It begins with the case that killed last and goes on to those that stand near it,
// since rules and the cases about them mostly stand in the same order.
type runner struct {
	s       *rules.Space
	b       *rules.Base
	meeter  *diagram.Meeter
	prepare Prepare
	runs    []*run
	open    []*run // that are decided, oldest first
	last    int    // place of the one that killed last
}

// run is a case file; it is decided when it is first needed.
type run struct {
	c   *cases.Case
	box diagram.Case
	o   *rules.Outline
}

func newRunner(s *rules.Space, all []cases.Case, prepare Prepare) *runner {
	r := &runner{s: s, b: s.Base, meeter: s.Store.Meeter(), prepare: prepare}
	for i := range all {
		r.runs = append(r.runs, &run{c: &all[i], box: r.b.Limit(r.ready(all[i].Given))})
	}
	return r
}

func (r *runner) ready(given rules.Answers) rules.Answers { return ready(r.b, given, r.prepare) }

// Watch is told how far long work has come, perhaps by several goroutines at once. It may be nil.
type Watch func(done string)

func (w Watch) tell(format string, args ...any) {
	if w != nil {
		w(fmt.Sprintf(format, args...))
	}
}

// ready completes answers.
func ready(b *rules.Base, given rules.Answers, prepare Prepare) rules.Answers {
	if prepare == nil {
		return given
	}
	return prepare(b, given)
}

// decide decides a case, and forgets one that was decided long ago if there are many.
func (r *runner) decide(one *run) error {
	const most = 400
	if one.o != nil {
		return nil
	}
	o, contradiction, err := r.b.Outline(r.ready(one.c.Given))
	if err != nil {
		return err
	}
	if contradiction != nil {
		return contradiction
	}
	// What it expects is found out before a fault is tried, so that it need not be found out again.
	if err := o.Try(func() { one.c.Met(r.b, o) }); err != nil {
		return err
	}
	if one.o = o; len(r.open) == most {
		r.open[0].o = nil
		r.open = r.open[1:]
	}
	r.open = append(r.open, one)
	return nil
}

// where returns the cases in which the rule of a mutant does something else.
func (r *runner) where(m *Mutant) diagram.Node {
	st, was, is := r.s.Store, r.s.Rule(m.Place), r.s.Node(m.Twin.When)
	if does(r.b, m.Rule) != does(r.b, m.Twin) {
		return st.Or(was, is)
	}
	return st.Or(st.And(was, st.Not(is)), st.And(is, st.Not(was)))
}

// kill returns a case that does not come out as expected with a mutant.
func (r *runner) kill(m *Mutant) (*cases.Case, error) {
	var where diagram.Node
	if err := r.s.Store.Try(func() { where = r.where(m) }); err != nil {
		return nil, err
	}
	for step := range 2 * len(r.runs) {
		i := r.last + (step+1)/2
		if step%2 == 0 {
			i = r.last - step/2
		}
		if i < 0 || i >= len(r.runs) {
			continue
		}
		last := r.runs[i]
		if !r.sees(last.c, m) || !r.meeter.Meets(where, last.box) {
			continue
		}
		if err := r.decide(last); err != nil {
			return nil, err
		}
		met := true
		err := last.o.Try(func() {
			if twin := last.o.With(m.Place, m.Twin); twin != nil {
				met = last.c.Met(r.b, twin)
			}
		})
		if err != nil {
			return nil, err
		}
		if !met {
			r.last = i
			return last.c, nil
		}
	}
	return nil, nil
}

// sees reports whether a case expects anything that the rule of a mutant speaks of. One that raises a finding may speak of
// all.
func (r *runner) sees(c *cases.Case, m *Mutant) bool {
	e := c.Expect
	if len(m.Rule.Raises) > 0 {
		return true
	}
	is := func(set rules.MethodSet) func(string) bool {
		return func(id string) bool { return set.Has(r.b.Method(id).Rank) }
	}
	for _, set := range m.Rule.Gives {
		if set == 0 {
			continue
		}
		if len(e.First)+len(e.NotFirst) > 0 || slices.ContainsFunc(e.Offered, is(set)) || slices.ContainsFunc(e.RuledOut, is(set)) {
			return true
		}
		for _, ids := range e.Verdicts {
			if slices.ContainsFunc(ids, is(set)) {
				return true
			}
		}
		if len(e.Notes)+len(e.With)+len(e.Without) > 0 && m.Rule.Gives[rules.RuledOut] == set {
			return true
		}
	}
	for kind, notes := range m.Rule.Attach {
		for _, note := range notes {
			if slices.Contains(e.Notes[kind], note) {
				return true
			}
			for _, by := range []map[string][]string{e.With, e.Without} {
				for method, ids := range by {
					if is(m.Rule.With)(method) && slices.Contains(ids, note) {
						return true
					}
				}
			}
		}
	}
	// A note that ranks a method takes part in the first choice.
	return m.Rule.Cell != "" && m.Rule.Attach != nil && len(e.First)+len(e.NotFirst) > 0
}
