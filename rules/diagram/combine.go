package diagram

import "slices"

// Table says which leaf comes of a leaf of one function and a leaf of another.
type Table [MaxLeaf + 1][MaxLeaf + 1]uint8

// NewTable returns the table of a function.
func NewTable(f func(a, b int) int) *Table {
	var t Table
	for a := range t {
		for b := range t[a] {
			t[a][b] = uint8(f(a, b))
		}
	}
	return &t
}

// Combine returns the function whose leaf the table says of the leaves of a and b. The store remembers the table by its
// address, so it must not be changed.
func (s *Store) Combine(t *Table, a, b Node) Node {
	i := slices.Index(s.tables, t)
	if i < 0 {
		i = len(s.tables)
		s.tables = append(s.tables, t)
	}
	return s.combine(opTable+int32(i), t, a, b)
}

func (s *Store) combine(op int32, t *Table, a, b Node) Node {
	if IsLeaf(a) && IsLeaf(b) {
		return Node(t[a][b])
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
		kids[i] = s.combine(op, t, ka, kb)
	}
	res := s.make(level, kids)
	*s.slot(op, a, b) = cached{op, a, b, res}
	return res
}
