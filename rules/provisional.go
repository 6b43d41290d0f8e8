package rules

import (
	"maps"
	"slices"

	"patchfirst/rules/diagram"
)

// Open lists the blank facts that could change anything that Decide would show, without the rest of its work.
func (b *Base) Open(answers Answers) (ids []string, c *Contradiction, err error) {
	s, err := b.space(answers, 0)
	if err != nil {
		return nil, nil, err
	}
	err = s.Store.Try(func() {
		if c = s.contradiction(answers); c != nil {
			return
		}
		d := newDecider(s, answers)
		offered := map[int]bool{}
		facts := d.open(func(m int) bool {
			if _, ok := offered[m]; !ok {
				offered[m] = d.verdict(m, s.world(Defaults)).Offered()
			}
			return offered[m]
		})
		ids = b.asked(facts)
	})
	return ids, c, err
}

// open lists the blank facts that could change anything that is shown: those that an open rule reads which speaks of a
// method that is not firmly refused, or attaches something to an offered one.
func (d *decider) open(offered func(int) bool) []*Fact {
	b := d.s.Base
	var alive MethodSet
	for m := range b.Methods {
		if !d.firm(m) {
			alive |= 1 << m
		}
	}
	read := map[*Fact]bool{}
	note := func(i int) {
		if d.unsettled(i) {
			for _, f := range d.facts(d.s.Rule(i)) {
				read[f] = true
			}
		}
	}
	// Rules that only attach something come last, for the facts that no other open rule reads.
	var attaching []int
	for i, r := range b.Rules {
		matters := len(r.Raises) > 0
		for _, set := range r.Gives {
			matters = matters || set&alive != 0
		}
		switch {
		case matters:
			note(i)
		case len(r.Attach) > 0 && r.With&alive != 0:
			attaching = append(attaching, i)
		}
	}
	// What says whether a list is complete matters wherever the list does.
	for f := range maps.Clone(read) {
		maps.Copy(read, f.AtLeastWhen.Facts())
	}
	for _, i := range attaching {
		unread := slices.ContainsFunc(d.facts(d.s.Rule(i)), func(f *Fact) bool { return !read[f] })
		for m := len(b.Methods) - 1; unread && m >= 0; m-- { // from the last resort, which is always offered
			if b.Rules[i].With.Has(m) && offered(m) {
				note(i)
				break
			}
		}
	}
	var facts []*Fact
	for _, f := range b.Facts {
		if read[f] && d.twoAnswers(f) {
			facts = append(facts, f)
		}
	}
	return facts
}

// unsettled reports whether a rule is open when a blank fact with a default may also be answered otherwise.
func (d *decider) unsettled(i int) bool {
	n := d.s.Rule(i)
	return d.fires(i) == open || d.s.Occurs(Free, n) && d.s.Occurs(Free, d.s.Store.Not(n))
}

// twoAnswers reports whether more than one answer to a fact can occur.
func (d *decider) twoAnswers(f *Fact) bool {
	for _, v := range d.varsOf(f) {
		possible := 0
		for i := range d.s.Base.vars[v].size {
			if d.s.Occurs(Free, d.s.literal(v, 1<<i)) {
				possible++
			}
			if possible > 1 {
				return true
			}
		}
	}
	return false
}

// provisional lists the open facts of which a single answer would change the first choice. A list is tried with no more
// values than are known, with one more, and with two more of which some condition speaks together. Where very many are
// open, all count as ones that could.
func (d *decider) provisional(dec *Decision, places []place, open []*Fact) []string {
	b := d.s.Base
	first := dec.First.Method.Rank
	const many = 46
	if len(open) > many {
		return b.asked(open)
	}
	var facts []*Fact
	for _, f := range open {
		all := d.s.world(FreeOf(f))
		for _, extra := range d.tryAnswers(f) {
			w := all.where(extra)
			if !w.occurs() {
				continue
			}
			at := d.place(first, d.verdict(first, w), d.care(first, w))
			changed := false
			for m := range b.Methods {
				if m == first || !d.couldBeat(m, at, places[m], f) {
					continue
				}
				if d.place(m, d.verdict(m, w), d.care(m, w)).before(at) {
					changed = true
					break
				}
			}
			if changed {
				facts = append(facts, f)
				break
			}
		}
	}
	return b.asked(facts)
}

// couldBeat is a quick look whether a method could come before a place once f is answered.
func (d *decider) couldBeat(m int, at, now place, f *Fact) bool {
	if now.before(at) {
		return true
	}
	if d.refuse(m) == diagram.True {
		return false
	}
	best := place{class: 1, rank: m}
	if d.s.Base.Methods[m].LastResort {
		best.class = worst.class - 1
	}
	for _, i := range d.byMethod[m] {
		if d.s.Base.Rules[i].Gives[Favoured].Has(m) && d.s.Rule(i) != diagram.False {
			best.class = 0
		}
	}
	return best.before(at)
}

// tryAnswers returns the answers to a fact, each as the function "this is the answer".
func (d *decider) tryAnswers(f *Fact) (nodes []diagram.Node) {
	if f.Kind != Several {
		for i := range f.size() {
			nodes = append(nodes, d.s.literal(f.vars[0], 1<<i))
		}
		return nodes
	}
	with := func(more ...diagram.Var) diagram.Node {
		parts := make([]diagram.Node, len(f.vars))
		for i, v := range f.vars {
			set := uint64(1)
			if d.s.limit[v] == 1<<1 || slices.Contains(more, v) {
				set = 1 << 1
			}
			parts[i] = d.s.literal(v, set)
		}
		return d.s.Store.AndAll(parts)
	}
	nodes = append(nodes, with())
	for i, v := range f.vars {
		nodes = append(nodes, with(v))
		for _, w := range f.vars[:i] {
			if d.s.Base.together[pair{w, v}] {
				nodes = append(nodes, with(w, v))
			}
		}
	}
	return nodes
}
