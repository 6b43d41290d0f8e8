// Package diagram holds multi-valued decision diagrams: one shared graph for many functions over the same questions.
//
// # The idea
//
// A function of the questions is drawn as a graph. Each inner node asks one question and has one arrow for each of its
// values; each leaf is a small number. To evaluate, start at the root and follow the answers:
//
//	           colour?
//	    red  /   |    \  blue
//	        /  green   \
//	    size?    |      |
//	small/ \big  |      |
//	    1    0   1      0        "red and small, or green"
//
// Two rules make the graph canonical (Bryant 1986, here with many values a question): on every path the questions come in
// one fixed order, and no two nodes are alike: a node whose arrows all go to the same place is that place, and a node
// made twice is the same node (hash-consing). So two functions are equal exactly when their nodes are the same number,
// and a question that a function does not depend on never appears in it.
//
// # The operations
//
// And, Or, Max and Combine walk two graphs side by side, remembering pairs that were met (at most |a| x |b| of them). Restrict,
// Exists and Forall walk one graph. Counting multiplies, over the skipped levels, the number of values. All of these are
// polynomial in the size of the graphs; what can grow is the graph itself, and that depends on the order of the
// questions: Force finds a good one by pulling together the questions that meet in the same rule.
//
// Functions with more than two outcomes are the same graphs with leaves 0, 1, 2, ...; Max joins them, so the strongest
// of many rules is one Max after another.
//
// # Limits
//
// A store never grows past its cap of nodes: an operation that would pass it panics with *TooLarge, which Try turns into
// an error. A store is not safe for use by several goroutines at once, except Eval, which only reads.
package diagram

import (
	"fmt"
	"slices"
)

// Var names a question, by its place in the sizes given to New.
type Var int

// Node names a function in a Store. The leaves are the nodes 0 to MaxLeaf; False is leaf 0 and True leaf 1.
type Node int32

// The two boolean leaves, and the highest leaf that a function may have.
const (
	False   Node = 0
	True    Node = 1
	MaxLeaf      = 15
)

// MaxValues is the largest number of values that a question may have: a set of values is one machine word.
const MaxValues = 64

// DefaultCap is the number of nodes at which a store stops growing unless New is told otherwise.
const DefaultCap = 8_000_000

// TooLarge says that an operation would have made more nodes than the store's cap allows.
type TooLarge struct{ Cap int }

func (e *TooLarge) Error() string {
	return fmt.Sprintf("the decision diagrams grew past %d nodes; allow more, or split the rules that join many questions", e.Cap)
}

// Case is a partial case: for each question the set of values (bit i: value i) that are still possible. The empty set
// stands for "all".
type Case []uint64

// Store holds diagrams over one list of questions.
type Store struct {
	sizes []int // values of each question
	level []int32
	vars  []Var // question of each level
	nodes []node
	kids  []Node
	table []Node // open addressing; 0 is free, since leaf 0 is never in it
	cache []cached
	cap   int

	supports map[Node]Set
	measured map[Node]int // sizes
	tables   []*Table
}

type node struct {
	level int32
	kids  int32 // where its arrows start in Store.kids
}

type cached struct {
	op        int32
	a, b, res Node
}

const (
	opNone int32 = iota
	opAnd
	opOr
	opMax
	opNot
	opScale = 100 // opScale+k, opAtLeast+k and opIs+k take the leaf k
	opAt    = 200
	opIs    = 300
	opTable = 400 // and the place of the table
)

// New returns an empty store over questions with the given numbers of values (1 to MaxValues each), asked in the given
// order (a permutation of the questions; nil asks them as numbered). A cap of 0 is DefaultCap.
func New(sizes []int, order []Var, cap int) *Store {
	if cap == 0 {
		cap = DefaultCap
	}
	s := &Store{sizes: slices.Clone(sizes), level: make([]int32, len(sizes)), cap: cap, supports: map[Node]Set{}, measured: map[Node]int{}}
	for _, n := range sizes {
		if n < 1 || n > MaxValues {
			panic(fmt.Sprintf("diagram: a question with %d values", n))
		}
	}
	if order == nil {
		for v := range sizes {
			order = append(order, Var(v))
		}
	}
	s.vars = slices.Clone(order)
	for l, v := range order {
		s.level[v] = int32(l)
	}
	for range MaxLeaf + 1 {
		s.nodes = append(s.nodes, node{level: int32(len(sizes))})
	}
	s.table = make([]Node, 1<<10)
	s.cache = make([]cached, 1<<10)
	return s
}

