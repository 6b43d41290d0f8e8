package rules

import (
	"fmt"
	"strings"

	"patchfirst/rules/diagram"
)

// classes are the verdicts that are offered, best first.
var classes = []Verdict{Favoured, Possible, Discouraged}

// First returns, for each way in which the method could be the first choice, the functions that must all hold: it has
// one verdict and place, and every other method a worse one. It is not joined, since that would take gigabytes.
func (s *Space) First(m *Method) (ways [][]diagram.Node) {
	b, st := s.Base, s.Store
	if m.LastResort {
		var nodes []diagram.Node
		for _, other := range b.Methods {
			if other != m {
				nodes = append(nodes, st.AtLeast(s.Verdict(other), int(NoUse)))
			}
		}
		return [][]diagram.Node{nodes}
	}
	is := func(n diagram.Node, v Verdict) diagram.Node {
		return st.And(st.AtLeast(n, int(v)), st.Not(st.AtLeast(n, int(v)+1)))
	}
	for k, class := range classes {
		for _, care := range []bool{false, true} {
			mine := st.And(is(s.Verdict(m), class), s.careIs(m, care))
			if mine == diagram.False {
				continue
			}
			nodes := []diagram.Node{mine}
			for _, other := range b.Methods {
				if other == m || other.LastResort {
					continue
				}
				verdict := s.Verdict(other)
				ahead := diagram.False
				for _, better := range classes[:k] {
					ahead = st.Or(ahead, is(verdict, better))
				}
				same := is(verdict, class)
				if care {
					ahead = st.Or(ahead, st.And(same, s.careIs(other, false)))
				}
				if other.Rank < m.Rank {
					ahead = st.Or(ahead, st.And(same, s.careIs(other, care)))
				}
				nodes = append(nodes, st.Not(ahead))
			}
			ways = append(ways, nodes)
		}
	}
	return ways
}

// careIs returns the function "a ranking table gives the method a caution", or its opposite.
func (s *Space) careIs(m *Method, care bool) diagram.Node {
	var nodes []diagram.Node
	for i, r := range s.Base.Rules {
		if r.Cell != "" && r.With.Has(m.Rank) && r.Attach[Caution] != nil && s.Base.ranks(r.Cell) {
			nodes = append(nodes, s.Rule(i))
		}
	}
	n := s.Store.OrAll(nodes)
	if !care {
		n = s.Store.Not(n)
	}
	return n
}

// Words names the answers of a complete case to the questions that some functions depend on.
func (s *Space) Words(values []uint8, nodes ...diagram.Node) []string {
	var words []string
	lists := map[*Fact][]string{}
	seen := map[*Fact]bool{}
	for _, n := range nodes {
		for _, v := range s.Store.Support(n) {
			f := s.Base.vars[v].fact
			if seen[f] && f.Kind != Several {
				continue
			}
			i := int(values[v])
			switch {
			case f.Kind == Several:
				if i == 1 {
					lists[f] = append(lists[f], f.Values[s.Base.vars[v].value].ID)
				}
			case f.Kind == Number:
				words = append(words, fmt.Sprintf("%s = %g", f.ID, f.Sample(i)))
			case f.ends != nil:
				if i < len(f.named) {
					words = append(words, f.ID+" = "+f.named[i])
				}
			default:
				words = append(words, f.ID+" = "+f.Values[i].ID)
			}
			seen[f] = true
		}
	}
	for _, f := range s.Base.Facts {
		if seen[f] && f.Kind == Several {
			words = append(words, fmt.Sprintf("%s = [%s]", f.ID, strings.Join(lists[f], ", ")))
		}
	}
	return words
}
