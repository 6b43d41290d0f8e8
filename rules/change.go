package rules

import (
	"slices"

	"patchfirst/rules/diagram"
)

// What a person can do about an answer.
const (
	changeNever   = "never"
	changeTest    = "test"
	changeArrange = "arrange"
)

// costs say how much each kind of change asks of a person: a test asks less than an arrangement.
var costs = map[string]int{changeTest: 1, changeArrange: 2}

// Change is the least that a person would have to change for a method to be open.
type Change struct {
	Facts   []string      // whose answers change
	Answers []Requirement // to what, with the conditions that must be met besides
	Cost    int
}

// Nearest finds the cheapest change of answers, each of them one that a person can make, after which the method is neither
// ruled out nor of no use. Blanks that must be answered count as changes; conditions to meet do not. It is nil if no such
// change helps.
func (r *Reasoner) Nearest(answers Answers, m *Method) (*Change, error) {
	b := r.s.Base
	reads := r.s.Store.SupportSet(r.Verdict(m, NoUse).node)
	kept := Answers{}
	changeable := map[*Fact]bool{}
	for _, f := range b.Facts {
		if costs[b.changeOf(f)] > 0 && !f.settled(answers) && slices.ContainsFunc(f.vars, reads.Has) {
			changeable[f] = true
		}
	}
	for id, a := range answers {
		if !changeable[b.facts[id]] {
			kept[id] = a
		}
	}
	s, err := b.space(kept, 0)
	if err != nil {
		return nil, err
	}
	var change *Change
	err = s.Store.Try(func() { change = (&decider{s: s, answers: kept}).nearest(answers, m, changeable) })
	return change, err
}

// settled reports whether an answer is one that no person can change any more. What a test or a look has shown to the
// point stays so, unless the base names the results that are final.
func (f *Fact) settled(answers Answers) bool {
	a, ok := answers[f.ID]
	switch {
	case !ok || f.isDefault(a):
		return false
	case f.Final != nil:
		return !slices.ContainsFunc(a.Values, func(v string) bool { return !slices.Contains(f.Final, v) })
	case f.Change != changeTest:
		return false
	case f.Kind == Choice:
		return len(a.Values) == 1
	case f.Kind == Number:
		return a.Lo == a.Hi
	}
	return !a.MoreBefore && !a.MoreAfter
}

// changeOf returns what can be done about a fact; about a figure what can be done about its inputs.
func (b *Base) changeOf(f *Fact) string {
	if f.Figure == "" {
		return f.Change
	}
	for _, id := range f.Inputs {
		if c := b.facts[id].Change; costs[c] > 0 {
			return c
		}
	}
	return changeNever
}

// nearest goes through the facts that the refusal hangs on. Each that can be changed is first left as it is, then changed;
// what is left must be good whatever it may be.
func (d *decider) nearest(answers Answers, m *Method, changeable map[*Fact]bool) *Change {
	b, st := d.s.Base, d.s.Store
	refuse := st.Or(d.s.Gives(RuledOut, m), d.s.Gives(NoUse, m))
	limit := b.limit(answers)
	pin := func(f *Fact) diagram.Node {
		n := diagram.True
		if answers.has(f.ID) {
			for _, v := range d.varsOf(f) {
				if limit[v] != 0 {
					n = st.And(n, st.Literal(v, limit[v]))
				}
			}
		}
		for _, t := range d.s.truths {
			if t.defaults && t.fact == f && (!answers.has(f.ID) || f.isDefault(answers[f.ID])) {
				n = st.And(n, t.node)
			}
		}
		return n
	}
	// Answers that could change also count where the refusal does not read them: others may hang on them.
	nodes := []diagram.Node{refuse}
	for f := range changeable {
		if answers.has(f.ID) {
			nodes = append(nodes, pin(f))
		}
	}
	valid := d.s.Valid(Free, nodes...)
	var facts []*Fact
	for _, f := range d.facts(valid, refuse) {
		if f.Blank != Condition || changeable[f] && answers.has(f.ID) {
			facts = append(facts, f)
		}
	}
	// Those that cannot change are out of the way first, in one order for every set of changes.
	slices.SortStableFunc(facts, func(f, g *Fact) int {
		switch {
		case changeable[f] == changeable[g]:
			return 0
		case changeable[g]:
			return -1
		}
		return 1
	})
	e := elimination{d: d, facts: facts, pin: pin, free: func(f *Fact) bool { return f.Blank == Condition }, cost: func(f *Fact) int {
		if changeable[f] {
			return costs[b.changeOf(f)]
		}
		return none
	}}
	end, changed, cost := e.run(st.And(valid, refuse), valid)
	if cost >= none {
		return nil
	}
	open := st.And(end.valid, st.Not(end.closed))
	box, _ := st.Wide(open, end.valid)
	// A changed answer on which only others hang is named too.
	for v, set := range box {
		if set != 0 {
			open = st.And(open, st.Literal(diagram.Var(v), set))
		}
	}
	for _, f := range changed {
		for _, v := range f.vars {
			for i := range b.vars[v].size {
				if box[v]>>i&1 == 0 && st.And(open, st.Literal(v, 1<<i)) != diagram.False {
					box[v] |= 1 << i
				}
			}
		}
	}
	return &Change{Facts: b.asked(changed), Answers: b.requirements(box), Cost: cost}
}