// Try runs f and returns the *TooLarge with which an operation gave up, if one did.
func (s *Store) Try(f func()) (err error) {
	defer func() {
		if r := recover(); r != nil {
			tooLarge, ok := r.(*TooLarge)
			if !ok {
				panic(r)
			}
			err = tooLarge
		}
	}()
	f()
	return nil
}

// TryWithin is Try for work that may make only so many nodes.
func (s *Store) TryWithin(nodes int, f func()) error {
	defer func(cap int) { s.cap = cap }(s.cap)
	s.cap = min(s.cap, len(s.nodes)+nodes)
	return s.Try(f)
}

// Leaf returns the function that is k everywhere.
func (s *Store) Leaf(k int) Node {
	if k < 0 || k > MaxLeaf {
		panic(fmt.Sprintf("diagram: no leaf %d", k))
	}
	return Node(k)
}

// IsLeaf reports whether n is the same everywhere.
func IsLeaf(n Node) bool { return n <= MaxLeaf }

// Len returns the number of nodes made so far, leaves included.
func (s *Store) Len() int { return len(s.nodes) }

// Room returns how many nodes the store may still make.
func (s *Store) Room() int { return s.cap - len(s.nodes) }

// Vars returns the number of questions.
func (s *Store) Vars() int { return len(s.sizes) }

// Values returns the number of values of v.
func (s *Store) Values(v Var) int { return s.sizes[v] }

// Var returns the question that the inner node n asks.
func (s *Store) Var(n Node) Var { return s.vars[s.nodes[n].level] }

// Kids returns the arrows of the inner node n, one a value. They must not be changed.
func (s *Store) Kids(n Node) []Node {
	nd := s.nodes[n]
	return s.kids[nd.kids : int(nd.kids)+s.sizes[s.vars[nd.level]]]
}

// All returns the set of all values of v.
func (s *Store) All(v Var) uint64 {
	return ^uint64(0) >> (MaxValues - s.sizes[v])
}

// Literal returns the function that is True where the answer to v is in set.
func (s *Store) Literal(v Var, set uint64) Node {
	kids := make([]Node, s.sizes[v])
	for i := range kids {
		if set>>i&1 == 1 {
			kids[i] = True
		}
	}
	return s.make(s.level[v], kids)
}

// make returns the node of a level with these arrows: the canonical one.
func (s *Store) make(level int32, kids []Node) Node {
	same := true
	for _, k := range kids[1:] {
		if k != kids[0] {
			same = false
			break
		}
	}
	if same {
		return kids[0]
	}
	if len(s.nodes)*4 > len(s.table)*3 {
		s.grow()
	}
	mask := len(s.table) - 1
	for i := s.hash(level, kids) & mask; ; i = (i + 1) & mask {
		n := s.table[i]
		if n == 0 {
			if len(s.nodes) >= s.cap {
				panic(&TooLarge{s.cap})
			}
			n = Node(len(s.nodes))
			s.nodes = append(s.nodes, node{level, int32(len(s.kids))})
			s.kids = append(s.kids, kids...)
			s.table[i] = n
			return n
		}
		if s.nodes[n].level == level && slices.Equal(s.Kids(n), kids) {
			return n
		}
	}
}

func (s *Store) hash(level int32, kids []Node) int {
	h := uint64(level) * 0x9E3779B97F4A7C15
	for _, k := range kids {
		h = (h ^ uint64(k)) * 0xff51afd7ed558ccd
		h ^= h >> 32
	}
	return int(h >> 1)
}

// grow doubles the table, and the operation cache with it.
func (s *Store) grow() {
	s.table = make([]Node, 2*len(s.table))
	mask := len(s.table) - 1
	for n := MaxLeaf + 1; n < len(s.nodes); n++ {
		i := s.hash(s.nodes[n].level, s.Kids(Node(n))) & mask
		for s.table[i] != 0 {
			i = (i + 1) & mask
		}
		s.table[i] = Node(n)
	}
	old := s.cache
	s.cache = make([]cached, 2*len(old))
	for _, c := range old {
		if c.op != opNone {
			*s.slot(c.op, c.a, c.b) = c
		}
	}
}

func (s *Store) slot(op int32, a, b Node) *cached {
	h := uint64(op)*0x9E3779B97F4A7C15 ^ uint64(a)*0xff51afd7ed558ccd ^ uint64(b)*0xc4ceb9fe1a85ec53
	h ^= h >> 29
	return &s.cache[h&uint64(len(s.cache)-1)]
}

