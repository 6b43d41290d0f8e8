package diagram

import (
	"math/big"
	"math/bits"
	"math/rand/v2"
	"slices"
)

// Counter counts the cases of many functions inside one and the same function, such as "this case can occur". It never
// joins the two: it walks them side by side, and only between the first and the last question of the counted function.
// What lies above was counted once for each question, what lies below once for all. Counts are exact: each is a row of
// machine words, as many as the number of all cases needs.
//
//	inside:   o           above:  ways to come to each node of the cut
//	         / \
//	-------o---o-------   first question of n
//	      / \ / \         here inside and n are walked side by side
//	-----o---o---o-----   last question of n
//	      \  |  /         below:  ways to go on to True, known for each node
//	        True
//
// A Counter only reads its store; it is itself not safe for use by several goroutines at once.
type Counter struct {
	s      *Store
	inside Node
	words  int
	sizes  []uint64             // by level
	order  []Node               // the inner nodes of inside, by level
	place  []int32              // by node
	below  []uint64             // words each, in that order
	above  map[int32][]crossing // by level of the cut
	total  *big.Int
	memo   memo     // of the count in hand
	rows   []uint64 // what memo points into
}

// crossing is a node at or below a cut, and in how many ways it is come to from above.
type crossing struct {
	n    Node
	ways []uint64
}

// Counter returns a counter of the cases inside a boolean function.
func (s *Store) Counter(inside Node) *Counter {
	c := &Counter{s: s, inside: inside, place: make([]int32, len(s.nodes)), above: map[int32][]crossing{}}
	all := big.NewInt(1)
	for _, v := range s.vars {
		c.sizes = append(c.sizes, uint64(s.sizes[v]))
		all.Mul(all, big.NewInt(int64(s.sizes[v])))
	}
	c.words = all.BitLen()/64 + 1
	seen := map[Node]bool{}
	s.visit(inside, seen)
	for n := range seen {
		c.order = append(c.order, n)
	}
	slices.SortFunc(c.order, func(a, b Node) int {
		if d := s.nodes[a].level - s.nodes[b].level; d != 0 {
			return int(d)
		}
		return int(a - b)
	})
	for i, n := range c.order {
		c.place[n] = int32(i)
	}
	c.below = make([]uint64, len(c.order)*c.words)
	term := make([]uint64, c.words)
	for i := len(c.order) - 1; i >= 0; i-- {
		level := s.nodes[c.order[i]].level
		for _, k := range s.Kids(c.order[i]) {
			if k != False {
				c.set(term, k, level+1)
				add(c.row(i), term)
			}
		}
	}
	sum := make([]uint64, c.words)
	c.set(sum, inside, 0)
	c.total = c.number(sum)
	return c
}

// Total returns the number of cases inside.
func (c *Counter) Total() *big.Int { return new(big.Int).Set(c.total) }

func (c *Counter) row(i int) []uint64 { return c.below[i*c.words : (i+1)*c.words] }

// set puts into sum the number of ways to go on from a node to True, with all the questions from a level on.
func (c *Counter) set(sum []uint64, n Node, from int32) {
	clear(sum)
	switch n {
	case False:
		return
	case True:
		sum[0] = 1
	default:
		copy(sum, c.row(int(c.place[n])))
	}
	c.skip(sum, from, c.s.nodes[n].level)
}

// skip multiplies by the number of answers to the questions of some levels.
func (c *Counter) skip(sum []uint64, from, to int32) {
	factor := uint64(1)
	for l := from; l < to; l++ {
		if factor *= c.sizes[l]; factor >= 1<<32 {
			multiply(sum, factor)
			factor = 1
		}
	}
	if factor > 1 {
		multiply(sum, factor)
	}
}

func multiply(sum []uint64, factor uint64) {
	carry := uint64(0)
	for i, w := range sum {
		hi, lo := bits.Mul64(w, factor)
		var over uint64
		sum[i], over = bits.Add64(lo, carry, 0)
		carry = hi + over
	}
}

func add(sum, term []uint64) {
	carry := uint64(0)
	for i := range sum {
		sum[i], carry = bits.Add64(sum[i], term[i], carry)
	}
}

