package rules

import (
	"slices"

	"patchfirst/rules/diagram"
)

// telling is a case that refused one method whatever the condition facts were, and may refuse others.
type telling struct {
	found    []uint8
	rest     diagram.Case // its answers but those to the condition facts
	possible diagram.Node // the choices of the condition facts with which it can occur
}

// remember keeps a case that refused a method for refusedAlike. A few tell nearly all.
func (d *decider) remember(found []uint8) {
	const few = 12
	if len(d.telling) == few || slices.ContainsFunc(d.telling, func(t telling) bool { return slices.Equal(t.found, found) }) {
		return
	}
	t := telling{found: found, rest: make(diagram.Case, len(found))}
	for v, refusing := range d.refusing {
		if refusing {
			t.rest[v] = 1 << found[v]
		}
	}
	var nodes []diagram.Node
	for _, truth := range d.s.world(Defaults).truths {
		if d.meets(truth) {
			nodes = append(nodes, d.s.Store.Restrict(truth, t.rest))
		}
	}
	t.possible = d.s.Store.AndAll(nodes)
	d.telling = append(d.telling, t)
}

// refusedAlike is a quick look whether the cases that refused other methods refuse this one too, for every choice of the
// condition facts. It needs only the rules, not what they say together.
func (d *decider) refusedAlike(m int, usual *world) bool {
	st := d.s.Store
	var rules []diagram.Node
	reads := st.NewSet()
	for i, r := range d.s.Base.Rules {
		if r.Gives[RuledOut].Has(m) {
			rules = append(rules, d.s.Rule(i))
			reads.Union(st.SupportSet(d.s.Rule(i)))
		}
	}
	var others []diagram.Var
	for v, refusing := range d.refusing {
		if !refusing && !reads.Has(diagram.Var(v)) {
			others = append(others, diagram.Var(v))
		}
	}
	var untried []diagram.Node
	for _, t := range d.telling {
		var refuses []diagram.Node
		for _, n := range rules {
			if d.meets(n) {
				refuses = append(refuses, st.Restrict(n, t.rest))
			} else if st.Eval(n, t.found) == 1 {
				refuses = []diagram.Node{diagram.True}
				break
			}
		}
		untried = append(untried, st.Not(st.Exists(st.And(t.possible, st.OrAll(refuses)), others)))
		const glance = 300
		if _, outcome := st.Joint(slices.Concat(untried, usual.truths), t.found, glance); outcome == diagram.None {
			return true
		}
	}
	return false
}

// meets reports whether a function depends on a condition fact.
func (d *decider) meets(n diagram.Node) bool { return d.conditions.Meets(d.s.Store.SupportSet(n)) }
