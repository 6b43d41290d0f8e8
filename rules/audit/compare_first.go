package audit

import (
	"math/big"
	"math/rand/v2"
	"slices"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// FirstChange says how the first choice changes. Only in the cases of Reach, which are counted exactly, can it change at
// all: there some method has another place. Of these cases some are drawn.
type FirstChange struct {
	Reach      *big.Int
	Drawn      Estimate // of the cases of Reach
	Share      Estimate // the same of all cases
	Moves      []Move
	NotSettled int // pairs of methods for which the search gave up
}

// Move is a change of the first choice, with a case that shows it.
type Move struct {
	From, To string
	Drawn    int // how often it was drawn; 0 if it was found by a search
	Values   []uint8
}

// Key names the change as a file of expected changes does.
func (m Move) Key() string { return "first: " + m.From + " -> " + m.To }

// Steps that all searches for changes of the first choice may take together, and one of them.
const (
	firstBudget = 200_000
	pairBudget  = 2_000
)

func (w *comparer) first() {
	before, after := w.placesOn(w.old), w.placesOn(w.new)
	reach := w.reach(before, after)
	f := &w.c.First
	if f.Reach = w.counter.Count(reach); f.Reach.Sign() == 0 {
		return
	}
	w.draw(reach, before, after)
	w.seek(reach, before, after)
	slices.SortStableFunc(f.Moves, func(a, b Move) int { return b.Drawn - a.Drawn })
}

// of turns the share of the reach into one of all cases.
func (f *FirstChange) of(cases *big.Int) {
	part := share(f.Reach, cases)
	f.Share = Estimate{Hits: f.Drawn.Hits, Drawn: f.Drawn.Drawn, Lowest: f.Drawn.Lowest * part, Most: f.Drawn.Most * part}
}

// placesOn returns the place of each method of either base on one side, by its id.
func (w *comparer) placesOn(s *rules.Space) map[string]diagram.Node {
	at := map[string]diagram.Node{}
	for _, id := range w.methods() {
		at[id] = w.st.Leaf(rules.NotOffered)
		if m := s.Base.Method(id); m != nil {
			at[id] = s.Place(m)
		}
	}
	return at
}

// reach returns the cases in which some method has another place.
func (w *comparer) reach(before, after map[string]diagram.Node) diagram.Node {
	if !w.sameOrder() {
		return w.both
	}
	reach := diagram.False
	for _, id := range w.methods() {
		if before[id] == after[id] {
			continue
		}
		for k := range rules.NotOffered + 1 {
			reach = w.st.Or(reach, w.st.And(level(w.st, before[id], k), w.st.Not(level(w.st, after[id], k))))
		}
	}
	return w.st.And(w.both, reach)
}

// sameOrder reports whether the methods that both bases have stand in the same order.
func (w *comparer) sameOrder() bool {
	last := -1
	for _, m := range w.new.Base.Methods {
		if twin := w.old.Base.Method(m.ID); twin != nil {
			if twin.Rank < last || twin.LastResort != m.LastResort {
				return false
			}
			last = twin.Rank
		}
	}
	return true
}

// firstOf returns the first choice of a base in a complete case.
func (w *comparer) firstOf(b *rules.Base, places map[string]diagram.Node, values []uint8) string {
	best, first := rules.NotOffered, ""
	for _, m := range b.Methods {
		if m.LastResort {
			if first == "" {
				first = m.ID
			}
		} else if k := w.st.Eval(places[m.ID], values); k < best {
			best, first = k, m.ID
		}
	}
	return first
}

// draw draws cases of the reach and notes how the first choice moves in them.
func (w *comparer) draw(reach diagram.Node, before, after map[string]diagram.Node) {
	const drawn = 3000
	f := &w.c.First
	counter := w.st.Counter(reach)
	at := map[string]int{}
	hits := 0
	r := rand.New(rand.NewPCG(1, 1))
	for range drawn {
		values, ok := counter.Draw(r)
		if !ok {
			return
		}
		m := Move{From: w.firstOf(w.c.Old, before, values), To: w.firstOf(w.c.New, after, values), Values: values}
		if m.From == "" || m.To == "" || m.From == m.To {
			continue
		}
		hits++
		i, ok := at[m.Key()]
		if !ok {
			i = len(f.Moves)
			at[m.Key()] = i
			f.Moves = append(f.Moves, m)
		}
		f.Moves[i].Drawn++
	}
	f.Drawn = estimate(hits, drawn)
}

// seek searches for moves that were not drawn. For a move from one method to another one of the two must have changed its
// place, and each must be first on its side. Where an edit moves so many methods that the functions for it would fill the
// memory, nothing is searched, and what was not drawn is not settled.
func (w *comparer) seek(reach diagram.Node, before, after map[string]diagram.Node) {
	const mostPairs = 200
	f := &w.c.First
	type pair struct{ from, to string }
	var open []pair
	for _, from := range w.methods() {
		for _, to := range w.methods() {
			key := Move{From: from, To: to}.Key()
			known := slices.ContainsFunc(f.Moves, func(m Move) bool { return m.Key() == key })
			moved := before[from] != after[from] || before[to] != after[to] || !w.sameOrder()
			if from != to && !known && moved {
				open = append(open, pair{from, to})
			}
		}
	}
	if len(open) > mostPairs {
		f.NotSettled = len(open)
		return
	}
	firsts := func(s *rules.Space, id string) [][]diagram.Node {
		if m := s.Base.Method(id); m != nil {
			return s.First(m, reach)
		}
		return nil
	}
	left := firstBudget
	for _, p := range open {
		values, outcome := w.between(reach, firsts(w.old, p.from), firsts(w.new, p.to), &left)
		switch outcome {
		case diagram.Found:
			f.Moves = append(f.Moves, Move{From: p.from, To: p.to, Values: values})
		case diagram.NotSettled:
			f.NotSettled++
		}
	}
}

// between looks for a case that is in one of the ways on the old side and in one of those on the new side.
func (w *comparer) between(reach diagram.Node, old, new [][]diagram.Node, left *int) ([]uint8, diagram.Outcome) {
	unsettled := false
	for _, a := range old {
		for _, b := range new {
			mine := w.st.And(a[0], b[0])
			if mine == diagram.False {
				continue
			}
			if *left <= 0 {
				return nil, diagram.NotSettled
			}
			nodes := slices.Concat([]diagram.Node{mine}, a[1:], b[1:])
			*left -= pairBudget
			values, outcome := w.st.Joint(nodes, nil, pairBudget)
			if outcome == diagram.Found {
				return values, outcome
			}
			unsettled = unsettled || outcome == diagram.NotSettled
		}
	}
	if unsettled {
		return nil, diagram.NotSettled
	}
	return nil, diagram.None
}
