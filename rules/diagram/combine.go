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
	return s.apply(opTable+int32(i), a, b)
}
