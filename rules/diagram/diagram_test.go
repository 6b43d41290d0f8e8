package diagram_test

import (
	"fmt"
	"maps"
	"math/big"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"patchfirst/rules/diagram"
)

// space is a small space of cases whose every case is written out, to check the diagrams by counting.
type space struct {
	sizes []int
	order []diagram.Var
	cases [][]uint8
}

func drawSpace(t *rapid.T, most int) *space {
	sp := &space{sizes: rapid.SliceOfN(rapid.IntRange(2, 4), 3, most).Draw(t, "sizes")}
	vars := make([]diagram.Var, len(sp.sizes))
	for v := range vars {
		vars[v] = diagram.Var(v)
	}
	sp.order = rapid.Permutation(vars).Draw(t, "order")
	sp.cases = [][]uint8{{}}
	for _, n := range sp.sizes {
		var longer [][]uint8
		for _, c := range sp.cases {
			for i := range n {
				longer = append(longer, append(slices.Clone(c), uint8(i)))
			}
		}
		sp.cases = longer
	}
	return sp
}

func (sp *space) store() *diagram.Store { return diagram.New(sp.sizes, sp.order, 0) }

// function is a function written out: its leaf for every case of a space.
type function func(values []uint8) int

// drawFunction draws an expression and builds it twice, as a diagram and as a closure.
func (sp *space) drawFunction(t *rapid.T, s *diagram.Store, label string) (diagram.Node, function) {
	var draw func(depth int) (diagram.Node, function)
	draw = func(depth int) (diagram.Node, function) {
		op := 0
		if depth > 0 {
			op = rapid.IntRange(0, 4).Draw(t, label+"-op")
		}
		switch op {
		case 1, 2:
			a, fa := draw(depth - 1)
			b, fb := draw(depth - 1)
			if op == 1 {
				return s.And(a, b), func(c []uint8) int { return min(fa(c), fb(c)) }
			}
			return s.Or(a, b), func(c []uint8) int { return max(fa(c), fb(c)) }
		case 3:
			a, fa := draw(depth - 1)
			return s.Not(a), func(c []uint8) int { return 1 - fa(c) }
		case 4:
			if rapid.IntRange(0, 9).Draw(t, label+"-leaf") == 0 {
				k := rapid.IntRange(0, 1).Draw(t, label+"-constant")
				return s.Leaf(k), func([]uint8) int { return k }
			}
		}
		v := diagram.Var(rapid.IntRange(0, len(sp.sizes)-1).Draw(t, label+"-var"))
		set := rapid.Uint64Range(0, 1<<sp.sizes[v]-1).Draw(t, label+"-set")
		return s.Literal(v, set), func(c []uint8) int { return int(set >> c[v] & 1) }
	}
	return draw(rapid.IntRange(0, 4).Draw(t, label+"-depth"))
}

func (sp *space) agree(t *rapid.T, what string, s *diagram.Store, n diagram.Node, f function) {
	t.Helper()
	for _, c := range sp.cases {
		if got, want := s.Eval(n, c), f(c); got != want {
			t.Fatalf("%s: at %v the diagram says %d, counting says %d", what, c, got, want)
		}
	}
}

func (sp *space) drawVars(t *rapid.T, label string) (vars []diagram.Var) {
	for v := range sp.sizes {
		if rapid.Bool().Draw(t, fmt.Sprintf("%s-%d", label, v)) {
			vars = append(vars, diagram.Var(v))
		}
	}
	return vars
}

func (sp *space) drawBox(t *rapid.T, label string) diagram.Case {
	box := make(diagram.Case, len(sp.sizes))
	for v, n := range sp.sizes {
		if rapid.Bool().Draw(t, fmt.Sprintf("%s-has-%d", label, v)) {
			box[v] = rapid.Uint64Range(1, 1<<n-1).Draw(t, fmt.Sprintf("%s-%d", label, v))
		}
	}
	return box
}

func within(box diagram.Case, c []uint8) bool {
	for v, set := range box {
		if set != 0 && set>>c[v]&1 == 0 {
			return false
		}
	}
	return true
}

func holds(f function, c []uint8) bool { return f(c) == 1 }

