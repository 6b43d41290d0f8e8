package knowledge_test

import (
	"maps"
	"slices"
	"testing"

	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/vm"

	"patchfirst/rules"
)

// answered is one answer to a fact: what expr is told, of a list with its ends too.
type answered map[string]any

// plain is a condition that expr evaluates. What it says is kept by the answers that it reads.
type plain struct {
	program  *vm.Program
	facts    []int // that it reads, by place in the base
	findings []int
	said     []said // by what it reads, in the order of counting
}

// said is what a condition says in a case: nothing yet, no or yes.
type said uint8

const (
	unsaid said = iota
	no
	yes
)

// enumerator writes out the complete cases of a base that is cut down, and decides them by the definitions. It shares no
// code with the diagrams; of the engine it takes how conditions are split into parts, to know what they read, and where
// numbers are cut.
type enumerator struct {
	t       testing.TB
	b       *rules.Base
	answers [][]answered               // by fact: those that are left
	named   map[string]map[string]bool // by end of a list: the values that are told apart
	rules   []*plain
	never   []*plain
	applies []*plain // by fact, or nil
	order   []int    // of the findings: each after those that its rules read
	machine vm.VM
	effects effects

	// The case at hand.
	is     []int // by fact: which of its answers
	levels []int // by finding
	found  decided
	truths []func() bool
}

// newEnumerator makes the enumerator of one base. Answers are told apart that any of some bases tells apart; these must be
// laid out alike.
func newEnumerator(t testing.TB, b *rules.Base, left map[string]kept, apart ...*rules.Base) *enumerator {
	e := &enumerator{t: t, b: b, is: make([]int, len(b.Facts)), levels: make([]int, len(b.Findings)), named: map[string]map[string]bool{}}
	for _, f := range b.Facts {
		k, ok := left[f.ID]
		if !ok {
			k = usual(f)
		}
		for _, end := range []string{f.First, f.Last} {
			if end != "" {
				e.named[end] = named(end, append(apart, b))
			}
		}
		e.answers = append(e.answers, answersLeft(f, k, e.named))
	}
	for _, f := range b.Facts {
		e.applies = append(e.applies, e.plain(f.Applies))
	}
	for _, r := range b.Rules {
		e.rules = append(e.rules, e.plain(r.When))
	}
	for _, c := range b.Constraints {
		e.never = append(e.never, e.plain(c.Never))
	}
	for _, f := range byNeed(b) {
		e.order = append(e.order, slices.Index(b.Findings, f))
	}
	e.effects = effectsOf(b)
	return e
}

// plain compiles a condition with expr; nil is nil.
func (e *enumerator) plain(c *rules.Cond) *plain {
	if c == nil {
		return nil
	}
	p := &plain{}
	c.Walk(func(test *rules.Test) {
		if test.Fact != nil {
			p.facts = append(p.facts, slices.Index(e.b.Facts, test.Fact.Parent()))
		}
		if test.Finding != nil {
			p.findings = append(p.findings, slices.Index(e.b.Findings, test.Finding))
		}
	})
	for _, read := range []*[]int{&p.facts, &p.findings} {
		slices.Sort(*read)
		*read = slices.Compact(*read)
	}
	size := 1
	for _, f := range p.facts {
		size *= len(e.answers[f])
	}
	for _, k := range p.findings {
		size *= len(e.b.Findings[k].Scale)
	}
	p.said = make([]said, size)
	var err error
	if p.program, err = expr.Compile(ranked(c), expr.Env(e.env()), expr.AsBool()); err != nil {
		e.t.Fatalf("%s: %v", c.Pos, err)
	}
	return p
}

// env is the case at hand as expr takes it.
func (e *enumerator) env() map[string]any {
	env := map[string]any{}
	for f, i := range e.is {
		maps.Copy(env, e.answers[f][i])
	}
	for _, g := range e.b.Groups {
		if g.Of != "method" {
			env[g.ID] = g.Is
		}
	}
	for k, f := range e.b.Findings {
		env[f.ID] = e.levels[k]
	}
	return env
}

// holds evaluates a condition on the case at hand; nil always holds.
func (e *enumerator) holds(p *plain) bool {
	if p == nil {
		return true
	}
	at := 0
	for _, f := range p.facts {
		at = at*len(e.answers[f]) + e.is[f]
	}
	for _, k := range p.findings {
		at = at*len(e.b.Findings[k].Scale) + e.levels[k]
	}
	if p.said[at] == unsaid {
		v, err := e.machine.Run(p.program, e.env())
		if err != nil {
			e.t.Fatal(err)
		}
		if p.said[at] = no; v == true {
			p.said[at] = yes
		}
	}
	return p.said[at] == yes
}

// answer returns the answer to a fact in the case at hand: one value, or a list.
func (e *enumerator) answer(fact string) []string {
	i := slices.IndexFunc(e.b.Facts, func(f *rules.Fact) bool { return f.ID == fact })
	switch a := e.answers[i][e.is[i]][fact].(type) {
	case string:
		return []string{a}
	case []string:
		return a
	}
	return nil
}

// checks are the truths of the base, each at the last fact that it reads.
func (e *enumerator) checks() [][]func() bool {
	checks := make([][]func() bool, len(e.b.Facts))
	last := func(p *plain, at int) int { return slices.Max(append([]int{at}, p.facts...)) }
	for i, p := range e.never {
		if len(p.findings) > 0 {
			e.t.Fatalf("the constraint %s reads a finding", e.b.Constraints[i].ID)
		}
		at := last(p, 0)
		checks[at] = append(checks[at], func() bool { return !e.holds(p) })
	}
	for i, fact := range e.b.Facts {
		if p := e.applies[i]; p != nil {
			at := last(p, i)
			checks[at] = append(checks[at], func() bool { return e.holds(p) || isElse(fact, e.answers[i][e.is[i]]) })
		}
	}
	return checks
}

// occurs reports whether the case at hand can occur.
func (e *enumerator) occurs() bool {
	if e.truths == nil {
		e.truths = slices.Concat(e.checks()...)
	}
	return !slices.ContainsFunc(e.truths, func(check func() bool) bool { return !check() })
}

// each calls f on every complete case that can occur; the case at hand is then that one.
func (e *enumerator) each(f func()) {
	checks := e.checks()
	var answer func(fact int)
	answer = func(fact int) {
		if fact == len(e.is) {
			f()
			return
		}
	next:
		for i := range e.answers[fact] {
			e.is[fact] = i
			for _, check := range checks[fact] {
				if !check() {
					continue next
				}
			}
			answer(fact + 1)
		}
		e.is[fact] = 0
	}
	answer(0)
}

// turnTo makes the case with some answers the one at hand, and reports whether it can occur.
func (e *enumerator) turnTo(given rules.Answers) bool {
	for i, f := range e.b.Facts {
		e.is[i] = slices.IndexFunc(e.answers[i], func(a answered) bool { return same(f, a, given[f.ID], e.named) })
		if e.is[i] < 0 {
			e.is[i] = 0
			return false
		}
	}
	return e.occurs()
}
