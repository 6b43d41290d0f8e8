package rules

import (
	"slices"
	"strings"

	"patchfirst/rules/diagram"
)

// Needs puts a set of answers to each question into words: what every case in it must have.
func (s *Space) Needs(c diagram.Case) []Requirement { return s.Base.requirements(c) }

// Inside returns the function "every answer is one of these".
func (s *Space) Inside(c diagram.Case) diagram.Node {
	n := diagram.True
	for v, set := range c {
		if set != 0 {
			n = s.Store.And(n, s.Store.Literal(diagram.Var(v), set))
		}
	}
	return n
}

// Limit returns the box of the cases that some answers leave, as far as each answer alone tells.
func (b *Base) Limit(answers Answers) diagram.Case { return b.limit(answers) }

// InWords is the shortest that the base can say for a requirement: of many values a group, or the few that are left out.
func (b *Base) InWords(r Requirement) string {
	f := b.Fact(r.Fact)
	if len(r.Values) < 2 || f == nil {
		return r.String()
	}
	for _, g := range b.Groups {
		if g.Of == r.Fact && len(g.Is) == len(r.Values) && !slices.ContainsFunc(g.Is, func(v string) bool { return !slices.Contains(r.Values, v) }) {
			return r.Fact + " in " + g.ID
		}
	}
	if len(r.Values) <= len(f.Values)/2 {
		return r.String()
	}
	var out []string
	for _, v := range f.ValueIDs() {
		if !slices.Contains(r.Values, v) {
			out = append(out, v)
		}
	}
	return r.Fact + " is not " + strings.Join(out, ", ")
}
