package diagram

import "math/big"

// Count returns the number of cases inside in which the boolean n is True.
func (c *Counter) Count(n Node) *big.Int { return c.Leaves(n, 1)[1] }

// Leaves returns how many cases inside end at each leaf of n from 1 to most, by leaf. Entry 0 is nil.
func (c *Counter) Leaves(n Node, most int) []*big.Int {
	counts := make([]*big.Int, most+1)
	for k := 1; k <= most; k++ {
		counts[k] = new(big.Int)
	}
	if IsLeaf(n) {
		if n > False && int(n) <= most {
			counts[n] = c.Total()
		}
		return counts
	}
	s := c.s
	c.memo.clear()
	rows := c.rows[:0]
	term := make([]uint64, c.words)
	width := c.words * most
	row := func(i int32, leaf int) []uint64 {
		from := int(i) + (leaf-1)*c.words
		return rows[from : from+c.words]
	}
	// walk returns where in rows the ways from a pair of nodes stand, counted from the upper of the two on.
	var walk func(in, n Node) int32
	walk = func(in, n Node) int32 {
		pair := uint64(in)<<32 | uint64(n)
		if i := c.memo.slot(pair); c.memo.keys[i] == pair {
			return c.memo.at[i]
		}
		di, dn := s.nodes[in], s.nodes[n]
		level := min(di.level, dn.level)
		i := int32(len(rows))
		for range width {
			rows = append(rows, 0)
		}
		for k := range int32(c.sizes[level]) {
			nextIn, next := in, n
			if di.level == level {
				nextIn = s.kids[di.kids+k]
			}
			if dn.level == level {
				next = s.kids[dn.kids+k]
			}
			switch {
			case nextIn == False || next == False:
			case IsLeaf(next):
				c.set(term, nextIn, level+1)
				add(row(i, int(next)), term)
			default:
				j := walk(nextIn, next)
				for leaf := 1; leaf <= most; leaf++ {
					copy(term, row(j, leaf))
					c.skip(term, level+1, min(s.nodes[nextIn].level, s.nodes[next].level))
					add(row(i, leaf), term)
				}
			}
		}
		c.memo.put(pair, i)
		return i
	}
	product := new(big.Int)
	for _, x := range c.cut(s.nodes[n].level) {
		i := walk(x.n, n)
		for leaf := 1; leaf <= most; leaf++ {
			counts[leaf].Add(counts[leaf], product.Mul(c.number(row(i, leaf)), c.number(x.ways)))
		}
	}
	c.rows = rows
	return counts
}

// Ranges returns for each question the answers that some case inside has in which n is no zero; the empty set stands for
// all of them.
func (c *Counter) Ranges(n Node) Case {
	const dead, alive = 1, 2
	s := c.s
	sets := make(Case, len(s.vars))
	skipped := make([]bool, len(s.vars)) // by level: some way does not ask it
	skip := func(from, to int32) {
		for l := from; l < to; l++ {
			skipped[l] = true
		}
	}
	c.memo.clear()
	var walk func(in, n Node) bool
	walk = func(in, n Node) bool {
		if in == False || n == False {
			return false
		}
		if in == True && IsLeaf(n) {
			return true
		}
		if IsLeaf(n) {
			n = True
		}
		pair := uint64(in)<<32 | uint64(n)
		if i := c.memo.slot(pair); c.memo.keys[i] == pair {
			return c.memo.at[i] == alive
		}
		di, dn := s.nodes[in], s.nodes[n]
		level := min(di.level, dn.level)
		state := int32(dead)
		for k := range int32(c.sizes[level]) {
			nextIn, next := in, n
			if di.level == level {
				nextIn = s.kids[di.kids+k]
			}
			if dn.level == level {
				next = s.kids[dn.kids+k]
			}
			if walk(nextIn, next) {
				state = alive
				sets[s.vars[level]] |= 1 << k
				skip(level+1, min(s.nodes[nextIn].level, s.nodes[next].level))
			}
		}
		c.memo.put(pair, state)
		return state == alive
	}
	if walk(c.inside, n) {
		skip(0, min(s.nodes[c.inside].level, s.nodes[n].level))
	}
	for v := range sets {
		if skipped[s.level[v]] || sets[v] == s.All(Var(v)) {
			sets[v] = 0
		}
	}
	return sets
}
