package audit

import (
	"maps"
	"math/big"
	"math/rand/v2"
	"slices"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// FirstChange says how the first choice changes. Only in the cases of Reach, which are counted exactly, can it change at
// all: there some method has another place, or two that have changed order stand in one. Of these cases some are drawn.
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

func (w *comparer) first() {
	before, after := w.placesOn(w.old), w.placesOn(w.new)
	moved := w.moved(before, after)
	ties := map[exchange]diagram.Node{}
	for _, s := range w.swapped() {
		ties[s] = w.st.Combine(tie, before[s.a], before[s.b])
	}
	reach := slices.AppendSeq(slices.Collect(maps.Values(moved)), maps.Values(ties))
	cases := w.st.And(w.both, w.st.OrAll(reach))
	f := &w.c.First
	if f.Reach = w.counter.Count(cases); f.Reach.Sign() == 0 {
		return
	}
	w.draw(cases, before, after)
	w.seek(moved, ties)
	slices.SortStableFunc(f.Moves, func(a, b Move) int { return b.Drawn - a.Drawn })
}

// of turns the share of the reach into one of all cases.
func (f *FirstChange) of(cases *big.Int) {
	if f.Reach == nil {
		return // not settled
	}
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

// unlike is the table "the leaves are not the same".
var unlike = diagram.NewTable(func(a, b int) int {
	if a == b {
		return int(diagram.False)
	}
	return int(diagram.True)
})

// tie is the table "both are offered, in the same place".
var tie = diagram.NewTable(func(a, b int) int {
	if a == b && a < rules.NotOffered {
		return int(diagram.True)
	}
	return int(diagram.False)
})

// moved returns for each method the cases in which it has another place. A last resort has none, so it moves in all.
func (w *comparer) moved(before, after map[string]diagram.Node) map[string]diagram.Node {
	moved := map[string]diagram.Node{}
	for _, id := range w.methods() {
		m, twin := w.c.New.Method(id), w.c.Old.Method(id)
		moved[id] = diagram.True
		if m == nil || twin == nil || m.LastResort == twin.LastResort {
			moved[id] = w.st.Combine(unlike, before[id], after[id])
		}
	}
	return moved
}

// exchange is two methods of which the second now stands before the first.
type exchange struct{ a, b string }

// swapped lists the methods that have changed order, the one that was before the other first.
func (w *comparer) swapped() (all []exchange) {
	for _, m := range w.c.New.Methods {
		for _, n := range w.c.New.Methods {
			a, b := w.c.Old.Method(m.ID), w.c.Old.Method(n.ID)
			if a != nil && b != nil && a.Rank < b.Rank && n.Rank < m.Rank {
				all = append(all, exchange{m.ID, n.ID})
			}
		}
	}
	return all
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

// seek searches for moves that were not drawn. For a move from one method to another one of the two must have another
// place, or they have changed order and stand in one place; and each must be first on its side. All pairs are tried with
// few nodes, and then those that are left with more.
func (w *comparer) seek(moved map[string]diagram.Node, ties map[exchange]diagram.Node) {
	type pair struct {
		from, to string
		where    diagram.Node
	}
	var open []pair
	f := &w.c.First
	for _, from := range w.methods() {
		for _, to := range w.methods() {
			key := Move{From: from, To: to}.Key()
			known := slices.ContainsFunc(f.Moves, func(m Move) bool { return m.Key() == key })
			if p := (pair{from, to, w.st.OrAll([]diagram.Node{moved[from], moved[to], ties[exchange{from, to}]})}); from != to && !known && p.where != diagram.False {
				open = append(open, p)
			}
		}
	}
	old, next := w.firsts(w.old), w.firsts(w.new)
	for _, nodes := range []int{2_000, 10_000, 50_000} {
		open = slices.DeleteFunc(open, func(p pair) bool {
			values, outcome := w.between(p.where, old[p.from], next[p.to], nodes)
			if outcome == diagram.Found {
				f.Moves = append(f.Moves, Move{From: p.from, To: p.to, Values: values})
			}
			return outcome != diagram.NotSettled
		})
	}
	f.NotSettled = len(open)
}

// firsts returns the ways in which each method can be first on one side, by its id; see rules.Space.First. Ways that are
// easily seen to hold in no case are left out.
func (w *comparer) firsts(s *rules.Space) map[string][][]diagram.Node {
	const nodes = 10_000
	inside := s.Inside(w.box)
	all := map[string][][]diagram.Node{}
	for _, m := range s.Base.Methods {
		all[m.ID] = slices.DeleteFunc(s.First(m, inside), func(way []diagram.Node) bool {
			outcome := diagram.NotSettled
			err := w.within(nodes, func() { _, outcome = w.meet(way) })
			return err == nil && outcome == diagram.None
		})
	}
	return all
}

// within runs f, which may make so many nodes, and fewer if too few would be left for others.
func (w *comparer) within(nodes int, f func()) error {
	const others = 300_000
	return w.st.TryWithin(max(0, min(nodes, w.st.Room()-others)), f)
}

// between looks for a case of some that is in one of the ways on the old side and in one of those on the new side. Where
// the nodes do not do it walks.
func (w *comparer) between(where diagram.Node, old, new [][]diagram.Node, nodes int) (values []uint8, outcome diagram.Outcome) {
	for _, a := range old {
		for _, b := range new {
			var found []uint8
			one := diagram.NotSettled
			err := w.within(nodes, func() {
				mine := w.st.AndAll([]diagram.Node{where, a[0], b[0]})
				found, one = w.meet(slices.Concat([]diagram.Node{mine}, a[1:], b[1:]))
			})
			switch {
			case err != nil:
				outcome = diagram.NotSettled
			case one == diagram.Found:
				return found, one
			case one == diagram.NotSettled:
				outcome = one
			}
		}
	}
	return nil, outcome
}

// meet looks for a case that can occur by both in which all functions hold.
func (w *comparer) meet(all []diagram.Node) ([]uint8, diagram.Outcome) {
	const steps = 2_000
	values, outcome, left := meet(w.st, slices.Concat(all, w.new.Truths()), w.old.Find)
	if left != nil {
		return w.st.Joint(append(left, w.old.Truths()...), nil, steps)
	}
	return values, outcome
}
