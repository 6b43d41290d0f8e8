package main

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// input is a complete case as other engines take it: texts, lists and numbers by fact.
type input map[string]any

func newInput(b *rules.Base, s *rules.Space, values []uint8) input {
	in := input{}
	answers := s.Base.Answers(values)
	for _, f := range b.Facts {
		a := answers[f.ID]
		switch f.Kind {
		case rules.Choice:
			in[f.ID] = a.Values[0]
		case rules.Number:
			in[f.ID] = a.Lo
		case rules.Several:
			in[f.ID] = append([]string{}, a.Values...)
			for i, end := range []string{f.First, f.Last} {
				if end == "" {
					continue
				}
				if in[end] = "none"; len(a.Values) > 0 {
					in[end] = a.Values[i*(len(a.Values)-1)]
				}
			}
		}
	}
	return in
}

// stages lists the rules that raise a finding, each after those that its condition needs, and then all others.
func stages(b *rules.Base) (raise, rest []int) {
	done := map[*rules.Finding]bool{}
	left := map[int]bool{}
	for i, r := range b.Rules {
		if len(r.Raises) > 0 {
			left[i] = true
		} else {
			rest = append(rest, i)
		}
	}
	needs := func(i int) (open bool) {
		b.Rules[i].When.Walk(func(t *rules.Test) { open = open || t.Finding != nil && !done[t.Finding] })
		return open
	}
	for len(left) > 0 {
		for i := range b.Rules {
			if left[i] && !needs(i) {
				raise = append(raise, i)
				delete(left, i)
			}
		}
		for _, f := range b.Findings {
			raised := true
			for i := range left {
				if _, ok := b.Rules[i].Raises[f.ID]; ok {
					raised = false
				}
			}
			done[f] = raised
		}
	}
	return raise, rest
}

// inLevels runs the rules that raise findings first, and keeps how high each finding stands in the environment.
func inLevels(b *rules.Base, raise, rest []int, env map[string]any, fires func(i int) (bool, error)) ([]bool, error) {
	fired := make([]bool, len(b.Rules))
	for _, f := range b.Findings {
		env[f.ID] = 0
	}
	for _, i := range slices.Concat(raise, rest) {
		ok, err := fires(i)
		if err != nil {
			return nil, fmt.Errorf("rule %s: %w", b.Rules[i].ID, err)
		}
		if fired[i] = ok; !ok {
			continue
		}
		for id, level := range b.Rules[i].Raises {
			env[id] = max(env[id].(int), slices.Index(b.Finding(id).Scale, level))
		}
	}
	return fired, nil
}

// text writes a condition in the syntax that expr and CEL share; findings are numbers.
func text(t *rules.Test) string {
	switch t.Op {
	case rules.OpAnd, rules.OpOr, rules.OpNot:
		return joined(t, text)
	case rules.OpHas:
		return fmt.Sprintf("%q in %s", t.Values[0], t.Fact.ID)
	case rules.OpCmp:
		return fmt.Sprintf("%s %s %f", t.Fact.ID, t.Cmp, t.Number)
	case rules.OpLevel:
		return fmt.Sprintf("%s %s %d", t.Finding.ID, t.Cmp, t.Level)
	}
	in := fmt.Sprintf("%s in [%s]", t.Fact.ID, quoted(t.Values))
	if t.Negated {
		return "!(" + in + ")"
	}
	return in
}

// joined writes a test of tests, each written by a function, as most languages do.
func joined(t *rules.Test, write func(*rules.Test) string) string {
	parts := make([]string, len(t.Args))
	for i, a := range t.Args {
		parts[i] = "(" + write(a) + ")"
	}
	if t.Op == rules.OpNot {
		return "!" + parts[0]
	}
	return strings.Join(parts, map[rules.Op]string{rules.OpAnd: " && ", rules.OpOr: " || "}[t.Op])
}

func quoted(values []string) string {
	all := make([]string, len(values))
	for i, v := range values {
		all[i] = fmt.Sprintf("%q", v)
	}
	return strings.Join(all, ", ")
}

// ownEngine is the engine of this repository: a walk down the diagram of each rule, or of each method.
type ownEngine struct {
	s     *rules.Space
	cases [][]uint8
	of    []diagram.Node
}

func (e *ownEngine) name() string { return "this engine, rule by rule" }

func (e *ownEngine) fired(c int) ([]bool, error) {
	fired := make([]bool, len(e.s.Base.Rules))
	for i := range fired {
		fired[i] = e.s.Store.Eval(e.s.Rule(i), e.cases[c]) == 1
	}
	return fired, nil
}

func (e *ownEngine) verdicts(c int) (sum int) {
	if e.of == nil {
		for _, m := range e.s.Base.Methods {
			e.of = append(e.of, e.s.Verdict(m))
		}
	}
	for _, n := range e.of {
		sum += e.s.Store.Eval(n, e.cases[c])
	}
	return sum
}
