package diagram

import (
	"math/rand/v2"
	"testing"
)

// A counter counts what joining and counting does, whichever way the two functions lie in the order of the questions.
func TestCounterCountsWhatJoiningDoes(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	sizes := []int{2, 3, 5, 2, 4, 2, 3, 2}
	for range 300 {
		s := New(sizes, nil, 0)
		function := func() Node {
			n := False
			for range 1 + r.IntN(3) {
				term := True
				for range 1 + r.IntN(4) {
					v := r.IntN(len(sizes))
					term = s.And(term, s.Literal(Var(v), r.Uint64()&s.All(Var(v))))
				}
				n = s.Or(n, term)
			}
			return n
		}
		inside := function()
		c := s.Counter(inside)
		if got, want := c.Total(), s.Count(inside); got.Cmp(want) != 0 {
			t.Fatalf("in all %v, not %v", got, want)
		}
		for range 5 {
			n := function()
			if got, want := c.Count(n), s.Count(s.And(inside, n)); got.Cmp(want) != 0 {
				t.Fatalf("%v, not %v", got, want)
			}
		}
	}
}

// Cases are drawn inside only, and none more often than another: the chi-squared statistic of 9 degrees of freedom
// exceeds 27.9 with a chance of 0.001 (any table of its quantiles).
func TestDrawIsEven(t *testing.T) {
	s := New([]int{2, 3, 4}, nil, 0)
	inside := s.Or(s.Literal(0, 1), s.Literal(2, 0b0011))
	inside = s.And(inside, s.Not(s.And(s.Literal(0, 1), s.Literal(1, 0b110))))
	c := s.Counter(inside)
	cases := int(c.Total().Int64())
	const draws = 20_000
	seen := map[[3]uint8]int{}
	r := rand.New(rand.NewPCG(3, 4))
	for range draws {
		v, ok := c.Draw(r)
		if !ok || s.Eval(inside, v) != int(True) {
			t.Fatalf("drew %v", v)
		}
		seen[[3]uint8(v)]++
	}
	if len(seen) != cases {
		t.Fatalf("drew %d cases of %d", len(seen), cases)
	}
	expected, chi := draws/float64(cases), 0.0
	for _, k := range seen {
		chi += (float64(k) - expected) * (float64(k) - expected) / expected
	}
	if cases != 10 || chi > 27.9 {
		t.Errorf("%d cases, chi-squared %.1f", cases, chi)
	}
}

// Counts of more than one machine word carry over.
func TestCounterOfManyQuestions(t *testing.T) {
	sizes := make([]int, 40)
	for i := range sizes {
		sizes[i] = 64
	}
	s := New(sizes, nil, 0)
	inside := s.Or(s.Literal(3, 5), s.Literal(30, 9))
	n := s.Or(s.Literal(20, 77), s.Literal(39, 1))
	if got, want := s.Counter(inside).Count(n), s.Count(s.And(inside, n)); got.Cmp(want) != 0 {
		t.Errorf("%v, not %v", got, want)
	}
}
