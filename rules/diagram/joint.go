package diagram

import "encoding/binary"

// Outcome is what a joint search found.
type Outcome int

// The outcomes of Joint.
const (
	None       Outcome = iota // no case makes all functions True
	Found                     // a case was found
	NotSettled                // the step budget ran out
)

// Joint looks for a complete case in which all the boolean functions are True, without building their conjunction: it
// walks all of them together and remembers the combinations that failed. It takes at most budget steps. If near is not
// nil it is a complete case whose answers are tried first, so a case is found that differs from it only where it must.
//
// A dead end goes back not to the question before it but to the last one that the functions in conflict depend on
// (conflict-directed backjumping, Prosser 1993).
func (s *Store) Joint(all []Node, near []uint8, budget int) ([]uint8, Outcome) {
	values := make([]uint8, len(s.vars))
	copy(values, near)
	var start []asked
	var reads []Set // by function
	for _, n := range all {
		switch n {
		case False:
			return nil, None
		case True:
		default:
			start = append(start, asked{n, len(reads)})
			reads = append(reads, s.SupportSet(n))
		}
	}
	failed := map[string]Set{}
	spent := 0
	// walk returns the questions to blame where there is no case below.
	var walk func([]asked) (Outcome, Set)
	walk = func(list []asked) (Outcome, Set) {
		if len(list) == 0 {
			return Found, nil
		}
		if spent++; spent > budget {
			return NotSettled, nil
		}
		level := int32(len(s.vars))
		for _, f := range list {
			level = min(level, s.nodes[f.n].level)
		}
		if len(failed) > 0 {
			if blame, ok := failed[string(key(list))]; ok {
				return None, blame
			}
		}
		v := s.vars[level]
		begin := values[v]
		blame := s.NewSet()
		next := make([]asked, 0, len(list))
		for k := range s.sizes[v] {
			i := (int(begin) + k) % s.sizes[v]
			next = next[:0]
			if against := s.follow(list, &next, level, i); against >= 0 {
				blame.Union(reads[against])
				continue
			}
			values[v] = uint8(i)
			o, deeper := walk(next)
			if o != None {
				return o, nil
			}
			if !deeper.Has(v) {
				blame = deeper
				break
			}
			blame.Union(deeper)
		}
		values[v] = begin
		failed[string(key(list))] = blame
		return None, blame
	}
	o, _ := walk(start)
	if o != Found {
		return nil, o
	}
	return values, Found
}

// asked is what is left of a function on the way down.
type asked struct {
	n        Node
	function int
}

func key(list []asked) []byte {
	b := make([]byte, 0, 8*len(list))
	for _, f := range list {
		b = binary.LittleEndian.AppendUint64(b, uint64(f.function)<<32|uint64(f.n))
	}
	return b
}

// follow takes value i at a level in every function of a list, and drops those that turn True. It returns the function
// that turned False, or -1.
func (s *Store) follow(list []asked, next *[]asked, level int32, i int) (against int) {
	for _, f := range list {
		if nd := s.nodes[f.n]; nd.level == level {
			switch f.n = s.kids[int(nd.kids)+i]; f.n {
			case False:
				return f.function
			case True:
				continue
			}
		}
		*next = append(*next, f)
	}
	return -1
}
