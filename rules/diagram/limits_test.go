package diagram_test

import (
	"errors"
	"math/big"
	"slices"
	"testing"

	"patchfirst/rules/diagram"
)

func TestStoreStopsAtItsCap(t *testing.T) {
	sizes := make([]int, 16)
	for v := range sizes {
		sizes[v] = 3
	}
	const limit = 100
	s := diagram.New(sizes, nil, limit)
	err := s.Try(func() {
		n := diagram.False
		for v := range 8 {
			n = s.Or(n, s.And(s.Literal(diagram.Var(v), 1), s.Literal(diagram.Var(v+8), 2)))
		}
	})
	var tooLarge *diagram.TooLarge
	if !errors.As(err, &tooLarge) || tooLarge.Cap != limit {
		t.Fatalf("past the cap the error is %v", err)
	}
	if s.Len() > limit {
		t.Errorf("the store has %d nodes, more than its cap of %d", s.Len(), limit)
	}
	if err := s.Try(func() {
		if got := s.Literal(0, 1); s.Eval(got, make([]uint8, len(sizes))) != 1 {
			t.Error("after giving up, the store no longer knows what it knew")
		}
	}); err != nil {
		t.Errorf("a node that exists needs no room: %v", err)
	}
}

func TestTryWithinGivesTheRoomBack(t *testing.T) {
	sizes := slices.Repeat([]int{3}, 16)
	s := diagram.New(sizes, nil, 1000)
	work := func(s *diagram.Store) func() {
		return func() {
			n := diagram.False
			for v := range 5 {
				n = s.Or(n, s.And(s.Literal(diagram.Var(v), 1), s.Literal(diagram.Var(v+8), 2)))
			}
		}
	}
	before, room := s.Len(), s.Room()
	var tooLarge *diagram.TooLarge
	if err := s.TryWithin(20, work(s)); !errors.As(err, &tooLarge) {
		t.Fatalf("20 nodes are enough: %v", err)
	}
	if made := s.Len() - before; made > 20 || s.Room() != room-made {
		t.Errorf("%d nodes were made, and there is room for %d after %d", made, s.Room(), room)
	}
	if err := s.Try(work(s)); err != nil {
		t.Errorf("the whole room is enough: %v", err)
	}
	small := diagram.New(sizes, nil, 40)
	if err := small.TryWithin(10_000, work(small)); !errors.As(err, &tooLarge) || small.Len() > 40 {
		t.Errorf("more is made than the store may hold: %d nodes, %v", small.Len(), err)
	}
}

func TestTryLetsOtherPanicsThrough(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("the panic was swallowed")
		}
	}()
	_ = diagram.New([]int{2}, nil, 0).Try(func() { panic("another reason") })
}

func TestImpossibleSizesAndLeavesPanic(t *testing.T) {
	for name, f := range map[string]func(){
		"no values":       func() { diagram.New([]int{0}, nil, 0) },
		"too many values": func() { diagram.New([]int{diagram.MaxValues + 1}, nil, 0) },
		"leaf too high":   func() { diagram.New([]int{2}, nil, 0).Leaf(diagram.MaxLeaf + 1) },
		"leaf below none": func() { diagram.New([]int{2}, nil, 0).Leaf(-1) },
	} {
		t.Run(name, func(t *testing.T) {
			defer func() {
				if recover() == nil {
					t.Error("no panic")
				}
			}()
			f()
		})
	}
}

// TestManyValues holds at the edge, where a set of values fills its word.
func TestManyValues(t *testing.T) {
	s := diagram.New([]int{diagram.MaxValues, 1, diagram.MaxValues}, nil, 0)
	if s.All(0) != ^uint64(0) || s.All(1) != 1 {
		t.Fatalf("all values: %x and %x", s.All(0), s.All(1))
	}
	if s.Literal(0, s.All(0)) != diagram.True || s.Literal(1, 1) != diagram.True || s.Literal(0, 0) != diagram.False {
		t.Error("a literal of all values is not True, or one of none not False")
	}
	n := s.And(s.Literal(0, 1<<63), s.Literal(2, 1|1<<63))
	if got := s.Count(n); got.Cmp(big.NewInt(2)) != 0 {
		t.Errorf("count is %s, not 2", got)
	}
	if box, ok := s.Widest(n, diagram.True); !ok || box[0] != 1<<63 || box[1] != 0 || box[2] != 1|1<<63 {
		t.Errorf("the widest box is %x", box)
	}
}
