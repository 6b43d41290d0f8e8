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

// percent writes a share so that a small one does not look like none, nor a large one like all.
func percent(share float64) string {
	switch p := 100 * share; {
	case share > 0 && p < 0.01:
		return "under 0.01 %"
	case share < 1 && p > 99.99:
		return "over 99.99 %"
	default:
		return fmt.Sprintf("%.3g %%", p)
	}
}

// Check proves the promises of a base and runs cases against it. prepare completes the answers of a case; see cases.Run.
func Check(b *rules.Base, all []cases.Case, prepare func(rules.Answers) rules.Answers) (*Report, error) {
	s, err := b.Compile(nil, 0)
	if err != nil {
		return nil, err
	}
	r := &Report{Base: b, Cases: len(all)}
	err = s.Store.Try(func() {
		counter := s.Counter()
		r.Cells = counter.Total()
		r.Promises = Prove(s, counter)
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
