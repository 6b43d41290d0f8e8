// Package audit proves what a rule base promises, over all cases and not samples of them.
package audit

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"patchfirst/rules"
	"patchfirst/rules/cases"
	"patchfirst/rules/diagram"
)

// Report is what a check found.
type Report struct {
	Base      *rules.Base
	Cells     *big.Int // complete cases, numbers counted by cells
	Promises  []Proof
	Unoffered []string // methods that no case offers and that are not marked always refused
	Unread    []string // questions that nothing reads
	Cases     int
	Failures  []cases.Failure
}

// Holds reports whether everything that was checked holds.
func (r *Report) Holds() bool {
	for _, p := range r.Promises {
		if p.Outcome != diagram.None {
			return false
		}
	}
	return len(r.Unoffered) == 0 && len(r.Unread) == 0 && len(r.Failures) == 0
}

func (r *Report) String() string {
	var b strings.Builder
	written, tabled := 0, 0
	for _, rule := range r.Base.Rules {
		if rule.Cell != "" {
			tabled++
		} else {
			written++
		}
	}
	fmt.Fprintf(&b, "base %s (%s): %d questions, %d methods, %d rules, %d more from tables, %d sources\n", r.Base.Version, r.Base.Digest, len(r.Base.Facts), len(r.Base.Methods), written, tabled, len(r.Base.Sources))
	fmt.Fprintf(&b, "space: %s cases\n", short(r.Cells))
	kept := 0
	for _, p := range r.Promises {
		if p.Outcome == diagram.None {
			kept++
		} else {
			fmt.Fprintf(&b, "%s\n", p)
		}
	}
	fmt.Fprintf(&b, "promises: %d of %d hold in every case\n", kept, len(r.Promises))
	for _, m := range r.Unoffered {
		fmt.Fprintf(&b, "method %s is offered in no case: mark it always_refused with a reason, or mend the rules\n", m)
	}
	for _, q := range r.Unread {
		fmt.Fprintf(&b, "question %s is read by nothing\n", q)
	}
	for _, f := range r.Failures {
		fmt.Fprintf(&b, "%s\n", f)
	}
	failed := map[*cases.Case]bool{}
	for _, f := range r.Failures {
		failed[f.Case] = true
	}
	if r.Cases > 0 {
		fmt.Fprintf(&b, "cases: %d of %d come out as expected\n", r.Cases-len(failed), r.Cases)
	}
	return b.String()
}

// short writes a large number with its power of ten.
func short(n *big.Int) string {
	s := n.String()
	const digits = 6
	if len(s) <= digits {
		return s
	}
	return fmt.Sprintf("%s.%se%d", s[:1], s[1:3], len(s)-1)
}

// Check proves the promises of a base and runs cases against it. prepare completes the answers of a case; see cases.Run.
func Check(b *rules.Base, all []cases.Case, prepare func(rules.Answers) rules.Answers) (*Report, error) {
	s, err := b.Compile(nil, 0)
	if err != nil {
		return nil, err
	}
	r := &Report{Base: b, Cases: len(all)}
	err = s.Store.Try(func() {
		r.Cells = s.Store.Count(s.All())
		r.Promises = Prove(s)
		r.Unoffered = unoffered(s)
	})
	if err != nil {
		return nil, err
	}
	r.Unread = unread(b)
	for i := range all {
		failures, err := cases.Run(b, &all[i], prepare)
		if err != nil {
			return nil, err
		}
		r.Failures = append(r.Failures, failures...)
	}
	return r, nil
}

// Proof is what became of a promise: Outcome None means that no case breaks it.
type Proof struct {
	Promise *rules.Promise
	Outcome diagram.Outcome
	Method  *rules.Method // that breaks it
	Case    []string      // a case that breaks it: the answers that differ from the first value of each question
}

