package audit

import (
	"fmt"
	"runtime"
	"slices"
	"sync/atomic"

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
func Mutate(b *rules.Base, all []cases.Case, prepare Prepare, only string, watch Watch, nodeCap int) (*Mutation, error) {
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
	var tried atomic.Int64
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
			return try(b, m.Tried[from:to], all, prepare, nodeCap, func() {
				watch.tell("%d of %d", tried.Add(1), len(m.Tried))
			})
		})
	}
	return m, g.Wait()
}

// try finds the fate of some mutants, and calls done for each.
func try(b *rules.Base, mutants []Tried, all []cases.Case, prepare Prepare, nodeCap int, done func()) error {
	s, err := b.Compile(nil, nodeCap)
	if err != nil {
		return err
	}
	in := newInspector(s)
	runner := newRunner(s, all, prepare)
	for i := range mutants {
		t := &mutants[i]
		done()
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
