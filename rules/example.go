package rules

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/rules/diagram"
)

// Counter counts and draws cases that can occur.
func (s *Space) Counter() *diagram.Counter { return s.Store.Counter(s.All()) }

// String puts a requirement into the words of conditions.
func (r Requirement) String() string {
	var parts []string
	switch {
	case len(r.Values) == 1:
		return r.Fact + " = " + r.Values[0]
	case len(r.Values) > 1:
		return fmt.Sprintf("%s is one of %s", r.Fact, strings.Join(r.Values, ", "))
	case len(r.Ranges) > 0:
		return r.Fact + " " + strings.Join(r.Ranges, " or ")
	}
	if len(r.With) > 0 {
		parts = append(parts, fmt.Sprintf("%s with %s", r.Fact, strings.Join(r.With, ", ")))
	}
	if len(r.Without) > 0 {
		parts = append(parts, fmt.Sprintf("%s without %s", r.Fact, strings.Join(r.Without, ", ")))
	}
	return strings.Join(parts, ", ")
}

// Answers turns a complete case into answers to all its facts, figures too. The order of a list is made up so that its
// ends are those of the case.
func (b *Base) Answers(values []uint8) Answers {
	answers := Answers{}
	for _, f := range b.Facts {
		switch f.Kind {
		case Choice:
			answers[f.ID] = Answer{Values: []string{f.Values[values[f.vars[0]]].ID}}
		case Number:
			x := f.Sample(int(values[f.vars[0]]))
			answers[f.ID] = Answer{Lo: x, Hi: x}
		case Several:
			answers[f.ID] = Answer{Values: b.list(f, values)}
		}
	}
	return answers
}

// list returns a list of a several-fact with the members and the ends of a case.
func (b *Base) list(f *Fact, values []uint8) []string {
	var members []string
	for i, v := range f.Values {
		if values[f.vars[i]] == 1 {
			members = append(members, v.ID)
		}
	}
	end := func(id, not string) string {
		if id == "" || len(members) == 0 {
			return ""
		}
		e := b.facts[id]
		i := int(values[e.vars[0]])
		if i < len(e.named) {
			return e.named[i]
		}
		// Any member that no condition names as an end will do, another one than the other end if there is one.
		found := ""
		for _, m := range members {
			if !slices.Contains(e.named, m) && (found == "" || found == not) {
				found = m
			}
		}
		return found
	}
	first := end(f.First, "")
	last := end(f.Last, first)
	if len(members) < 2 || first == "" && last == "" {
		return members
	}
	var list []string
	if first != "" {
		list = append(list, first)
	}
	for _, m := range members {
		if m != first && m != last {
			list = append(list, m)
		}
	}
	if last != "" && (last != first || len(list) > 1) {
		list = append(list, last)
	}
	return list
}

// Is returns the function "the fact has, or holds, this value".
func (s *Space) Is(f *Fact, value string) diagram.Node {
	if f.Kind == Several {
		return s.literal(f.vars[f.index(value)], 1<<1)
	}
	return s.literal(f.vars[0], 1<<f.index(value))
}

// Vars returns the questions of the diagrams that stand for a fact, those of the ends of its list too.
func (s *Space) Vars(f *Fact) []diagram.Var { return slices.Concat(f.vars, s.Base.endVars(f)) }