func (p Proof) String() string {
	if p.Outcome == diagram.NotSettled {
		return fmt.Sprintf("%s: promise %s is not settled: the search ran out of steps", p.Promise.Pos, p.Promise.ID)
	}
	return fmt.Sprintf("%s: promise %s is broken by %s, for instance where %s", p.Promise.Pos, p.Promise.ID, p.Method.ID, strings.Join(p.Case, ", "))
}

// budget is how many steps one search may take before it counts as not settled.
const budget = 2_000_000

// Prove checks every promise of the base over the whole space of cases. A promise is broken by a case that can occur, in
// which its condition holds and, by its form: a method is offered, is first, or is offered without what must be with it.
func Prove(s *rules.Space) []Proof {
	b, st := s.Base, s.Store
	refused := make([]diagram.Node, len(b.Methods))
	for _, m := range b.Methods {
		refused[m.Rank] = s.Gives(rules.RuledOut, m)
	}
	var proofs []Proof
	for _, p := range b.Promises {
		proof := Proof{Promise: p}
		when := s.Node(p.When)
		for _, m := range b.Methods {
			var breaks [][]diagram.Node
			offered := st.Not(refused[m.Rank])
			if p.NeverOffered.Has(m.Rank) {
				breaks = append(breaks, []diagram.Node{when, offered})
			}
			if p.AlwaysWith.Has(m.Rank) {
				breaks = append(breaks, []diagram.Node{when, offered, st.Not(s.Attaches(p.Kind, p.Note, m))})
			}
			if p.NeverFirst.Has(m.Rank) {
				for _, first := range s.First(m) {
					breaks = append(breaks, append([]diagram.Node{when}, first...))
				}
			}
			for _, nodes := range breaks {
				values, outcome := search(s, nodes)
				if outcome != diagram.None && proof.Outcome != diagram.Found {
					proof.Outcome, proof.Method = outcome, m
					if outcome == diagram.Found {
						proof.Case = s.Words(values, nodes...)
					}
				}
			}
		}
		proofs = append(proofs, proof)
	}
	return proofs
}

// search looks for a case that can occur in which all functions hold. It joins them one after another, which mostly ends
// in False after a few; where the joint function grows too large it goes on by walking the rest together.
func search(s *rules.Space, nodes []diagram.Node) ([]uint8, diagram.Outcome) {
	const large = 50_000
	st := s.Store
	joint := diagram.True
	for i, n := range nodes {
		joint = st.And(joint, n)
		if joint == diagram.False || st.And(joint, s.Valid(rules.Free, joint)) == diagram.False {
			return nil, diagram.None
		}
		if st.Size(joint) > large {
			rest := append([]diagram.Node{joint}, nodes[i+1:]...)
			return st.Joint(append(rest, s.Valid(rules.Free, rest...)), nil, budget)
		}
	}
	return st.Joint([]diagram.Node{joint, s.Valid(rules.Free, joint)}, nil, budget)
}

func unoffered(s *rules.Space) (ids []string) {
	for _, m := range s.Base.Methods {
		if m.AlwaysRefused != "" {
			continue
		}
		offered := s.Store.Not(s.Gives(rules.RuledOut, m))
		if s.Store.And(offered, s.Valid(rules.Free, offered)) == diagram.False {
			ids = append(ids, m.ID)
		}
	}
	return ids
}

func unread(b *rules.Base) (ids []string) {
	read := map[*rules.Fact]bool{}
	see := func(c *rules.Cond) {
		c.Walk(func(t *rules.Test) {
			if t.Fact != nil {
				read[t.Fact.Parent()] = true
			}
		})
	}
	for _, r := range b.Rules {
		see(r.When)
	}
	for _, f := range b.Facts {
		see(f.AtLeastWhen)
		if f.Figure != "" && read[f] {
			for _, in := range f.Inputs {
				read[b.Fact(in)] = true
			}
		}
	}
	for _, f := range b.Facts {
		if !read[f] {
			ids = append(ids, f.ID)
		}
	}
	slices.Sort(ids)
	return ids
}
