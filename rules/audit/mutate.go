package audit

import (
	"fmt"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"patchfirst/rules"
	"patchfirst/rules/cases"
	"patchfirst/rules/diagram"
)

// Fate is what becomes of a mutant.
type Fate string

// The fates of mutants.
const (
	Killed     Fate = "killed"     // a case file does not come out as it expects
	Equivalent Fate = "equivalent" // every complete case comes out the same
	Live       Fate = "live"       // neither
)

// Tried is a mutant and its fate.
type Tried struct {
	Mutant
	Fate Fate
	By   *cases.Case // that kills it
	Diff *difference // of one that lives: where it shows
	Case string      // of one that lives, after Suggest: a case file that would catch it
}

// difference is an effect that a mutant loses or gains, with a case.
type difference struct {
	effect
	lost   bool
	values []uint8
}

// Mutation is the outcome of trying all mutants.
type Mutation struct {
	Base  *rules.Base
	Tried []Tried
	Cases int
}

// Count counts the mutants of a fault with a fate. The empty fault stands for all.
func (m *Mutation) Count(fault Fault, fate Fate) (n int) {
	for _, t := range m.Tried {
		if t.Fate == fate && (fault == "" || t.Fault == fault) {
			n++
		}
	}
	return n
}

// Score is the share of the mutants that are not equivalent which some case kills.
func (m *Mutation) Score() float64 {
	killed := m.Count("", Killed)
	if killed == 0 {
		return 0
	}
	return float64(killed) / float64(killed+m.Count("", Live))
}

// Mutate tries all mutants of a base against case files. The base is cut finely, and should be used for nothing else
// afterwards. only, if not empty, is the id of the one rule that is tried. A mutant is equivalent if the verdicts of all
// methods, the notes of those that are offered and the levels of all findings are the same in every complete case.
func Mutate(b *rules.Base, all []cases.Case, prepare Prepare, only string, nodeCap int) (*Mutation, error) {
	if err := b.CutFinely(); err != nil {
		return nil, err
	}
	m := &Mutation{Base: b, Cases: len(all)}
	for _, mutant := range Mutants(b) {
		if only == "" || mutant.Rule.ID == only {
			m.Tried = append(m.Tried, Tried{Mutant: mutant, Fate: Live})
		}
	}
	parts := max(1, min(len(m.Tried), runtime.GOMAXPROCS(0)))
	var g errgroup.Group
	for part := range parts {
		g.Go(func() error {
			share := func(n int) (from, to int) { return part * n / parts, (part + 1) * n / parts }
			from, to := share(len(all))
			for i := from; i < to; i++ {
				failures, err := cases.Run(b, &all[i], func(a rules.Answers) rules.Answers { return ready(b, a, prepare) })
				if err == nil && failures != nil {
					err = fmt.Errorf("%s: the case %q does not come out as expected even without a fault; see rules check", all[i].Pos, all[i].Title)
				}
				if err != nil {
					return err
				}
			}
			from, to = share(len(m.Tried))
			return try(b, m.Tried[from:to], all, prepare, nodeCap)
		})
	}
	return m, g.Wait()
}

// try finds the fate of some mutants.
func try(b *rules.Base, mutants []Tried, all []cases.Case, prepare Prepare, nodeCap int) error {
	s, err := b.Compile(nil, nodeCap)
	if err != nil {
		return err
	}
	in := newInspector(s)
	runner := newRunner(s, all, prepare)
	for i := range mutants {
		t := &mutants[i]
		if t.By, err = runner.kill(&t.Mutant); err != nil {
			return err
		}
		if t.By != nil {
			t.Fate = Killed
			continue
		}
		if err := s.Store.Try(func() { t.Diff = in.differs(&t.Mutant) }); err != nil {
			return err
		}
		if t.Diff == nil {
			t.Fate = Equivalent
		}
	}
	return nil
}

// runner decides case files again and again. Those that killed last are tried first.
type runner struct {
	s       *rules.Space
	b       *rules.Base
	meeter  *diagram.Meeter
	prepare Prepare
	runs    []*run
	open    []*run // that are decided, oldest first
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

// ready completes answers.
func ready(b *rules.Base, given rules.Answers, prepare Prepare) rules.Answers {
	if prepare == nil {
		return given
	}
	return prepare(b, given)
}

// decide decides a case, and forgets one that was decided long ago if there are many.
func (r *runner) decide(one *run) error {
	const most = 250
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
	for i := len(r.runs) - 1; i >= 0; i-- {
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
			r.runs = append(slices.Delete(r.runs, i, i+1), last)
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

// differs finds a complete case that a mutant decides otherwise, or nil if there is none: a verdict that no other rule
// gives or outdoes, a note on an offered method that no other rule attaches, or a level that no other rule reaches.
func (in *inspector) differs(m *Mutant) *difference {
	return in.differsBy(m, in.shows)
}

// differsBy is differs with another way to look for cases.
func (in *inspector) differsBy(m *Mutant, shows func(*Mutant, effect, diagram.Node) []uint8) *difference {
	st := in.s.Store
	was, is := in.s.Rule(m.Place), in.s.Node(m.Twin.When)
	lost, gained := st.And(was, st.Not(is)), st.And(is, st.Not(was))
	before, after := in.does[m.Place], effects(in.s.Base, m.Twin)
	for _, e := range before {
		n := was
		if slices.Contains(after, e) {
			n = lost
		}
		if values := shows(m, e, n); values != nil {
			return &difference{e, true, values}
		}
	}
	for _, e := range after {
		n := is
		if slices.Contains(before, e) {
			n = gained
		}
		if values := shows(m, e, n); values != nil {
			return &difference{e, false, values}
		}
	}
	return nil
}

// shows finds a case of some in which it shows whether the rule of a mutant has an effect.
func (in *inspector) shows(m *Mutant, e effect, n diagram.Node) []uint8 {
	if n == diagram.False {
		return nil
	}
	nodes := append(in.alone(m.Place, e), n)
	values, outcome := in.s.Find(nodes...)
	if outcome != diagram.Found {
		return nil
	}
	return values
}
