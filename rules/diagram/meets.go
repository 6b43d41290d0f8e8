package diagram

// Meeter tells quickly whether functions hold somewhere in boxes of cases. It only reads its store, and is itself not safe
// for use by several goroutines at once.
type Meeter struct {
	s     *Store
	seen  []uint32 // by node, the last search that found nothing below it
	round uint32
}

// Meeter returns one for the store.
func (s *Store) Meeter() *Meeter { return &Meeter{s: s} }

// Meets reports whether the boolean n is True in some case of a box.
func (m *Meeter) Meets(n Node, box Case) bool {
	if len(m.seen) < len(m.s.nodes) {
		m.seen, m.round = make([]uint32, 2*len(m.s.nodes)), 0
	}
	m.round++
	return m.walk(n, box)
}

func (m *Meeter) walk(n Node, box Case) bool {
	if IsLeaf(n) {
		return n == True
	}
	if m.seen[n] == m.round {
		return false
	}
	set := box[m.s.Var(n)]
	for i, kid := range m.s.Kids(n) {
		if (set == 0 || set>>i&1 == 1) && m.walk(kid, box) {
			return true
		}
	}
	m.seen[n] = m.round
	return false
}
