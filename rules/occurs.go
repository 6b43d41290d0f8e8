package rules

import (
	"slices"

	"patchfirst/rules/diagram"
)

// search holds the cases that were found under one view, and the truths to look for more.
type search struct {
	truths []diagram.Node // joined into a few functions of some size
	cases  [][]uint8
}

// Occurs reports whether a case can occur in which all the functions are True. It tries the cases that were found before,
// then looks for one near the last of them; only where a short walk does not settle it are the truths projected.
func (s *Space) Occurs(v View, nodes ...diagram.Node) bool {
	var all []diagram.Node
	for _, n := range nodes {
		switch n {
		case diagram.False:
			return false
		case diagram.True:
		default:
			all = append(all, n)
		}
	}
	found := s.search(v)
	meets := func(c []uint8) bool {
		return !slices.ContainsFunc(all, func(n diagram.Node) bool { return s.Store.Eval(n, c) == 0 })
	}
	if slices.ContainsFunc(found.cases, meets) {
		return true
	}
	// What occurs where blanks have their defaults occurs.
	if v != Defaults && slices.ContainsFunc(s.search(Defaults).cases, meets) {
		return true
	}
	var near []uint8
	if k := len(found.cases); k > 0 {
		near = found.cases[k-1]
	}
	const short, long = 200, 2000
	c, outcome := s.Store.Joint(slices.Concat(all, found.truths), near, short)
	if outcome == diagram.NotSettled {
		// Answers that the functions rule out far down are gone from the top once they are joined with the truths.
		n := s.Store.AndAll(all)
		joined := make([]diagram.Node, len(found.truths))
		for i, t := range found.truths {
			joined[i] = s.Store.And(t, n)
		}
		if c, outcome = s.Store.Joint(append(joined, n), near, long); outcome == diagram.NotSettled {
			return s.Store.And(s.Valid(v, n), n) != diagram.False
		}
	}
	if outcome == diagram.Found {
		found.cases = append(found.cases, c)
	}
	return outcome == diagram.Found
}

func (s *Space) search(v View) *search {
	if found := s.searches[v]; found != nil {
		return found
	}
	const most = 300 // nodes of a joint of truths, beyond which another is begun
	found := &search{}
	joint := diagram.True
	for _, t := range s.truths {
		if !v.keeps(t) {
			continue
		}
		n := s.Store.And(joint, t.node)
		if joint != diagram.True && s.Store.Size(n) > most {
			found.truths = append(found.truths, joint)
			n = t.node
		}
		joint = n
	}
	found.truths = append(found.truths, joint)
	s.searches[v] = found
	return found
}
