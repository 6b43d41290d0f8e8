package rules

import (
	"slices"

	"patchfirst/rules/diagram"
)

// until finds the smallest set of blank facts whose answers could lift a refusal. For each blank in turn it tries to
// leave it blank (the method must stay open whatever it is) before it tries to answer it, and keeps the cheapest. Where
// very many are blank it finds a set of which none can be left out instead.
func (d *decider) until(m int) []string {
	b, st := d.s.Base, d.s.Store
	refuse := d.refuse(m)
	if d.firm(m) {
		return nil
	}
	const many = 16
	if facts := slices.DeleteFunc(d.facts(refuse), func(f *Fact) bool { return f.Blank == Condition }); len(facts) > many {
		return b.asked(d.fewer(refuse, facts))
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

// fewer leaves out of some blank facts, from the last to the first, those without which answers to the others can still
// lift a refusal.
func (d *decider) fewer(refuse diagram.Node, facts []*Fact) []*Fact {
	needed := slices.Clone(facts)
	for _, f := range slices.Backward(facts) {
		left := slices.DeleteFunc(slices.Clone(needed), func(g *Fact) bool { return g == f })
		w := &world{s: d.s, view: Free, extra: diagram.True}
		for _, t := range d.s.truths {
			if !t.defaults || !slices.Contains(left, t.fact) {
				w.truths = append(w.truths, t.node)
			}
		}
		var choice []diagram.Var
		chosen := d.s.Store.NewSet()
		for u, refusing := range d.refusing {
			u := diagram.Var(u)
			if d.s.Store.SupportSet(refuse).Has(u) && (!refusing || slices.Contains(left, d.s.Base.vars[u].fact.Parent())) {
				choice = append(choice, u)
				chosen.Add(u)
			}
		}
		if _, _, outcome := d.guess(refuse, w, choice, chosen, nil); outcome == diagram.Found {
			needed = left
		}
	}
	return needed
}

// firm reports whether no answers to the blank facts could lift a refusal.
func (d *decider) firm(m int) bool {
	var silent []diagram.Node
	for i, r := range d.s.Base.Rules {
		if r.Gives[RuledOut].Has(m) {
			silent = append(silent, d.s.Store.Not(d.s.Rule(i)))
		}
	}
	return !d.s.Occurs(Free, silent...)
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