func (c *Counter) number(words []uint64) *big.Int {
	n, word := new(big.Int), new(big.Int)
	for i := len(words) - 1; i >= 0; i-- {
		n.Lsh(n, 64)
		n.Or(n, word.SetUint64(words[i]))
	}
	return n
}

// cut lists the nodes that are come to from above a level.
func (c *Counter) cut(level int32) []crossing {
	if list, ok := c.above[level]; ok {
		return list
	}
	s := c.s
	ways := make([]uint64, (len(c.order)+1)*c.words) // the last row is of True
	row := func(n Node) []uint64 {
		i := len(c.order)
		if n != True {
			i = int(c.place[n])
		}
		return ways[i*c.words : (i+1)*c.words]
	}
	term := make([]uint64, c.words)
	reach := func(n Node, by []uint64, from int32) {
		if n != False {
			copy(term, by)
			// A node below the cut stands for every answer to the questions before the cut that it skips.
			c.skip(term, from, min(level, s.nodes[n].level))
			add(row(n), term)
		}
	}
	one := make([]uint64, c.words)
	one[0] = 1
	reach(c.inside, one, 0)
	for _, n := range c.order {
		nd := s.nodes[n]
		if nd.level >= level {
			break
		}
		for _, k := range s.Kids(n) {
			reach(k, row(n), nd.level+1)
		}
	}
	var list []crossing
	for _, n := range append(c.order, True) {
		if w := row(n); s.nodes[n].level >= level && slices.ContainsFunc(w, func(w uint64) bool { return w != 0 }) {
			list = append(list, crossing{n, slices.Clone(w)})
		}
	}
	c.above[level] = list
	return list
}

// memo remembers where the ways from a pair of nodes stand: a hash table that is cheap to empty.
type memo struct {
	keys  []uint64
	at    []int32
	count int
}

func (m *memo) clear() {
	if m.keys == nil {
		m.keys, m.at = make([]uint64, 1<<12), make([]int32, 1<<12)
	}
	clear(m.keys)
	m.count = 0
}

// slot returns where a key stands or belongs. No key is 0, since no pair is of two leaves.
func (m *memo) slot(key uint64) int {
	h := key * 0x9E3779B97F4A7C15
	mask := len(m.keys) - 1
	i := int(h>>20) & mask
	for m.keys[i] != 0 && m.keys[i] != key {
		i = (i + 1) & mask
	}
	return i
}

func (m *memo) put(key uint64, at int32) {
	if m.count++; m.count*2 > len(m.keys) {
		keys, ats := m.keys, m.at
		m.keys, m.at = make([]uint64, 2*len(keys)), make([]int32, 2*len(keys))
		for i, k := range keys {
			if k != 0 {
				j := m.slot(k)
				m.keys[j], m.at[j] = k, ats[i]
			}
		}
	}
	i := m.slot(key)
	m.keys[i], m.at[i] = key, at
}

// Draw returns a case inside, each with the same chance.
func (c *Counter) Draw(r *rand.Rand) (values []uint8, ok bool) {
	if c.total.Sign() == 0 {
		return nil, false
	}
	s := c.s
	values = make([]uint8, len(s.vars))
	n, term := c.inside, make([]uint64, c.words)
	for level := int32(0); level < int32(len(s.vars)); level++ {
		v := s.vars[level]
		if s.nodes[n].level > level {
			values[v] = uint8(r.IntN(s.sizes[v]))
			continue
		}
		c.set(term, n, level)
		left := below(c.number(term), r)
		for i, k := range s.Kids(n) {
			c.set(term, k, level+1)
			ways := c.number(term)
			if left.Cmp(ways) < 0 {
				values[v], n = uint8(i), k
				break
			}
			left.Sub(left, ways)
		}
	}
	return values, true
}

// below returns a random number from 0 up to n, without n.
func below(n *big.Int, r *rand.Rand) *big.Int {
	words := (n.BitLen() + 63) / 64
	top := uint(words*64 - n.BitLen())
	for {
		x, word := new(big.Int), new(big.Int)
		for range words {
			x.Lsh(x, 64)
			x.Or(x, word.SetUint64(r.Uint64()))
		}
		if x.Rsh(x, top); x.Cmp(n) < 0 {
			return x
		}
	}
}
