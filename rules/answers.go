package rules

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/rules/diagram"
)

// Answer is what is known of one fact. A fact without one is blank.
type Answer struct {
	// Values of a choice: the ones that are still possible, one if it is known. Of a several-fact: the list, in its order.
	Values []string
	// Of a several-fact: there may be more than the list says, before its first or after its last.
	MoreBefore, MoreAfter bool
	// Of a number: the range it lies in, ends included.
	Lo, Hi float64
}

// Answers is a partial case, by fact.
type Answers map[string]Answer

// Requirement says which answers to one fact are meant: one of Values, or From to To, or a list With and Without some.
type Requirement struct {
	Fact    string   `json:"fact"`
	Values  []string `json:"values,omitempty"`
	With    []string `json:"with,omitempty"`
	Without []string `json:"without,omitempty"`
	Ranges  []string `json:"ranges,omitempty"`
}

// isDefault reports whether an answer only says what a blank means anyway.
func (f *Fact) isDefault(a Answer) bool {
	return f.hasDefault() && f.Kind == Choice && len(a.Values) == 1 && a.Values[0] == f.Blank
}

// hasDefault reports whether a blank is a value.
func (f *Fact) hasDefault() bool { return f.Blank != Refuses && f.Blank != Condition }

// limit returns what the answers leave possible of each question of the diagrams.
func (b *Base) limit(answers Answers) diagram.Case {
	c := make(diagram.Case, len(b.vars))
	set := func(v diagram.Var, values uint64) { c[v] = values }
	for _, f := range b.Facts {
		a, ok := answers[f.ID]
		if !ok || f.isDefault(a) {
			continue
		}
		switch f.Kind {
		case Choice:
			var s uint64
			for _, v := range a.Values {
				s |= 1 << f.index(v)
			}
			set(f.vars[0], s)
		case Number:
			var s uint64
			for i := f.Cell(a.Lo); i <= f.Cell(a.Hi); i++ {
				s |= 1 << i
			}
			set(f.vars[0], s)
		}
	}
	for _, f := range b.Facts {
		a, ok := answers[f.ID]
		if !ok || f.Kind != Several {
			continue
		}
		if f.AtLeastWhen != nil && b.certain(f.AtLeastWhen.Root, c) == yes {
			a.MoreAfter = true
		}
		more := a.MoreBefore || a.MoreAfter
		for i, v := range f.Values {
			switch {
			case slices.Contains(a.Values, v.ID):
				set(f.vars[i], 1<<1)
			case !more:
				set(f.vars[i], 1<<0)
			}
		}
		end := func(id string, open bool, at int) {
			if id == "" || open {
				return
			}
			e, value := b.facts[id], "none"
			if len(a.Values) > 0 {
				value = a.Values[at]
			} else if more {
				return
			}
			set(e.vars[0], 1<<e.index(value))
		}
		end(f.First, a.MoreBefore, 0)
		end(f.Last, a.MoreAfter, max(0, len(a.Values)-1))
	}
	return c
}

type tri int

const (
	maybe tri = iota
	yes
	no
)

// certain decides a condition that names no findings from what is left possible of each question.
func (b *Base) certain(t *Test, c diagram.Case) tri {
	flip := func(r tri) tri {
		switch r {
		case yes:
			return no
		case no:
			return yes
		}
		return maybe
	}
	switch t.Op {
	case OpNot:
		return flip(b.certain(t.Args[0], c))
	case OpAnd, OpOr:
		settles := no
		if t.Op == OpOr {
			settles = yes
		}
		all := flip(settles)
		for _, arg := range t.Args {
			switch r := b.certain(arg, c); r {
			case settles:
				return settles
			case maybe:
				all = maybe
			}
		}
		return all
	case OpLevel:
		return maybe
	}
	possible := c[t.asks]
	if possible == 0 {
		return maybe
	}
	switch {
	case possible&^t.holds == 0:
		return yes
	case possible&t.holds == 0:
		return no
	}
	return maybe
}

// place works out the question that a test asks and the answers for which it holds. It needs the questions in place.
func (t *Test) place() {
	f := t.Fact
	t.holds = 0
	switch t.Op {
	case OpHas:
		t.asks, t.holds = f.vars[f.index(t.Values[0])], 1<<1
		return
	case OpCmp:
		for i := range f.size() {
			if compare(f.Sample(i), t.Cmp, t.Number) {
				t.holds |= 1 << i
			}
		}
	case OpIn:
		for _, value := range t.Values {
			t.holds |= 1 << f.index(value)
		}
		if t.Negated {
			t.holds = ^t.holds & (^uint64(0) >> (diagram.MaxValues - f.size()))
		}
	default:
		return
	}
	t.asks = f.vars[0]
}

func compare[T float64 | int](a T, op string, b T) bool {
	switch op {
	case "<":
		return a < b
	case "<=":
		return a <= b
	case ">":
		return a > b
	case ">=":
		return a >= b
	case "==":
		return a == b
	}
	return a != b
}

// requirements puts a box of the diagrams into words, one requirement a fact, in the order of the base.
func (b *Base) requirements(box diagram.Case) []Requirement {
	var all []Requirement
	byFact := map[*Fact]int{}
	for v, set := range box {
		if set == 0 {
			continue
		}
		f := b.vars[v].fact
		i, ok := byFact[f]
		if !ok {
			i = len(all)
			byFact[f] = i
			all = append(all, Requirement{Fact: f.ID})
		}
		r := &all[i]
		switch {
		case f.Kind == Several:
			id := f.Values[b.vars[v].value].ID
			if set == 1<<1 {
				r.With = append(r.With, id)
			} else {
				r.Without = append(r.Without, id)
			}
		case f.Kind == Number:
			r.Ranges = f.ranges(set)
		case f.ends != nil:
			for _, value := range f.Values {
				if set>>f.index(value.ID)&1 == 1 {
					r.Values = append(r.Values, value.ID)
				}
			}
		default:
			for i, value := range f.Values {
				if set>>i&1 == 1 {
					r.Values = append(r.Values, value.ID)
				}
			}
		}
	}
	return all
}

// ranges names the cells of a number in a set, neighbours joined.
func (f *Fact) ranges(set uint64) (ranges []string) {
	for i := 0; i < f.size(); i++ {
		if set>>i&1 == 0 {
			continue
		}
		from := i
		for i+1 < f.size() && set>>(i+1)&1 == 1 {
			i++
		}
		var parts []string
		if from > 0 {
			parts = append(parts, edge("from", "above", f.cuts[from-1], false))
		}
		if i < len(f.cuts) {
			parts = append(parts, edge("up to", "below", f.cuts[i], true))
		}
		ranges = append(ranges, strings.Join(parts, " "))
	}
	return ranges
}

// edge names one end of a range: with belongs if the place itself is in it.
func edge(with, without string, c cut, upper bool) string {
	if c.below == upper {
		return fmt.Sprintf("%s %g", with, c.at)
	}
	return fmt.Sprintf("%s %g", without, c.at)
}
