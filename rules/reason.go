package rules

import (
	"maps"
	"reflect"
	"slices"

	"patchfirst/rules/diagram"
)

// Reasoner says why a base concludes what it does, over the whole space of cases. It is not for use by several
// goroutines at once.
type Reasoner struct {
	s    *Space // with no answers
	made map[conclusionKey]Conclusion
	last pinned // most questions in turn are about the same case
}

// pinned is what the last question was asked about.
type pinned struct {
	answers Answers
	pins    *pins
}

// Reasoner compiles the whole space.
func (b *Base) Reasoner() (*Reasoner, error) {
	s, err := b.Compile(nil, 0)
	if err != nil {
		return nil, err
	}
	return &Reasoner{s: s, made: map[conclusionKey]Conclusion{}}, nil
}

// Conclusion is something that rules can say of a case.
type Conclusion struct {
	node  diagram.Node // where it is said
	rules []int        // that say it
}

type conclusionKey struct {
	what    string
	level   int
	methods MethodSet
}

func (r *Reasoner) conclusion(key conclusionKey, says func(*Rule) (direct, enough bool)) Conclusion {
	if c, ok := r.made[key]; ok {
		return c
	}
	var c Conclusion
	var nodes []diagram.Node
	for i, rule := range r.s.Base.Rules {
		direct, enough := says(rule)
		if direct {
			c.rules = append(c.rules, i)
		}
		if direct || enough {
			nodes = append(nodes, r.s.Rule(i))
		}
	}
	c.node = r.s.Store.OrAll(nodes)
	r.made[key] = c
	return c
}

// Verdict is the conclusion that a method has at least the strength of a verdict.
func (r *Reasoner) Verdict(m *Method, v Verdict) Conclusion {
	return r.conclusion(conclusionKey{"verdict", int(v), 1 << m.Rank}, func(rule *Rule) (direct, enough bool) {
		for given, set := range rule.Gives {
			direct = direct || given == v && set.Has(m.Rank)
			enough = enough || given > v && set.Has(m.Rank)
		}
		return direct, enough
	})
}

// Finding is the conclusion that a finding has at least a level.
func (r *Reasoner) Finding(f *Finding, level int) Conclusion {
	return r.conclusion(conclusionKey{f.ID, level, 0}, func(rule *Rule) (direct, enough bool) {
		raised, ok := rule.Raises[f.ID]
		return ok && slices.Index(f.Scale, raised) >= level, false
	})
}

// Note is the conclusion that a note is attached to a method.
func (r *Reasoner) Note(n *Note, m *Method) Conclusion {
	return r.conclusion(conclusionKey{string(n.Kind) + " " + n.ID, 0, 1 << m.Rank}, func(rule *Rule) (direct, enough bool) {
		return rule.With.Has(m.Rank) && slices.Contains(rule.Attach[n.Kind], n.ID), false
	})
}

// Reason is answers that are enough for a conclusion by themselves: every case that has them has it, and none of them
// can be left out. What a blank means counts as an answer.
type Reason struct {
	Facts []*Fact
	Rule  *Rule // one that fires in all these cases; nil if it takes different rules in different cases
}

// Why finds a reason for a conclusion. It keeps answers that a person can check rather than results of tests. Not ok: the
// answers leave the conclusion open.
func (r *Reasoner) Why(answers Answers, c Conclusion) (reason Reason, ok bool) {
	p := r.pins(answers)
	var best []*Fact
	for _, i := range c.rules {
		node := r.s.Rule(i)
		facts := p.among(r.s.Store.SupportSet(node))
		if (best == nil || len(facts) < len(best)) && p.enough(facts, node) {
			best, reason.Rule = facts, r.s.Base.Rules[i]
			if best == nil {
				best = []*Fact{}
			}
		}
	}
	if best == nil {
		if best = p.facts; !p.enough(best, c.node) {
			return Reason{}, false
		}
	}
	// Results of tests go first, then what stands late in the base.
	drop := slices.Clone(best)
	slices.Reverse(drop)
	slices.SortStableFunc(drop, func(x, y *Fact) int { return effort(y) - effort(x) })
	for _, f := range drop {
		fewer := slices.DeleteFunc(slices.Clone(best), func(g *Fact) bool { return g == f })
		if p.enough(fewer, c.node) {
			best = fewer
		}
	}
	reason.Facts = best
	if reason.Rule != nil && !p.enough(best, r.s.Rule(slices.Index(r.s.Base.Rules, reason.Rule))) {
		reason.Rule = nil
	}
	return reason, true
}

