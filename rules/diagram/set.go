package diagram

// Set is a set of questions.
type Set []uint64

// NewSet returns an empty set of the store's questions.
func (s *Store) NewSet() Set { return make(Set, (len(s.vars)+63)/64) }

// Add puts a question into the set.
func (s Set) Add(v Var) { s[v/64] |= 1 << (v % 64) }

// Has reports whether a question is in the set.
func (s Set) Has(v Var) bool { return s[v/64]>>(v%64)&1 == 1 }

// Union adds the questions of another set.
func (s Set) Union(t Set) {
	for i := range s {
		s[i] |= t[i]
	}
}

// Meets reports whether the sets have a question in common.
func (s Set) Meets(t Set) bool {
	for i := range s {
		if s[i]&t[i] != 0 {
			return true
		}
	}
	return false
}

// SupportSet is Support as a set, which is remembered and must not be changed.
func (s *Store) SupportSet(n Node) Set {
	set, ok := s.supports[n]
	if !ok {
		set = s.NewSet()
		for _, v := range s.Support(n) {
			set.Add(v)
		}
		s.supports[n] = set
	}
	return set
}
