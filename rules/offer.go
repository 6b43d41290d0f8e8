package rules

import "patchfirst/rules/diagram"

// offer is where a method is open: the choices of the condition facts that keep it open in every case that the refusing
// blanks allow, among those that are possible at all.
func (d *decider) offer(m int, valid diagram.Node) (allowed, possible diagram.Node) {
	st := d.s.Store
	refuse := d.refuse[m]
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

// stays reports whether a method stays open in the cases of a view where extra holds: whether offer would allow anything.
// It guesses a choice of the condition facts, looks for a case that refuses the method for it, and then no longer guesses
// what the same case would refuse; mostly the first such case refuses every choice.
func (d *decider) stays(m int, v View, extra diagram.Node) bool {
	st, refuse := d.s.Store, d.refuse[m]
	switch {
	case !d.s.Occurs(v, extra, refuse):
		return true
	case !d.s.Occurs(v, extra, st.Not(refuse)):
		return false
	}
	var choice []diagram.Var
	chosen := st.NewSet()
	for u, refusing := range d.refusing {
		u := diagram.Var(u)
		if !refusing && (st.SupportSet(refuse).Has(u) || st.SupportSet(extra).Has(u)) {
			choice = append(choice, u)
			chosen.Add(u)
		}
	}
	const rounds = 100
	untried := []diagram.Node{extra}
	for range rounds {
		guess, outcome := d.s.find(v, untried...)
		if outcome == diagram.None {
			return false
		}
		if outcome == diagram.NotSettled {
			break
		}
		// With the choice fixed nothing else is in the way of seeing that no case is against it.
		fixed := make(diagram.Case, len(guess))
		for _, u := range choice {
			fixed[u] = 1 << guess[u]
		}
		truths := d.s.search(v).truths
		left := make([]diagram.Node, len(truths))
		for i, t := range truths {
			left[i] = t
			if chosen.Meets(st.SupportSet(t)) {
				left[i] = st.Restrict(t, fixed)
			}
		}
		against, outcome := d.s.walk(left, guess, st.Restrict(extra, fixed), st.Restrict(refuse, fixed))
		if outcome == diagram.None {
			return true
		}
		if outcome == diagram.NotSettled {
			break
		}
		same := make(diagram.Case, len(against))
		for u, value := range against {
			same[u] = 1 << value
		}
		for _, u := range choice {
			same[u] = 0
		}
		refused := []diagram.Node{st.Restrict(extra, same), st.Restrict(refuse, same)}
		for _, t := range truths {
			if chosen.Meets(st.SupportSet(t)) {
				refused = append(refused, st.Restrict(t, same))
			}
		}
		untried = append(untried, st.Not(st.AndAll(refused)))
	}
	allowed, _ := d.offer(m, st.And(d.s.Valid(v, refuse, extra), extra))
	return allowed != diagram.False
}
