package rules

import (
	"slices"
	"sync"
)

// seen holds cases that occurred under some answers and may occur under the next: one answer more rules out few of them.
// They are suggestions, each tried before it is taken, so what is concluded does not hang on them.
type seen struct {
	sync.Mutex
	cases [][]uint8
	next  int // the place of the oldest, once there are many
}

// add keeps a case in place of the oldest one.
func (s *seen) add(c []uint8) {
	const most = 200
	s.Lock()
	defer s.Unlock()
	if len(s.cases) < most {
		s.cases = append(s.cases, c)
		return
	}
	s.cases[s.next] = c
	s.next = (s.next + 1) % most
}

// that returns the cases with a property, the newest last.
func (s *seen) that(is func([]uint8) bool) (cases [][]uint8) {
	s.Lock()
	defer s.Unlock()
	for i := range s.cases {
		if c := s.cases[(s.next+i)%len(s.cases)]; is(c) {
			cases = append(cases, c)
		}
	}
	return cases
}

// remember keeps a case for other answers. What the answers at hand settle is no question of the diagrams, so the case
// need not have it yet.
func (s *Space) remember(c []uint8) {
	whole := slices.Clone(c)
	for v, possible := range s.limit {
		for i := uint8(0); possible != 0 && possible>>whole[v]&1 == 0; i++ {
			whole[v] = i
		}
	}
	s.Base.seen.add(whole)
}