func TestBooleanOperations(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sp := drawSpace(t, 6)
		s := sp.store()
		a, fa := sp.drawFunction(t, s, "a")
		b, fb := sp.drawFunction(t, s, "b")
		sp.agree(t, "a", s, a, fa)
		sp.agree(t, "and", s, s.And(a, b), func(c []uint8) int { return min(fa(c), fb(c)) })
		sp.agree(t, "or", s, s.Or(a, b), func(c []uint8) int { return max(fa(c), fb(c)) })
		sp.agree(t, "not", s, s.Not(a), func(c []uint8) int { return 1 - fa(c) })
		implied := true
		for _, c := range sp.cases {
			implied = implied && fa(c) <= fb(c)
		}
		if got := s.Implies(a, b); got != implied {
			t.Fatalf("implies says %v, counting %v", got, implied)
		}
	})
}

func TestAndAllOrAllJoinMany(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sp := drawSpace(t, 5)
		s := sp.store()
		count := rapid.IntRange(0, 5).Draw(t, "count")
		nodes, fs := make([]diagram.Node, count), make([]function, count)
		for i := range count {
			nodes[i], fs[i] = sp.drawFunction(t, s, fmt.Sprint("f", i))
		}
		before := slices.Clone(nodes)
		sp.agree(t, "all", s, s.AndAll(nodes), func(c []uint8) int {
			all := 1
			for _, f := range fs {
				all = min(all, f(c))
			}
			return all
		})
		sp.agree(t, "any", s, s.OrAll(nodes), func(c []uint8) int {
			some := 0
			for _, f := range fs {
				some = max(some, f(c))
			}
			return some
		})
		if !slices.Equal(before, nodes) {
			t.Fatal("the list that was joined is changed")
		}
	})
}

func TestLeavesOfManyKinds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sp := drawSpace(t, 5)
		s := sp.store()
		joined, expect := diagram.False, function(func([]uint8) int { return 0 })
		for i := range rapid.IntRange(1, 4).Draw(t, "rules") {
			n, f := sp.drawFunction(t, s, fmt.Sprint("f", i))
			k := rapid.IntRange(0, diagram.MaxLeaf).Draw(t, "leaf")
			scaled := s.Scale(n, k)
			sp.agree(t, "scale", s, scaled, func(c []uint8) int { return k * f(c) })
			before := expect
			joined, expect = s.Max(joined, scaled), func(c []uint8) int { return max(before(c), k*f(c)) }
		}
		sp.agree(t, "max", s, joined, expect)
		k := rapid.IntRange(0, diagram.MaxLeaf).Draw(t, "level")
		one := func(is bool) int {
			if is {
				return 1
			}
			return 0
		}
		sp.agree(t, "at least", s, s.AtLeast(joined, k), func(c []uint8) int { return one(expect(c) >= k) })
		sp.agree(t, "exactly", s, s.Exactly(joined, k), func(c []uint8) int { return one(expect(c) == k) })
		ends := map[int]bool{}
		for _, c := range sp.cases {
			ends[expect(c)] = true
		}
		if leaves := s.Leaves(joined); !slices.Equal(leaves, slices.Sorted(maps.Keys(ends))) {
			t.Fatalf("it ends at %v, and %v are said", ends, leaves)
		}
		// Two tables at once, neither of which is the same when its functions change places.
		less, minus := diagram.NewTable(func(a, b int) int { return one(a < b) }), diagram.NewTable(func(a, b int) int { return max(0, a-b) })
		other, f := sp.drawFunction(t, s, "other")
		for range 2 {
			sp.agree(t, "minus", s, s.Combine(minus, joined, other), func(c []uint8) int { return max(0, expect(c)-f(c)) })
			sp.agree(t, "less", s, s.Combine(less, joined, other), func(c []uint8) int { return one(expect(c) < f(c)) })
			sp.agree(t, "greater", s, s.Combine(less, other, joined), func(c []uint8) int { return one(f(c) < expect(c)) })
		}
	})
}

func TestRestrict(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sp := drawSpace(t, 6)
		s := sp.store()
		n, f := sp.drawFunction(t, s, "f")
		box := sp.drawBox(t, "box")
		r := s.Restrict(n, box)
		for _, c := range sp.cases {
			if within(box, c) && s.Eval(r, c) != f(c) {
				t.Fatalf("at %v inside the case the restricted function is %d, not %d", c, s.Eval(r, c), f(c))
			}
		}
		for _, v := range s.Support(r) {
			if set := box[v]; set != 0 && set&(set-1) == 0 {
				t.Fatalf("question %d has one value and is still asked", v)
			}
		}
	})
}

