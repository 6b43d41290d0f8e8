package rules

import (
	"slices"

	"patchfirst/rules/diagram"
)

// search holds the truths of one view, and the cases that were found under it.
type search struct {
	truths []diagram.Node
	cases  [][]uint8
}

// Occurs reports whether a case can occur in which all the functions are True. Only where a short walk does not settle it
// are the truths projected.
func (s *Space) Occurs(v View, nodes ...diagram.Node) bool {
	_, outcome := s.find(v, nodes...)
	if outcome == diagram.NotSettled {
		n := s.Store.AndAll(nodes)
		return s.Store.And(s.Valid(v, n), n) != diagram.False
	}
	return outcome == diagram.Found
}

// find returns a case in which all the functions are True: one that was found before, or one near the last of them.
func (s *Space) find(v View, nodes ...diagram.Node) ([]uint8, diagram.Outcome) {
	var all []diagram.Node
	for _, n := range nodes {
		switch n {
		case diagram.False:
			return nil, diagram.None
		case diagram.True:
		default:
			all = append(all, n)
		}
	}
	found := s.search(v)
	meets := func(c []uint8) bool {
		return !slices.ContainsFunc(all, func(n diagram.Node) bool { return s.Store.Eval(n, c) == 0 })
	}
	for _, c := range found.cases {
		if meets(c) {
			return c, diagram.Found
		}
	}
	// What occurs where blanks have their defaults occurs.
	if v != Defaults {
		for _, c := range s.search(Defaults).cases {
			if meets(c) {
				return c, diagram.Found
			}
		}
	}
	var near []uint8
	if k := len(found.cases); k > 0 {
		near = found.cases[k-1]
	}
	c, outcome := s.walk(found.truths, near, all...)
	if outcome == diagram.Found {
		found.cases = append(found.cases, c)
	}
	return c, outcome
}

// walk looks for a case near another in which the truths and all the functions are True.
func (s *Space) walk(truths []diagram.Node, near []uint8, nodes ...diagram.Node) ([]uint8, diagram.Outcome) {
	const short, long = 2000, 5000
	c, outcome := s.Store.Joint(slices.Concat(nodes, truths), near, short)
	if outcome == diagram.NotSettled {
		// Answers that the functions rule out far down are gone from the top once they are joined with the truths.
		n := s.Store.AndAll(nodes)
		joined := make([]diagram.Node, len(truths))
		for i, t := range truths {
			joined[i] = s.Store.And(t, n)
		}
		c, outcome = s.Store.Joint(append(joined, n), near, long)
	}
	return c, outcome
}

func (s *Space) search(v View) *search {
	if found := s.searches[v]; found != nil {
		return found
	}
	found := &search{}
	for _, t := range s.truths {
		if v.keeps(t) {
			found.truths = append(found.truths, t.node)
		}
	}
	s.searches[v] = found
	return found
}