// And returns the function that is True where a and b are. Both must be boolean.
func (s *Store) And(a, b Node) Node { return s.apply(opAnd, a, b) }

// Or returns the function that is True where a or b is. Both must be boolean.
func (s *Store) Or(a, b Node) Node { return s.apply(opOr, a, b) }

// Max returns the function that is the larger of a and b.
func (s *Store) Max(a, b Node) Node { return s.apply(opMax, a, b) }

// Not returns the function that is True where a is False.
func (s *Store) Not(a Node) Node { return s.mapLeaves(opNot, a) }

// Implies reports whether b is True wherever a is.
func (s *Store) Implies(a, b Node) bool { return s.And(a, s.Not(b)) == False }

// Scale returns the function that is the leaf k where the boolean a is True, and 0 elsewhere.
func (s *Store) Scale(a Node, k int) Node { return s.mapLeaves(opScale+int32(k), a) }

// AtLeast returns the boolean function that is True where a is k or more.
func (s *Store) AtLeast(a Node, k int) Node { return s.mapLeaves(opAt+int32(k), a) }

// Exactly returns the boolean function that is True where a is k.
func (s *Store) Exactly(a Node, k int) Node { return s.mapLeaves(opIs+int32(k), a) }

// AndAll joins many functions, the smallest first, since small ones cut the others down.
func (s *Store) AndAll(all []Node) Node { return s.fold(opAnd, True, all) }

// OrAll joins many functions, the smallest first.
func (s *Store) OrAll(all []Node) Node { return s.fold(opOr, False, all) }

func (s *Store) fold(op int32, empty Node, all []Node) Node {
	if len(all) == 0 {
		return empty
	}
	if len(all) == 1 {
		return all[0]
	}
	sized := slices.Clone(all)
	if len(all) > 2 {
		size := make(map[Node]int, len(all))
		for _, n := range all {
			size[n] = s.Size(n)
		}
		slices.SortStableFunc(sized, func(a, b Node) int { return size[a] - size[b] })
	}
	res := sized[0]
	for _, n := range sized[1:] {
		res = s.apply(op, res, n)
	}
	return res
}

func (s *Store) apply(op int32, a, b Node) Node {
	if op >= opTable {
		if IsLeaf(a) && IsLeaf(b) {
			return Node(s.tables[op-opTable][a][b])
		}
	} else {
		if a == b {
			return a
		}
		if a > b {
			a, b = b, a
		}
		switch {
		case op == opAnd && a == False:
			return False
		case op == opAnd && a == True:
			return b
		case a == False: // or, max
			return b
		case op == opOr && a == True:
			return True
		case op == opMax && IsLeaf(b): // both are leaves, and b is the larger
			return b
		}
	}
	if c := s.slot(op, a, b); c.op == op && c.a == a && c.b == b {
		return c.res
	}
	la, lb := s.nodes[a].level, s.nodes[b].level
	level := min(la, lb)
	var buf [MaxValues]Node
	kids := buf[:s.sizes[s.vars[level]]]
	for i := range kids {
		ka, kb := a, b
		if la == level {
			ka = s.kids[int(s.nodes[a].kids)+i]
		}
		if lb == level {
			kb = s.kids[int(s.nodes[b].kids)+i]
		}
		kids[i] = s.apply(op, ka, kb)
	}
	res := s.make(level, kids)
	*s.slot(op, a, b) = cached{op, a, b, res}
	return res
}

func (s *Store) mapLeaves(op int32, a Node) Node {
	if IsLeaf(a) {
		switch {
		case op >= opIs:
			return truth(a == Node(op-opIs))
		case op >= opAt:
			return truth(a >= Node(op-opAt))
		case op >= opScale:
			return a * Node(op-opScale)
		default:
			return True - a
		}
	}
	if c := s.slot(op, a, 0); c.op == op && c.a == a && c.b == 0 {
		return c.res
	}
	var buf [MaxValues]Node
	kids := buf[:len(s.Kids(a))]
	for i := range kids {
		kids[i] = s.mapLeaves(op, s.Kids(a)[i])
	}
	res := s.make(s.nodes[a].level, kids)
	*s.slot(op, a, 0) = cached{op, a, 0, res}
	return res
}

func truth(b bool) Node {
	if b {
		return True
	}
	return False
}
