package rules

import (
	"slices"

	"patchfirst/rules/diagram"
)

// world holds the truths of the cases that are looked at, and some cases in which they hold. To look for a case is first
// to look among those.
type world struct {
	s      *Space
	view   View
	extra  diagram.Node // what else holds
	truths []diagram.Node
	cases  [][]uint8
}

// world returns the world of a view.
func (s *Space) world(v View) *world {
	w := s.worlds[v]
	if w == nil {
		w = &world{s: s, view: v, extra: diagram.True}
		for _, t := range s.truths {
			if v.keeps(t) {
				w.truths = append(w.truths, t.node)
			}
		}
		w.cases = s.Base.seen.that(w.holds)
		s.worlds[v] = w
	}
	return w
}

// holds reports whether a case can occur in the world.
func (w *world) holds(c []uint8) bool {
	for v, possible := range w.s.limit {
		if possible != 0 && possible>>c[v]&1 == 0 {
			return false
		}
	}
	return !slices.ContainsFunc(w.truths, func(t diagram.Node) bool { return w.s.Store.Eval(t, c) == 0 })
}

// where returns the part of a world in which extra holds too.
func (w *world) where(extra diagram.Node) *world {
	if extra == diagram.True {
		return w
	}
	part := &world{s: w.s, view: w.view, extra: w.s.Store.And(w.extra, extra), truths: append([]diagram.Node{extra}, w.truths...)}
	for _, c := range w.cases {
		if w.s.Store.Eval(extra, c) == 1 {
			part.cases = append(part.cases, c)
		}
	}
	return part
}

// Occurs reports whether a case can occur in which all the functions are True.
func (s *Space) Occurs(v View, nodes ...diagram.Node) bool { return s.world(v).occurs(nodes...) }

// occurs reports whether there is a case in which all the functions are True. Only where a short walk does not settle it
// are the truths projected.
func (w *world) occurs(nodes ...diagram.Node) bool {
	_, outcome := w.find(nodes...)
	if outcome == diagram.NotSettled {
		n := w.s.Store.AndAll(append(nodes, w.extra))
		return w.s.Store.And(w.s.Valid(w.view, n), n) != diagram.False
	}
	return outcome == diagram.Found
}

// find returns a case in which all the functions are True: one that was found before, or one near the last of them.
func (w *world) find(nodes ...diagram.Node) ([]uint8, diagram.Outcome) {
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
	for i := len(w.cases) - 1; i >= 0; i-- {
		if !slices.ContainsFunc(all, func(n diagram.Node) bool { return w.s.Store.Eval(n, w.cases[i]) == 0 }) {
			return w.cases[i], diagram.Found
		}
	}
	var near []uint8
	if k := len(w.cases); k > 0 {
		near = w.cases[k-1]
	}
	c, outcome := w.s.walk(w.truths, near, all...)
	if outcome == diagram.Found {
		const most = 200
		if len(w.cases) == most {
			w.cases = slices.Delete(w.cases, 0, most/2)
		}
		w.cases = append(w.cases, c)
		w.s.remember(c)
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
