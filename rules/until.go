package rules

import (
	"slices"

	"patchfirst/rules/diagram"
)

// until finds the smallest set of blank facts whose answers could lift a refusal. For each blank in turn it tries to
// leave it blank (the method must stay open whatever it is) before it tries to answer it, and keeps the cheapest.
func (d *decider) until(m int) []string {
	b, st := d.s.Base, d.s.Store
	refuse := d.refuse[m]
	if d.firm(m) {
		return nil
	}
	valid := d.s.Valid(Free, refuse)
	var blanks []*Fact
	for _, f := range d.facts(valid, refuse) {
		if f.Blank != Condition {
			blanks = append(blanks, f)
		}
	}
	e := elimination{d: d, facts: blanks, cost: func(*Fact) int { return 1 }, free: func(*Fact) bool { return false }, pin: func(f *Fact) diagram.Node {
		pinned := diagram.True
		for _, t := range d.s.truths {
			if t.defaults && t.fact == f {
				pinned = st.And(pinned, t.node)
			}
		}
		return pinned
	}}
	_, lift, _ := e.run(st.And(valid, refuse), valid)
	return b.asked(lift)
}

// firm reports whether no answers to the blank facts could lift a refusal.
func (d *decider) firm(m int) bool {
	return !d.s.Occurs(Free, d.s.Store.Not(d.refuse[m]))
}

// facts returns the blank facts among the questions of some functions, in the order of the base.
func (d *decider) facts(nodes ...diagram.Node) []*Fact {
	found := map[*Fact]bool{}
	for _, n := range nodes {
		set := d.s.Store.SupportSet(n)
		for v := range d.s.Base.vars {
			if set.Has(diagram.Var(v)) {
				found[d.s.Base.vars[v].fact.Parent()] = true
			}
		}
	}
	var facts []*Fact
	for _, f := range d.s.Base.Facts {
		if found[f] {
			facts = append(facts, f)
		}
	}
	return facts
}

func (d *decider) varsOf(f *Fact) []diagram.Var {
	return slices.Concat(f.vars, d.s.Base.endVars(f))
}

// asked names facts, figure facts by the facts that they are computed from.
func (b *Base) asked(facts []*Fact) []string {
	var res []string
	for _, f := range facts {
		from := []string{f.ID}
		if f.Figure != "" {
			from = f.Inputs
		}
		for _, id := range from {
			if !slices.Contains(res, id) {
				res = append(res, id)
			}
		}
	}
	return res
}
