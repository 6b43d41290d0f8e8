package rules

import "patchfirst/rules/diagram"

// elimination takes facts out of the question whether a method is open. Each fact is left as it is, so that the method
// must be open whatever the fact may be, or is answered at a cost, so that it need be open for one answer.
type elimination struct {
	d     *decider
	facts []*Fact
	pin   func(*Fact) diagram.Node // what is known of a fact that is left as it is
	cost  func(*Fact) int          // of answering a fact
	free  func(*Fact) bool         // a fact that someone on site meets: one of its values is enough even if it is left
	memo  map[eliminated]int
	left  map[eliminated]eliminated
}

// eliminated is how far an elimination has come: where the method is closed, among what is valid.
type eliminated struct {
	next          int
	closed, valid diagram.Node
}

// none is the cost of what cannot be done.
const none = 1 << 20

// run finds the cheapest facts to answer. The cost is none or more if no answers open the method.
func (e *elimination) run(closed, valid diagram.Node) (end eliminated, answered []*Fact, cost int) {
	e.memo, e.left = map[eliminated]int{}, map[eliminated]eliminated{}
	at := eliminated{0, closed, valid}
	cost = e.least(at)
	if cost >= none {
		return at, nil, cost
	}
	for at.next < len(e.facts) {
		if left := e.leave(at); e.least(left) <= e.least(at) {
			at = left
		} else {
			answered = append(answered, e.facts[at.next])
			at.next++
		}
	}
	return at, answered, cost
}

// leave goes on with the next fact as it is. What is closed is always among what is valid.
func (e *elimination) leave(at eliminated) eliminated {
	if left, ok := e.left[at]; ok {
		return left
	}
	st, f := e.d.s.Store, e.facts[at.next]
	pin := e.pin(f)
	left := eliminated{at.next + 1, st.And(at.closed, pin), st.And(at.valid, pin)}
	if !e.free(f) {
		vars := e.d.varsOf(f)
		left.closed, left.valid = st.Exists(left.closed, vars), st.Exists(left.valid, vars)
	}
	e.left[at] = left
	return left
}

func (e *elimination) least(at eliminated) int {
	if at.closed == at.valid {
		return none
	}
	if at.next == len(e.facts) {
		return 0
	}
	if c, ok := e.memo[at]; ok {
		return c
	}
	c := e.least(e.leave(at))
	if price := e.cost(e.facts[at.next]); price < c {
		at := at
		at.next++
		c = min(c, price+e.least(at))
	}
	e.memo[at] = c
	return c
}
