package rules

import (
	"slices"

	"patchfirst/rules/diagram"
)

// Ranking finds the first choice of complete cases. For each method it holds one function, whose leaf says how good the
// place of the method is; all are laid out in one array, so that a decision is a short walk for each method.
type Ranking struct {
	base  *Base
	code  []int32 // a node is its question, and for each answer where the next node begins, or ^leaf
	start []int32 // by method
}

// NotOffered is the leaf of Place after those of the classes with and without care.
const NotOffered = 6

// Ranking compiles the places of all methods over all cases. It fails if the diagrams grow too large.
func (b *Base) Ranking() (*Ranking, error) {
	s, err := b.spaceIn(b.store(b.byForce, 0), b.limit(nil), nil)
	if err != nil {
		return nil, err
	}
	r := &Ranking{base: b}
	return r, s.Store.Try(func() { r.layOut(s) })
}

func (r *Ranking) layOut(s *Space) {
	at := map[diagram.Node]int32{}
	var lay func(diagram.Node) int32
	lay = func(n diagram.Node) int32 {
		if diagram.IsLeaf(n) {
			return ^int32(n)
		}
		if k, ok := at[n]; ok {
			return k
		}
		k := int32(len(r.code))
		at[n] = k
		kids := s.Store.Kids(n)
		r.code = append(r.code, int32(s.Store.Var(n)))
		r.code = append(r.code, make([]int32, len(kids))...)
		for i, kid := range kids {
			r.code[int(k)+1+i] = lay(kid)
		}
		return k
	}
	for _, m := range s.Base.Methods {
		r.start = append(r.start, lay(s.Place(m)))
	}
}

// Place returns the function whose leaf says how good the place of a method is: twice its class (favoured, possible,
// discouraged), and one more with care. Of equal places the gentler method is first.
func (s *Space) Place(m *Method) diagram.Node {
	if n := s.places[m.Rank]; n != uncompiled {
		return n
	}
	n := s.Store.Combine(placed, s.Verdict(m), s.care(m))
	s.places[m.Rank] = n
	return n
}

// placed is the table "the place of a verdict, without or with care".
var placed = diagram.NewTable(func(verdict, care int) int {
	if class := slices.Index(classes, Verdict(verdict)); class >= 0 {
		return 2*class + min(care, 1)
	}
	return NotOffered
})

// First returns the first choice of a complete case, given by the answer to each question.
func (r *Ranking) First(values []uint8) *Method {
	best, first := int32(NotOffered), (*Method)(nil)
	for m, k := range r.start {
		method := r.base.Methods[m]
		if method.LastResort {
			if first == nil {
				first = method
			}
			continue
		}
		for k >= 0 {
			k = r.code[k+1+int32(values[r.code[k]])]
		}
		if ^k < best {
			best, first = ^k, method
			if best == 0 {
				break
			}
		}
	}
	return first
}
