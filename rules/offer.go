package rules

import "patchfirst/rules/diagram"

// offer is where a method is open: the choices of the condition facts that keep it open in every case that the refusing
// blanks allow, among those that are possible at all.
func (d *decider) offer(m int, valid diagram.Node) (allowed, possible diagram.Node) {
	st := d.s.Store
	refuse := d.refuse(m)
	if refuse == diagram.False {
		return diagram.True, diagram.True
	}
	if refuse == diagram.True {
		return diagram.False, diagram.True
	}
	closed := st.And(valid, refuse)
	if closed == diagram.False {
		return diagram.True, diagram.True
	}
	var blanks []diagram.Var
	for _, n := range []diagram.Node{valid, refuse} {
		for v := range d.refusing {
			if d.refusing[v] && d.s.Store.SupportSet(n).Has(diagram.Var(v)) {
				blanks = append(blanks, diagram.Var(v))
			}
		}
	}
	possible = st.Exists(valid, blanks)
	return st.And(possible, st.Not(st.Exists(closed, blanks))), possible
}

// stays reports whether a method stays open in a world: whether offer would allow anything. It guesses a choice of the
// condition facts; mostly the first case against it refuses every choice. What was found in one world is tried first in
// the next.
func (d *decider) stays(m int, w *world) bool {
	st, refuse := d.s.Store, d.refuse(m)
	switch {
	case !w.occurs(refuse):
		return true
	case !w.occurs(st.Not(refuse)):
		return false
	}
	var choice []diagram.Var
	chosen := st.NewSet()
	for u, refusing := range d.refusing {
		u := diagram.Var(u)
		if !refusing && (st.SupportSet(refuse).Has(u) || st.SupportSet(w.extra).Has(u)) {
			choice = append(choice, u)
			chosen.Add(u)
		}
	}
	// A choice that nothing is against is good wherever it is possible, unless a blank may mean more.
	if good := d.good[m]; w.view == Defaults && good != diagram.False && w.occurs(good) {
		return true
	}
	var untried []diagram.Node
	for _, r := range d.against[m] {
		if st.Eval(w.extra, r.found) == 1 {
			untried = append(untried, st.Not(r.refuses))
		}
	}
	good, against, outcome := d.guess(refuse, w, choice, chosen, untried)
	if w == d.s.world(Defaults) {
		d.against[m] = append(d.against[m], against...)
		if outcome == diagram.Found {
			d.good[m] = d.choose(good, choice)
		}
	}
	if outcome == diagram.NotSettled {
		allowed, _ := d.offer(m, st.And(d.s.Valid(w.view, refuse, w.extra), w.extra))
		return allowed != diagram.False
	}
	return outcome == diagram.Found
}

// guess looks for a choice of some questions for which no case of a world is refused. It guesses one that is untried,
// looks for a case that is refused for it, and no longer guesses what the same case would refuse.
func (d *decider) guess(refuse diagram.Node, w *world, choice []diagram.Var, chosen diagram.Set, untried []diagram.Node) (good []uint8, against []refuter, outcome diagram.Outcome) {
	const rounds = 100
	st := d.s.Store
	for range rounds {
		guess, outcome := w.find(untried...)
		if outcome != diagram.Found {
			return nil, against, outcome
		}
		// With the choice fixed nothing else is in the way of seeing that no case is against it.
		fixed := make(diagram.Case, len(guess))
		for _, u := range choice {
			fixed[u] = 1 << guess[u]
		}
		left := make([]diagram.Node, len(w.truths))
		for i, t := range w.truths {
			left[i] = t
			if chosen.Meets(st.SupportSet(t)) {
				left[i] = st.Restrict(t, fixed)
			}
		}
		refused, outcome := d.s.walk(left, guess, st.Restrict(refuse, fixed))
		switch outcome {
		case diagram.None:
			return guess, against, diagram.Found
		case diagram.NotSettled:
			return nil, against, outcome
		}
		same := make(diagram.Case, len(refused))
		for u, value := range refused {
			same[u] = 1 << value
		}
		for _, u := range choice {
			same[u] = 0
		}
		nodes := []diagram.Node{st.Restrict(refuse, same)}
		for _, t := range w.truths {
			if chosen.Meets(st.SupportSet(t)) {
				nodes = append(nodes, st.Restrict(t, same))
			}
		}
		r := refuter{refused, st.AndAll(nodes)}
		against = append(against, r)
		untried = append(untried, st.Not(r.refuses))
	}
	return nil, against, diagram.NotSettled
}

// refuter is a case that refuses a method, and all the choices of its condition facts for which the same case does.
type refuter struct {
	found   []uint8
	refuses diagram.Node
}

// choose returns the function that is True where the condition facts are as in a case.
func (d *decider) choose(c []uint8, choice []diagram.Var) diagram.Node {
	fixed := make([]diagram.Node, len(choice))
	for i, u := range choice {
		fixed[i] = d.s.literal(u, 1<<c[u])
	}
	return d.s.Store.AndAll(fixed)
}