// effort ranks facts by how hard it is to check an answer.
func effort(f *Fact) int {
	if f.Change == changeTest {
		return 1
	}
	return 0
}

// pins are the answers to a case, and what its blanks mean, each as functions of the whole space.
type pins struct {
	s     *Space
	facts []*Fact // that are pinned, in the order of the base
	on    map[*Fact][]diagram.Node
	limit diagram.Case
	cases [][]uint8 // that were found to be against something
}

func (r *Reasoner) pins(answers Answers) *pins {
	if r.last.pins == nil || !maps.EqualFunc(r.last.answers, answers, func(x, y Answer) bool { return reflect.DeepEqual(x, y) }) {
		r.last = pinned{maps.Clone(answers), r.pin(answers)}
	}
	// What one question came across does not weigh on the next, so that each has the same answer in any order.
	p := *r.last.pins
	p.cases = slices.Clip(p.cases)
	return &p
}

func (r *Reasoner) pin(answers Answers) *pins {
	b := r.s.Base
	p := &pins{s: r.s, on: map[*Fact][]diagram.Node{}, limit: b.limit(answers)}
	for v, set := range p.limit {
		if set != 0 {
			f := b.vars[v].fact.Parent()
			p.on[f] = append(p.on[f], r.s.Store.Literal(diagram.Var(v), set))
		}
	}
	for _, t := range r.s.truths {
		if t.defaults && p.on[t.fact] == nil {
			p.on[t.fact] = []diagram.Node{t.node}
		}
	}
	for _, f := range b.Facts {
		if p.on[f] != nil {
			p.facts = append(p.facts, f)
		}
	}
	p.enough(p.facts, diagram.False) // for a case that has all of them
	return p
}

// among returns the pinned facts of some questions.
func (p *pins) among(questions diagram.Set) (facts []*Fact) {
	for _, f := range p.facts {
		for _, v := range slices.Concat(f.vars, p.s.Base.endVars(f)) {
			if questions.Has(v) {
				facts = append(facts, f)
				break
			}
		}
	}
	return facts
}

// enough reports whether the function holds in every case that can occur and has the pins of some facts. Where a search
// does not settle it they are taken not to be enough.
func (p *pins) enough(facts []*Fact, n diagram.Node) bool {
	st := p.s.Store
	against := []diagram.Node{diagram.True}
	for _, f := range facts {
		against = append(against, p.on[f]...)
	}
	// A case that was against something else may be against this too.
	for _, c := range p.cases {
		if st.Eval(n, c) == 0 && !slices.ContainsFunc(against, func(pin diagram.Node) bool { return st.Eval(pin, c) == 0 }) {
			return false
		}
	}
	box := make(diagram.Case, len(p.limit))
	for _, f := range facts {
		for _, v := range slices.Concat(f.vars, p.s.Base.endVars(f)) {
			box[v] = p.limit[v]
		}
	}
	if against[0] = st.Restrict(st.Not(n), box); against[0] == diagram.False {
		return true
	}
	var near []uint8
	if k := len(p.cases); k > 0 {
		near = p.cases[k-1]
	}
	c, outcome := p.s.walk(p.s.world(Free).truths, near, against...)
	if outcome == diagram.Found {
		p.cases = append(p.cases, c)
	}
	return outcome == diagram.None
}
