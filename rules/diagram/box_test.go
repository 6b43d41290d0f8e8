package diagram_test

import (
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"patchfirst/rules/diagram"
)

// checkBox checks what Widest promises: every case of the box that is inside is in the function, and some case is.
func checkBox(t *rapid.T, sp *space, box diagram.Case, f, in function) {
	t.Helper()
	meets := false
	for _, c := range sp.cases {
		if !within(box, c) || !holds(in, c) {
			continue
		}
		meets = true
		if !holds(f, c) {
			t.Fatalf("the box %v holds %v, which is inside and not in the function", box, c)
		}
	}
	if !meets {
		t.Fatalf("the box %v holds no case that is inside", box)
	}
}

func share(sizes []int, box diagram.Case) float64 {
	r := 1.0
	for v, set := range box {
		if set == 0 {
			continue
		}
		n := 0
		for i := range sizes[v] {
			n += int(set >> i & 1)
		}
		r *= float64(n) / float64(sizes[v])
	}
	return r
}

// widestByTrial is the largest share of any box that Widest may return, by trying all boxes.
func (sp *space) widestByTrial(f, in function) float64 {
	best := 0.0
	box := make(diagram.Case, len(sp.sizes))
	var try func(v int, left [][]uint8)
	try = func(v int, left [][]uint8) {
		if !slices.ContainsFunc(left, func(c []uint8) bool { return holds(in, c) }) {
			return
		}
		if v == len(sp.sizes) {
			if !slices.ContainsFunc(left, func(c []uint8) bool { return holds(in, c) && !holds(f, c) }) {
				best = max(best, share(sp.sizes, box))
			}
			return
		}
		for set := uint64(1); set < 1<<sp.sizes[v]; set++ {
			box[v] = set
			var kept [][]uint8
			for _, c := range left {
				if set>>c[v]&1 == 1 {
					kept = append(kept, c)
				}
			}
			try(v+1, kept)
		}
		box[v] = 0
	}
	try(0, sp.cases)
	return best
}

func TestWidestIsTheLargestBox(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sp := drawSpace(t, 4)
		s := sp.store()
		n, f := sp.drawFunction(t, s, "f")
		inside, in := sp.drawFunction(t, s, "inside")
		box, ok := s.Widest(n, inside)
		best := sp.widestByTrial(f, in)
		if !ok {
			if best > 0 {
				t.Fatalf("no box was found, and one of share %g exists", best)
			}
			return
		}
		checkBox(t, sp, box, f, in)
		const rounding = 1e-9
		if got := share(sp.sizes, box); got < best-rounding {
			t.Fatalf("the box %v has share %g, and the largest is %g", box, got, best)
		}
		if again, _ := s.Widest(n, inside); !slices.Equal(again, box) {
			t.Fatalf("asked twice it says %v and %v", box, again)
		}
	})
}

func TestWidestBoxIsSoundInLargerSpaces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sp := drawSpace(t, 6)
		s := sp.store()
		n, f := sp.drawFunction(t, s, "f")
		inside, in := sp.drawFunction(t, s, "inside")
		box, ok := s.Widest(n, inside)
		exists := slices.ContainsFunc(sp.cases, func(c []uint8) bool { return holds(in, c) && holds(f, c) })
		if ok != exists {
			t.Fatalf("a box was found: %v, a single case that would do exists: %v", ok, exists)
		}
		if ok {
			checkBox(t, sp, box, f, in)
		}
	})
}

// A box may hold what lies outside, also where a value lies outside only together with another.
func TestWidestPassesOverWhatLiesOutside(t *testing.T) {
	s := diagram.New([]int{2, 2}, nil, 0)
	n := s.And(s.Literal(0, 1<<0), s.Literal(1, 1<<1))
	outside := s.And(s.Literal(0, 1<<1), s.Literal(1, 1<<1))
	if box, ok := s.Widest(n, s.Not(outside)); !ok || box[0] != 0 || box[1] != 1<<1 {
		t.Errorf("the box is %b, and the second question alone is enough", box)
	}
}

func ExampleStore_Widest() {
	s := diagram.New([]int{3, 2}, nil, 0)
	ripe := s.Or(s.And(s.Literal(colour, 1<<0), s.Literal(size, 1<<0)), s.Literal(colour, 1<<1))
	box, _ := s.Widest(ripe, diagram.True)
	fmt.Printf("colour %03b, size %02b\n", box[colour], box[size])
	// Output: colour 011, size 01
}

func TestWideIsABoxThatNoValueWidens(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sp := drawSpace(t, 4)
		s := sp.store()
		n, f := sp.drawFunction(t, s, "f")
		inside, in := sp.drawFunction(t, s, "inside")
		box, ok := s.Wide(n, inside)
		if exists := s.And(n, inside) != diagram.False; ok != exists {
			t.Fatalf("a box is found: %v, and one exists: %v", ok, exists)
		}
		if !ok {
			return
		}
		checkBox(t, sp, box, f, in)
		for v, set := range box {
			for i := range sp.sizes[v] {
				if set == 0 || set>>i&1 == 1 {
					continue
				}
				wider := slices.Clone(box)
				wider[v] |= 1 << i
				if !slices.ContainsFunc(sp.cases, func(c []uint8) bool { return within(wider, c) && holds(in, c) && !holds(f, c) }) {
					t.Fatalf("the box %v could hold value %d of question %d too", box, i, v)
				}
			}
		}
		if again, _ := s.Wide(n, inside); !slices.Equal(again, box) {
			t.Fatalf("asked twice it says %v and %v", box, again)
		}
	})
}
