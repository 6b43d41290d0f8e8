package diagram

import (
	"math/bits"
	"slices"
)

// Widest returns the largest box inside a boolean function: a set of values for each question such that every case that
// takes its answers from the sets makes n True. Largest is the share of all cases counted evenly; of equal boxes the one
// that keeps more early values of early questions. Questions that the box leaves free hold the empty set. Cases outside
// the boolean function inside do not count against the box, but the box holds at least one case that is inside. Not ok:
// there is no such box.
func (s *Store) Widest(n, inside Node) (box Case, ok bool) {
	type pair struct{ n, in Node }
	type found struct {
		share float64 // 0 means there is none
		set   uint64
		next  pair
	}
	memo := map[pair]found{}
	var walk func(pair) found
	walk = func(p pair) found {
		switch {
		case p.in == False || p.n == False && p.in == True:
			return found{}
		case p.n == True:
			return found{share: 1}
		case p.n == False:
			return found{}
		}
		if f, ok := memo[p]; ok {
			return f
		}
		level := min(s.nodes[p.n].level, s.nodes[p.in].level)
		size := s.sizes[s.vars[level]]
		at := func(n Node, i int) Node {
			if s.nodes[n].level == level {
				return s.Kids(n)[i]
			}
			return n
		}
		kids := make([]Node, size)
		var meets []Node
		for i := range size {
			kids[i] = at(p.n, i)
			if !slices.Contains(meets, kids[i]) {
				meets = append(meets, kids[i])
			}
		}
		// Every best set of values belongs to a meet of some arrows: try all meets.
		const manyMeets = 200
		for i := 0; i < len(meets) && len(meets) < manyMeets; i++ {
			for j := range i {
				if m := s.And(meets[i], meets[j]); m != False && !slices.Contains(meets, m) {
					meets = append(meets, m)
				}
			}
		}
		var best found
		for _, m := range meets {
			var set uint64
			in := False
			for i := range size {
				if s.Implies(m, kids[i]) {
					set |= 1 << i
					in = s.Or(in, at(p.in, i))
				}
			}
			next := pair{m, in}
			share := walk(next).share * float64(bits.OnesCount64(set)) / float64(size)
			if share > best.share || share == best.share && share > 0 && bits.Reverse64(set) > bits.Reverse64(best.set) {
				best = found{share, set, next}
			}
		}
		memo[p] = best
		return best
	}
	box = make(Case, len(s.vars))
	p := pair{s.Or(n, s.Not(inside)), inside}
	if walk(p).share == 0 {
		return nil, false
	}
	for p.n != True {
		level := min(s.nodes[p.n].level, s.nodes[p.in].level)
		f := memo[p]
		if v := s.vars[level]; f.set != s.All(v) {
			box[v] = f.set
		}
		p = f.next
	}
	return box, true
}

// Wide returns a box as Widest does, but one to which no single value can be added rather than the largest. It begins
// with a case where those of the function lie densest. It is quick where Widest is not.
func (s *Store) Wide(n, inside Node) (box Case, ok bool) {
	n = s.And(n, inside)
	if n == False {
		return nil, false
	}
	vars := s.Support(inside)
	for _, v := range s.Support(n) {
		if !slices.Contains(vars, v) {
			vars = append(vars, v)
		}
	}
	dense := s.densest(n)
	box = make(Case, len(s.vars))
	for _, v := range vars {
		box[v] = 1 << dense[v]
	}
	outside := s.And(inside, s.Not(n))
	for _, v := range vars {
		for i := range s.sizes[v] {
			had := box[v]
			if box[v] |= 1 << i; box[v] != had && s.meets(outside, box) {
				box[v] = had
			}
		}
		if box[v] == s.All(v) {
			box[v] = 0
		}
	}
	return box, true
}

// densest returns a case in which n is True, by going at each question where the share of such cases is largest.
func (s *Store) densest(n Node) []uint8 {
	share := map[Node]float64{False: 0, True: 1}
	var walk func(Node) float64
	walk = func(n Node) float64 {
		if x, ok := share[n]; ok {
			return x
		}
		sum := 0.0
		for _, k := range s.Kids(n) {
			sum += walk(k)
		}
		share[n] = sum / float64(len(s.Kids(n)))
		return share[n]
	}
	walk(n)
	values := make([]uint8, len(s.vars))
	for !IsLeaf(n) {
		best := 0
		for i, k := range s.Kids(n) {
			if share[k] > share[s.Kids(n)[best]] {
				best = i
			}
		}
		values[s.Var(n)] = uint8(best)
		n = s.Kids(n)[best]
	}
	return values
}

// meets reports whether some case of a box makes n True.
func (s *Store) meets(n Node, box Case) bool {
	seen := map[Node]bool{False: true}
	var walk func(Node) bool
	walk = func(n Node) bool {
		if n == True {
			return true
		}
		if seen[n] {
			return false
		}
		seen[n] = true
		set := box[s.Var(n)]
		for i, k := range s.Kids(n) {
			if (set == 0 || set>>i&1 == 1) && walk(k) {
				return true
			}
		}
		return false
	}
	return walk(n)
}
