package diagram

import (
	"math/big"
	"slices"
)

// Eval returns the leaf that a complete case ends at: values holds the answer to each question, by number.
func (s *Store) Eval(n Node, values []uint8) int {
	for n > MaxLeaf {
		nd := s.nodes[n]
		n = s.kids[int(nd.kids)+int(values[s.vars[nd.level]])]
	}
	return int(n)
}

// Size returns the number of inner nodes of n. It is remembered.
func (s *Store) Size(n Node) int {
	size, ok := s.measured[n]
	if !ok {
		seen := map[Node]bool{}
		s.visit(n, seen)
		size = len(seen)
		s.measured[n] = size
	}
	return size
}

// Leaves lists the leaves at which n ends in some case, in order.
func (s *Store) Leaves(n Node) (leaves []int) {
	if IsLeaf(n) {
		return []int{int(n)}
	}
	var ends [MaxLeaf + 1]bool
	s.Visit([]Node{n}, func(m Node) {
		for _, k := range s.Kids(m) {
			if IsLeaf(k) {
				ends[k] = true
			}
		}
	})
	for leaf, is := range ends {
		if is {
			leaves = append(leaves, leaf)
		}
	}
	return leaves
}

// Visit calls f once for each inner node of some functions.
func (s *Store) Visit(all []Node, f func(Node)) {
	seen := map[Node]bool{}
	for _, n := range all {
		s.visit(n, seen)
	}
	for n := range seen {
		f(n)
	}
}

func (s *Store) visit(n Node, seen map[Node]bool) {
	if IsLeaf(n) || seen[n] {
		return
	}
	seen[n] = true
	for _, k := range s.Kids(n) {
		s.visit(k, seen)
	}
}

// Support returns the questions that n depends on, in the store's order.
func (s *Store) Support(n Node) []Var {
	if IsLeaf(n) {
		return nil
	}
	seen := map[Node]bool{}
	s.visit(n, seen)
	var levels []int32
	found := make([]bool, len(s.vars))
	for m := range seen {
		if l := s.nodes[m].level; !found[l] {
			found[l] = true
			levels = append(levels, l)
		}
	}
	slices.Sort(levels)
	res := make([]Var, len(levels))
	for i, l := range levels {
		res[i] = s.vars[l]
	}
	return res
}

// Restrict returns a function that agrees with n on every case inside c, and no longer depends on a question to which c
// leaves one value.
func (s *Store) Restrict(n Node, c Case) Node {
	memo := map[Node]Node{}
	var walk func(Node) Node
	walk = func(n Node) Node {
		if IsLeaf(n) {
			return n
		}
		if r, ok := memo[n]; ok {
			return r
		}
		set := c[s.Var(n)]
		var buf [MaxValues]Node
		kids := buf[:copy(buf[:], s.Kids(n))]
		if set == 0 {
			set = s.All(s.Var(n))
		}
		first := Node(-1)
		for i := range kids {
			if set>>i&1 == 1 {
				kids[i] = walk(kids[i])
				if first < 0 {
					first = kids[i]
				}
			}
		}
		for i := range kids {
			if set>>i&1 == 0 {
				kids[i] = first
			}
		}
		r := s.make(s.nodes[n].level, kids)
		memo[n] = r
		return r
	}
	return walk(n)
}

// Exists returns the boolean function that is True where some answers to vars make n True.
func (s *Store) Exists(n Node, vars []Var) Node { return s.quantify(opOr, n, vars) }

// Forall returns the boolean function that is True where all answers to vars make n True.
func (s *Store) Forall(n Node, vars []Var) Node { return s.quantify(opAnd, n, vars) }

func (s *Store) quantify(op int32, n Node, vars []Var) Node {
	if len(vars) == 0 || IsLeaf(n) {
		return n
	}
	gone := make([]bool, len(s.vars))
	last := int32(-1)
	for _, v := range vars {
		gone[s.level[v]] = true
		last = max(last, s.level[v])
	}
	memo := map[Node]Node{}
	var walk func(Node) Node
	walk = func(n Node) Node {
		level := s.nodes[n].level
		if level > last {
			return n
		}
		if r, ok := memo[n]; ok {
			return r
		}
		var buf [MaxValues]Node
		kids := buf[:len(s.Kids(n))]
		for i := range kids {
			kids[i] = walk(s.Kids(n)[i])
		}
		var r Node
		if gone[level] {
			r = kids[0]
			for _, k := range kids[1:] {
				r = s.apply(op, r, k)
			}
		} else {
			r = s.make(level, kids)
		}
		memo[n] = r
		return r
	}
	return walk(n)
}

