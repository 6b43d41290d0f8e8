package audit

import (
	"fmt"
	"maps"
	"slices"

	"patchfirst/rules"
)

// Fault is a kind of small mistake.
type Fault string

// The faults that are tried, as in mutation testing of policies (Martin and Xie 2007).
const (
	Dropped  Fault = "drop"   // a condition is left out
	Flipped  Fault = "flip"   // a comparison is turned round, or its edge moved to the other side
	Swapped  Fault = "swap"   // one value stands for another
	Weakened Fault = "weaken" // a verdict or level is milder
	Deleted  Fault = "delete" // the whole rule is gone
)

// Faults lists them.
var Faults = []Fault{Dropped, Flipped, Swapped, Weakened, Deleted}

// Mutant is a base with one small fault in one rule.
type Mutant struct {
	Fault Fault
	Place int // of the rule in the base
	Rule  *rules.Rule
	Twin  *rules.Rule // what stands in its place
	Was   string      // the part of the rule that is changed
	Is    string      // what it becomes
}

func (m Mutant) String() string {
	switch {
	case m.Fault == Deleted:
		return fmt.Sprintf("%s: rule %s is deleted", m.Rule.Pos, m.Rule.ID)
	case m.Is == "":
		return fmt.Sprintf("%s: rule %s: %s is dropped", m.Rule.Pos, m.Rule.ID, m.Was)
	}
	return fmt.Sprintf("%s: rule %s: %s becomes %s", m.Rule.Pos, m.Rule.ID, m.Was, m.Is)
}

// Mutants makes every fault that the systematic operators give for the rules of a base, those that stand for table cells
// too. The base should have been cut finely.
func Mutants(b *rules.Base) (all []Mutant) {
	for i, r := range b.Rules {
		add := func(fault Fault, twin *rules.Rule, was, is string) {
			all = append(all, Mutant{fault, i, r, twin, was, is})
		}
		conditions(r, add)
		weaken(b, r, add)
		add(Deleted, &rules.Rule{ID: r.ID, Pos: r.Pos, Cell: r.Cell, When: r.When}, r.ID, "")
	}
	return all
}

type adder func(fault Fault, twin *rules.Rule, was, is string)

// conditions changes one test of the condition at a time.
func conditions(r *rules.Rule, add adder) {
	if r.When == nil {
		return
	}
	var tests []*rules.Test
	r.When.Walk(func(t *rules.Test) { tests = append(tests, t) })
	change := func(k int, fault Fault, f func(t *rules.Test) bool) {
		cond := r.When.Copy()
		var at []*rules.Test
		cond.Walk(func(t *rules.Test) { at = append(at, t) })
		if !f(at[k]) {
			return
		}
		cond.Settle()
		twin := *r
		twin.When = cond
		add(fault, &twin, tests[k].String(), at[k].String())
	}
	if tests[0].Op != rules.OpAnd && tests[0].Op != rules.OpOr {
		twin := *r
		twin.When = nil
		add(Dropped, &twin, r.When.Root.String(), "always")
	}
	for k, t := range tests {
		switch t.Op {
		case rules.OpAnd, rules.OpOr:
			for i, arg := range t.Args {
				cond := r.When.Copy()
				var at []*rules.Test
				cond.Walk(func(t *rules.Test) { at = append(at, t) })
				if at[k].Args = slices.Delete(at[k].Args, i, i+1); len(at[k].Args) == 1 {
					*at[k] = *at[k].Args[0]
				}
				cond.Settle()
				twin := *r
				twin.When = cond
				add(Dropped, &twin, arg.String(), "")
			}
		case rules.OpCmp, rules.OpLevel:
			change(k, Flipped, edge)
		case rules.OpIn:
			change(k, Flipped, func(t *rules.Test) bool { t.Negated = !t.Negated; return true })
			change(k, Swapped, swap)
		case rules.OpHas:
			change(k, Flipped, func(t *rules.Test) bool {
				inner := *t
				*t = rules.Test{Op: rules.OpNot, Args: []*rules.Test{&inner}}
				return true
			})
			change(k, Swapped, swap)
		}
	}
}

// edge moves the edge of a comparison to its other side, and turns equality round.
func edge(t *rules.Test) bool {
	t.Cmp = map[string]string{"<": "<=", "<=": "<", ">": ">=", ">=": ">", "==": "!=", "!=": "=="}[t.Cmp]
	if t.Op == rules.OpLevel {
		// A test that then holds always or never is no small fault: take the next level instead.
		top := len(t.Finding.Scale) - 1
		switch {
		case t.Cmp == ">" && t.Level == top, t.Cmp == "<" && t.Level == 0:
			return false
		case t.Cmp == "<=" && t.Level == top, t.Cmp == ">=" && t.Level == 0:
			return false
		}
	}
	return true
}

// swap puts the next value that is not named already in the place of the first one.
func swap(t *rules.Test) bool {
	ids := t.Fact.ValueIDs()
	at := slices.Index(ids, t.Values[0])
	for step := 1; step < len(ids); step++ {
		if v := ids[(at+step)%len(ids)]; !slices.Contains(t.Values, v) {
			t.Values[0] = v
			return true
		}
	}
	return false
}

// milder is what a verdict becomes when it is weakened; a rule without it says nothing.
var milder = map[rules.Verdict]rules.Verdict{rules.RuledOut: rules.Discouraged, rules.NoUse: rules.Discouraged}

// weaken makes a verdict milder, or lowers a finding by one level. Where that would leave nothing of the rule it is
// deleting, which is tried anyway.
func weaken(b *rules.Base, r *rules.Rule, add adder) {
	effects := len(r.Gives) + len(r.Raises) + len(r.Attach)
	for v := rules.Favoured; v <= rules.RuledOut; v++ {
		set, ok := r.Gives[v]
		if !ok {
			continue
		}
		to, milder := milder[v]
		if !milder && effects == 1 {
			continue
		}
		twin := *r
		twin.Gives = maps.Clone(r.Gives)
		delete(twin.Gives, v)
		if milder {
			twin.Gives[to] |= set
		}
		add(Weakened, &twin, v.String(), to.String())
	}
	for _, f := range b.Findings {
		raised, ok := r.Raises[f.ID]
		if !ok {
			continue
		}
		level := slices.Index(f.Scale, raised)
		if level < 2 && effects == 1 {
			continue
		}
		twin := *r
		twin.Raises = maps.Clone(r.Raises)
		if twin.Raises[f.ID] = f.Scale[level-1]; level < 2 {
			delete(twin.Raises, f.ID)
		}
		add(Weakened, &twin, f.ID+" "+raised, f.ID+" "+f.Scale[level-1])
	}
}