func TestQuantifiers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sp := drawSpace(t, 5)
		s := sp.store()
		n, f := sp.drawFunction(t, s, "f")
		vars := sp.drawVars(t, "gone")
		// same says that two cases differ in the quantified questions only.
		same := func(c, d []uint8) bool {
			for v := range sp.sizes {
				if c[v] != d[v] && !slices.Contains(vars, diagram.Var(v)) {
					return false
				}
			}
			return true
		}
		quantified := func(start int, join func(int, int) int) function {
			return func(c []uint8) int {
				r := start
				for _, d := range sp.cases {
					if same(c, d) {
						r = join(r, f(d))
					}
				}
				return r
			}
		}
		exists, forall := s.Exists(n, vars), s.Forall(n, vars)
		sp.agree(t, "exists", s, exists, quantified(0, func(a, b int) int { return max(a, b) }))
		sp.agree(t, "forall", s, forall, quantified(1, func(a, b int) int { return min(a, b) }))
		for _, v := range append(s.Support(exists), s.Support(forall)...) {
			if slices.Contains(vars, v) {
				t.Fatalf("question %d was quantified and is still asked", v)
			}
		}
	})
}

func TestSupportIsWhatMatters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sp := drawSpace(t, 5)
		s := sp.store()
		n, f := sp.drawFunction(t, s, "f")
		matters := map[diagram.Var]bool{}
		for _, c := range sp.cases {
			for v, size := range sp.sizes {
				d := slices.Clone(c)
				for i := range size {
					if d[v] = uint8(i); f(c) != f(d) {
						matters[diagram.Var(v)] = true
					}
				}
			}
		}
		var want []diagram.Var
		for _, v := range sp.order {
			if matters[v] {
				want = append(want, v)
			}
		}
		if got := s.Support(n); !slices.Equal(got, want) {
			t.Fatalf("support is %v, and what matters, in the store's order, is %v", got, want)
		}
	})
}

func TestCountAndPick(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sp := drawSpace(t, 6)
		s := sp.store()
		n, f := sp.drawFunction(t, s, "f")
		count := int64(0)
		var first []uint8
		// ahead compares in the order of the store, and puts value 0 first.
		ahead := func(c, d []uint8) bool {
			for _, v := range sp.order {
				if c[v] != d[v] {
					return c[v] < d[v]
				}
			}
			return false
		}
		for _, c := range sp.cases {
			if holds(f, c) {
				count++
				if first == nil || ahead(c, first) {
					first = c
				}
			}
		}
		if got := s.Count(n); got.Cmp(big.NewInt(count)) != 0 {
			t.Fatalf("count is %s, not %d", got, count)
		}
		got, ok := s.Pick(n)
		if ok != (first != nil) || ok && !slices.Equal(got, first) {
			t.Fatalf("picked %v %v, and the first case is %v", got, ok, first)
		}
	})
}

func TestJoint(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sp := drawSpace(t, 5)
		s := sp.store()
		count := rapid.IntRange(0, 5).Draw(t, "count")
		nodes, fs := make([]diagram.Node, count), make([]function, count)
		for i := range count {
			nodes[i], fs[i] = sp.drawFunction(t, s, fmt.Sprint("f", i))
		}
		exists := slices.ContainsFunc(sp.cases, func(c []uint8) bool {
			return !slices.ContainsFunc(fs, func(f function) bool { return !holds(f, c) })
		})
		var near []uint8
		if rapid.Bool().Draw(t, "near a case") {
			near = rapid.SampledFrom(sp.cases).Draw(t, "near")
		}
		values, outcome := s.Joint(nodes, near, 1<<20)
		switch {
		case exists && outcome != diagram.Found || !exists && outcome != diagram.None:
			t.Fatalf("outcome %d, and a case exists: %v", outcome, exists)
		case exists:
			for i, f := range fs {
				if !holds(f, values) {
					t.Fatalf("function %d does not hold at %v, which was found", i, values)
				}
			}
			if near != nil && !slices.ContainsFunc(fs, func(f function) bool { return !holds(f, near) }) && !slices.Equal(values, near) {
				t.Fatalf("%v was found, and %v was near enough", values, near)
			}
		}
		undecided := slices.ContainsFunc(nodes, func(n diagram.Node) bool { return !diagram.IsLeaf(n) })
		if _, o := s.Joint(nodes, nil, 0); undecided && !slices.Contains(nodes, diagram.False) && o != diagram.NotSettled {
			t.Fatalf("with no steps allowed the outcome is %d", o)
		}
	})
}