// Ranges returns for each question the answers with which the boolean n is True in some case; the empty set stands for
// all of them.
func (s *Store) Ranges(n Node) Case {
	c := make(Case, len(s.vars))
	skipped := make([]bool, len(s.vars)) // by level: some way to True does not ask it
	skip := func(from, to int32) {
		for l := from; l < to; l++ {
			skipped[l] = true
		}
	}
	skip(0, s.nodes[n].level)
	s.Visit([]Node{n}, func(m Node) {
		for i, k := range s.Kids(m) {
			if k != False {
				c[s.Var(m)] |= 1 << i
				skip(s.nodes[m].level+1, s.nodes[k].level)
			}
		}
	})
	for v := range c {
		if skipped[s.level[v]] || c[v] == s.All(Var(v)) {
			c[v] = 0
		}
	}
	return c
}

// Count returns the number of complete cases in which the boolean n is True.
func (s *Store) Count(n Node) *big.Int {
	// between[i] is the number of answers to the questions of level i and below, so a skipped stretch is a quotient.
	below := make([]*big.Int, len(s.vars)+1)
	below[len(s.vars)] = big.NewInt(1)
	for l := len(s.vars) - 1; l >= 0; l-- {
		below[l] = new(big.Int).Mul(below[l+1], big.NewInt(int64(s.sizes[s.vars[l]])))
	}
	type stretch struct{ from, to int32 }
	quotients := map[stretch]*big.Int{}
	skipped := func(from, to int32) *big.Int {
		q, ok := quotients[stretch{from, to}]
		if !ok {
			q = new(big.Int).Quo(below[from], below[to])
			quotients[stretch{from, to}] = q
		}
		return q
	}
	memo := map[Node]*big.Int{False: big.NewInt(0), True: big.NewInt(1)}
	var walk func(Node) *big.Int
	walk = func(n Node) *big.Int {
		if r, ok := memo[n]; ok {
			return r
		}
		sum := new(big.Int)
		level := s.nodes[n].level
		counted := map[Node]int64{}
		for _, k := range s.Kids(n) {
			counted[k]++
		}
		for k, times := range counted {
			t := new(big.Int).Mul(walk(k), skipped(level+1, s.nodes[k].level))
			sum.Add(sum, t.Mul(t, big.NewInt(times)))
		}
		memo[n] = sum
		return sum
	}
	return new(big.Int).Mul(walk(n), skipped(0, s.nodes[n].level))
}

// Pick returns a complete case in which the boolean n is True: the one with the smallest values, first question first.
// Questions that do not matter get value 0.
func (s *Store) Pick(n Node) (values []uint8, ok bool) {
	if n == False {
		return nil, false
	}
	values = make([]uint8, len(s.vars))
	for !IsLeaf(n) {
		for i, k := range s.Kids(n) {
			if k != False {
				values[s.Var(n)] = uint8(i)
				n = k
				break
			}
		}
	}
	return values, true
}

// Force returns an order of n questions in which those that meet in the same group stand near each other: the FORCE
// heuristic (Aloul, Markov, Sakallah 2003). Each round puts every group at the mean place of its questions and every
// question at the mean place of its groups, and keeps the order if the total span of the groups shrinks. It is
// deterministic.
func Force(n int, groups [][]Var) []Var {
	order := make([]Var, n)
	place := make([]float64, n)
	for v := range order {
		order[v] = Var(v)
		place[v] = float64(v)
	}
	span := func() (sum float64) {
		for _, g := range groups {
			lo, hi := float64(n), 0.0
			for _, v := range g {
				lo, hi = min(lo, place[v]), max(hi, place[v])
			}
			sum += max(0, hi-lo)
		}
		return sum
	}
	best, bestSpan := slices.Clone(order), span()
	for idle := 0; idle < 5; {
		pull, count := make([]float64, n), make([]float64, n)
		for _, g := range groups {
			mean := 0.0
			for _, v := range g {
				mean += place[v] / float64(len(g))
			}
			for _, v := range g {
				pull[v] += mean
				count[v]++
			}
		}
		for v := range pull {
			if count[v] == 0 {
				pull[v], count[v] = place[v], 1
			}
			pull[v] /= count[v]
		}
		slices.SortStableFunc(order, func(a, b Var) int {
			switch {
			case pull[a] < pull[b]:
				return -1
			case pull[a] > pull[b]:
				return 1
			}
			return int(a - b)
		})
		for l, v := range order {
			place[v] = float64(l)
		}
		if now := span(); now < bestSpan {
			best, bestSpan, idle = slices.Clone(order), now, 0
		} else {
			idle++
		}
	}
	return best
}

// AtMost returns the boolean function that is True where at most k of the two-valued questions vars have value 1.
func (s *Store) AtMost(vars []Var, k int) Node {
	ordered := slices.Clone(vars)
	slices.SortFunc(ordered, func(a, b Var) int { return int(s.level[a] - s.level[b]) })
	// left[j] is the function of the questions still to come when j more of them may have value 1.
	left := make([]Node, k+1)
	for j := range left {
		left[j] = True
	}
	for i := len(ordered) - 1; i >= 0; i-- {
		for j := k; j >= 0; j-- {
			one := False
			if j > 0 {
				one = left[j-1]
			}
			left[j] = s.make(s.level[ordered[i]], []Node{left[j], one})
		}
	}
	return left[k]
}
