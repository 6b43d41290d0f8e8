package diagram_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"patchfirst/rules/diagram"
)

func TestForceIsAPermutationAndSettled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "questions")
		groups := rapid.SliceOfN(rapid.SliceOfNDistinct(rapid.Map(rapid.IntRange(0, n-1), func(v int) diagram.Var { return diagram.Var(v) }), 1, n, rapid.ID), 0, 12).Draw(t, "groups")
		order := diagram.Force(n, groups)
		sorted := slices.Sorted(slices.Values(order))
		for v := range n {
			if len(sorted) != n || sorted[v] != diagram.Var(v) {
				t.Fatalf("%v is no order of %d questions", order, n)
			}
		}
		if again := diagram.Force(n, groups); !slices.Equal(again, order) {
			t.Fatalf("asked twice it says %v and %v", order, again)
		}
		numbered := make([]diagram.Var, n)
		for v := range numbered {
			numbered[v] = diagram.Var(v)
		}
		if spans(order, groups) > spans(numbered, groups) {
			t.Fatalf("%v pulls the groups further apart than no order at all", order)
		}
	})
}

func spans(order []diagram.Var, groups [][]diagram.Var) (sum int) {
	for _, g := range groups {
		lo, hi := len(order), 0
		for _, v := range g {
			p := slices.Index(order, v)
			lo, hi = min(lo, p), max(hi, p)
		}
		sum += hi - lo
	}
	return sum
}

func TestForcePullsNeighboursTogether(t *testing.T) {
	groups := [][]diagram.Var{{0, 5}, {1, 6}, {2, 7}, {3, 8}, {4, 9}, {0, 6}, {1, 7}}
	if got, before := spans(diagram.Force(10, groups), groups), 5+5+5+5+5+6+6; got > before/2 {
		t.Errorf("the span is %d, and was %d", got, before)
	}
}

func TestOrderDoesNotChangeTheFunction(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sp := drawSpace(t, 5)
		one, other := sp.store(), diagram.New(sp.sizes, nil, 0)
		a, b := diagram.False, diagram.False
		for range rapid.IntRange(1, 5).Draw(t, "boxes") {
			box := sp.drawBox(t, "box")
			x, y := diagram.True, diagram.True
			for v, set := range box {
				if set != 0 {
					x, y = one.And(x, one.Literal(diagram.Var(v), set)), other.And(y, other.Literal(diagram.Var(v), set))
				}
			}
			a, b = one.Or(a, x), other.Or(b, y)
		}
		for _, c := range sp.cases {
			if one.Eval(a, c) != other.Eval(b, c) {
				t.Fatalf("two orders say %d and %d at %v", one.Eval(a, c), other.Eval(b, c), c)
			}
		}
		if one.Count(a).Cmp(other.Count(b)) != 0 {
			t.Fatalf("two orders count %s and %s", one.Count(a), other.Count(b))
		}
	})
}
