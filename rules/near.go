package rules

import (
	"slices"

	"patchfirst/rules/diagram"
)

// Near returns a case that can occur in which all the functions are True. It tries the answers of another case first,
// so it differs from that one only where it must; nil is none. Not ok: there is no such case, or the search ran out.
func (s *Space) Near(values []uint8, nodes ...diagram.Node) (found []uint8, ok bool) {
	err := s.Store.Try(func() {
		c, outcome := s.walk(s.world(Free).truths, values, nodes...)
		found, ok = c, outcome == diagram.Found
	})
	return found, ok && err == nil
}

// Pins returns the functions "it is as these answers say".
func (s *Space) Pins(answers Answers) (nodes []diagram.Node) {
	for v, set := range s.Base.limit(answers) {
		if set != 0 {
			nodes = append(nodes, s.Store.Literal(diagram.Var(v), set))
		}
	}
	return nodes
}

// Same returns the functions "it is as in this case", for every fact but one.
func (s *Space) Same(values []uint8, but *Fact) (nodes []diagram.Node) {
	for v, variable := range s.Base.vars {
		if variable.fact.Parent() != but {
			nodes = append(nodes, s.Store.Literal(diagram.Var(v), 1<<values[v]))
		}
	}
	return nodes
}

// Differ lists the facts to which two cases have different answers, in the order of the base.
func (s *Space) Differ(a, b []uint8) (facts []*Fact) {
	for _, f := range s.Base.Facts {
		if slices.ContainsFunc(s.Vars(f), func(v diagram.Var) bool { return a[v] != b[v] }) {
			facts = append(facts, f)
		}
	}
	return facts
}

// Reads lists the facts that some function depends on, in the order of the base.
func (s *Space) Reads(n diagram.Node) (facts []*Fact) {
	reads := s.Store.SupportSet(n)
	for _, f := range s.Base.Facts {
		if slices.ContainsFunc(s.Vars(f), reads.Has) {
			facts = append(facts, f)
		}
	}
	return facts
}