func TestJointNeverLiesWhenShortOfSteps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sp := drawSpace(t, 5)
		s := sp.store()
		nodes, fs := make([]diagram.Node, 3), make([]function, 3)
		for i := range nodes {
			nodes[i], fs[i] = sp.drawFunction(t, s, fmt.Sprint("f", i))
		}
		_, full := s.Joint(nodes, nil, 1<<20)
		for budget := range 12 {
			if _, o := s.Joint(nodes, nil, budget); o != full && o != diagram.NotSettled {
				t.Fatalf("with %d steps the outcome is %d, in full it is %d", budget, o, full)
			}
		}
	})
}

func TestAtMost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sizes := make([]int, rapid.IntRange(2, 7).Draw(t, "questions"))
		all := make([]diagram.Var, len(sizes))
		for v := range sizes {
			sizes[v], all[v] = 2, diagram.Var(v)
		}
		s := diagram.New(sizes, rapid.Permutation(all).Draw(t, "order"), 0)
		vars := rapid.Permutation(all).Draw(t, "asked")[:rapid.IntRange(0, len(all)).Draw(t, "few")]
		k := rapid.IntRange(0, len(vars)+1).Draw(t, "most")
		n := s.AtMost(vars, k)
		values := make([]uint8, len(sizes))
		for bits := range 1 << len(sizes) {
			ones := 0
			for v := range values {
				values[v] = uint8(bits >> v & 1)
				if slices.Contains(vars, diagram.Var(v)) {
					ones += int(values[v])
				}
			}
			if got := s.Eval(n, values) == 1; got != (ones <= k) {
				t.Fatalf("at most %d of %v: at %v it says %v", k, vars, values, got)
			}
		}
	})
}

func TestEqualFunctionsAreTheSameNode(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sp := drawSpace(t, 5)
		s := sp.store()
		a, fa := sp.drawFunction(t, s, "a")
		b, fb := sp.drawFunction(t, s, "b")
		equal := !slices.ContainsFunc(sp.cases, func(c []uint8) bool { return fa(c) != fb(c) })
		if equal != (a == b) {
			t.Fatalf("the functions are equal: %v, the nodes are %d and %d", equal, a, b)
		}
		// Built again the long way, from its cases, a function is the node that it was.
		again := diagram.False
		for _, c := range sp.cases {
			if holds(fa, c) {
				here := diagram.True
				for v, value := range c {
					here = s.And(here, s.Literal(diagram.Var(v), 1<<value))
				}
				again = s.Or(again, here)
			}
		}
		if again != a {
			t.Fatalf("built from its cases it is node %d, not %d", again, a)
		}
		if s.Not(s.Not(a)) != a || s.Not(s.And(a, b)) != s.Or(s.Not(a), s.Not(b)) {
			t.Fatal("the laws of negation do not hold")
		}
	})
}

// fruit is the example's questions.
const (
	colour = diagram.Var(0) // red, green, blue
	size   = diagram.Var(1) // small, big
)

func Example() {
	s := diagram.New([]int{3, 2}, nil, 0)
	red, green := s.Literal(colour, 1<<0), s.Literal(colour, 1<<1)
	small := s.Literal(size, 1<<0)

	ripe := s.Or(s.And(red, small), green)
	fmt.Println(s.Eval(ripe, []uint8{0, 0}), s.Eval(ripe, []uint8{0, 1}), s.Count(ripe))

	// The same function written another way is the same node.
	again := s.And(s.Or(red, green), s.Or(small, green))
	fmt.Println(again == ripe)
	// Output:
	// 1 0 3
	// true
}

func ExampleStore_Forall() {
	s := diagram.New([]int{3, 2}, nil, 0)
	ripe := s.Or(s.And(s.Literal(colour, 1<<0), s.Literal(size, 1<<0)), s.Literal(colour, 1<<1))
	whateverSize := s.Forall(ripe, []diagram.Var{size})
	fmt.Println(whateverSize == s.Literal(colour, 1<<1))
	// Output: true
}

func ExampleStore_Joint() {
	s := diagram.New([]int{3, 2}, nil, 0)
	_, outcome := s.Joint([]diagram.Node{s.Literal(colour, 1<<0), s.Literal(colour, 1<<1)}, nil, 100)
	fmt.Println(outcome == diagram.None)
	// Output: true
}
