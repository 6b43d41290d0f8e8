package rules

import (
	"fmt"
	"strings"

	"patchfirst/rules/diagram"
)

// classes are the verdicts that are offered, best first.
var classes = []Verdict{Favoured, Possible, Discouraged}

// First returns, for each place in which the method could be the first choice in some case inside a function, the functions
// that must all hold: it is a case inside in which the method has that place, and every other method has a worse one. They
// are not joined, since that would take gigabytes.
func (s *Space) First(m *Method, inside diagram.Node) (ways [][]diagram.Node) {
	st := s.Store
	if m.LastResort {
		return [][]diagram.Node{append([]diagram.Node{inside}, s.behind(m, NotOffered)...)}
	}
	place := s.Place(m)
	for k := range NotOffered {
		if mine := st.And(inside, st.Exactly(place, k)); mine != diagram.False {
			ways = append(ways, append([]diagram.Node{mine}, s.behind(m, k)...))
		}
	}
	return ways
}

// behind returns for every other method the function "it has a worse place than this method in place k".
func (s *Space) behind(m *Method, k int) (nodes []diagram.Node) {
	for _, other := range s.Base.Methods {
		if other == m || other.LastResort {
			continue
		}
		worse := k
		if other.Rank < m.Rank {
			worse = min(k+1, NotOffered)
		}
		nodes = append(nodes, s.Store.AtLeast(s.Place(other), worse))
	}
	return nodes
}

// care returns the function "a ranking table gives the method a caution".
func (s *Space) care(m *Method) diagram.Node {
	var nodes []diagram.Node
	for i, r := range s.Base.Rules {
		if r.Cell != "" && r.With.Has(m.Rank) && r.Attach[Caution] != nil && s.Base.ranks(r.Cell) {
			nodes = append(nodes, s.Rule(i))
		}
	}
	return s.Store.OrAll(nodes)
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
