package diagram_test

import (
	"math/rand/v2"
	"testing"

	"patchfirst/rules/diagram"
)

// ruleBase is a random base of rules for measuring: each joins a few questions.
type ruleBase struct {
	sizes []int
	rules [][]func(*diagram.Store) diagram.Node
	order []diagram.Var
}

func randomBase(questions, rules int) *ruleBase {
	r := rand.New(rand.NewPCG(1, 2))
	b := &ruleBase{}
	for range questions {
		b.sizes = append(b.sizes, 2+r.IntN(6))
	}
	var groups [][]diagram.Var
	for range rules {
		var parts []func(*diagram.Store) diagram.Node
		var group []diagram.Var
		near := r.IntN(questions)
		for range 1 + r.IntN(3) {
			v := diagram.Var((near + r.IntN(8)) % questions)
			set := r.Uint64N(1<<b.sizes[v]-2) + 1
			parts = append(parts, func(s *diagram.Store) diagram.Node { return s.Literal(v, set) })
			group = append(group, v)
		}
		b.rules = append(b.rules, parts)
		groups = append(groups, group)
	}
	b.order = diagram.Force(questions, groups)
	return b
}

func (b *ruleBase) compile(s *diagram.Store) (verdicts []diagram.Node) {
	const methods = 30
	verdicts = make([]diagram.Node, methods)
	for i, parts := range b.rules {
		n := diagram.True
		for _, p := range parts {
			n = s.And(n, p(s))
		}
		m := i % methods
		verdicts[m] = s.Max(verdicts[m], s.Scale(n, 1+i/methods%4))
	}
	return verdicts
}

func BenchmarkCompile(b *testing.B) {
	base := randomBase(40, 300)
	var s *diagram.Store
	for b.Loop() {
		s = diagram.New(base.sizes, base.order, 0)
		base.compile(s)
	}
	b.ReportMetric(float64(s.Len()), "nodes")
}

func BenchmarkAnd(b *testing.B) {
	base := randomBase(40, 300)
	for b.Loop() {
		s := diagram.New(base.sizes, base.order, 0)
		verdicts := base.compile(s)
		refused := diagram.False
		for _, v := range verdicts[:6] {
			refused = s.Or(refused, s.AtLeast(v, 4))
		}
	}
}

func BenchmarkEval(b *testing.B) {
	base := randomBase(40, 300)
	s := diagram.New(base.sizes, base.order, 0)
	verdicts := base.compile(s)
	r := rand.New(rand.NewPCG(3, 4))
	cases := make([][]uint8, 1024)
	for i := range cases {
		for _, n := range base.sizes {
			cases[i] = append(cases[i], uint8(r.IntN(n)))
		}
	}
	i := 0
	for b.Loop() {
		s.Eval(verdicts[i%len(verdicts)], cases[i%len(cases)])
		i++
	}
}
