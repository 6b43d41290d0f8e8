package audit

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// Estimate is a share that was drawn and not counted, with its 95 % interval. The interval is the exact one of Clopper
// and Pearson (Biometrika 26, 1934), so it is never too narrow.
type Estimate struct {
	Hits   int     `json:"hits"`
	Drawn  int     `json:"drawn"`
	Lowest float64 `json:"lowest"`
	Most   float64 `json:"highest"`
}

func estimate(hits, drawn int) Estimate {
	const tail = 0.025
	e := Estimate{Hits: hits, Drawn: drawn, Most: 1}
	k, n := float64(hits), float64(drawn)
	if hits > 0 {
		e.Lowest = distuv.Beta{Alpha: k, Beta: n - k + 1}.Quantile(tail)
	}
	if hits < drawn {
		e.Most = distuv.Beta{Alpha: k + 1, Beta: n - k}.Quantile(1 - tail)
	}
	return e
}

func (e Estimate) String() string {
	return fmt.Sprintf("%d of %d drawn, so %s to %s of cases counted evenly, not of jobs", e.Hits, e.Drawn, percent(e.Lowest), percent(e.Most))
}

// Gap says in what part of the cases no method is favoured, and with which answers one never is.
type Gap struct {
	Share Estimate `json:"share"`           // drawn
	Cases *big.Int `json:"cases,omitempty"` // counted, if that was asked for
	Of    *big.Int `json:"of"`
	Every []string `json:"every"` // answers with which no method is favoured, whatever the other answers are
}

func (g Gap) String() string {
	line := fmt.Sprintf("gaps: no method is favoured in %s", g.Share)
	if g.Cases != nil {
		line = fmt.Sprintf("gaps: no method is favoured in %s of %s cases, %s %s", short(g.Cases), short(g.Of), percent(share(g.Cases, g.Of)), evenly)
	}
	for _, n := range g.Every {
		line += "\n    in every case where " + n
	}
	return line
}

// favoured lists for each method that can be favoured where it is, the smallest function first.
func favoured(s *rules.Space) (nodes []diagram.Node) {
	for _, m := range s.Base.Methods {
		if n := s.Store.Exactly(s.Verdict(m), int(rules.Favoured)); n != diagram.False {
			nodes = append(nodes, n)
		}
	}
	slices.SortStableFunc(nodes, func(a, b diagram.Node) int { return s.Store.Size(a) - s.Store.Size(b) })
	return nodes
}

// Gaps draws cases and tells in which of them no method is favoured; it draws the same ones each time. With which answers
// none ever is, is found out exactly.
func Gaps(s *rules.Space, counter *diagram.Counter) Gap {
	const drawn = 3000
	nodes := favoured(s)
	hits := 0
	r := rand.New(rand.NewPCG(1, 1))
	for range drawn {
		values, ok := counter.Draw(r)
		if !ok {
			return Gap{Of: counter.Total()}
		}
		if !slices.ContainsFunc(nodes, func(n diagram.Node) bool { return s.Store.Eval(n, values) == 1 }) {
			hits++
		}
	}
	g := Gap{Share: estimate(hits, drawn), Of: counter.Total()}
	never := make(diagram.Case, s.Store.Vars())
	some := make(diagram.Case, len(never)) // answers with which some method is favoured
	values := func(v int, set uint64) uint64 {
		if set == 0 {
			return s.Store.All(diagram.Var(v))
		}
		return set
	}
	for _, n := range nodes {
		if !s.Occurs(rules.Free, n) {
			continue // no case that can occur: the ranges would be all answers
		}
		for v, set := range counter.Ranges(n) {
			some[v] |= values(v, set)
		}
	}
	for v, set := range counter.Ranges(diagram.True) {
		never[v] = values(v, set) &^ some[v]
	}
	for _, need := range s.Needs(never) {
		g.Every = append(g.Every, s.Base.InWords(need))
	}
	return g
}

// CountGaps counts the cases in which no method is favoured. Their function is large, so this takes a store of its own.
func CountGaps(b *rules.Base, nodeCap int) (cases *big.Int, err error) {
	s, err := b.Compile(nil, nodeCap)
	if err != nil {
		return nil, err
	}
	err = s.Store.Try(func() {
		some := diagram.False
		for _, n := range favoured(s) {
			some = s.Store.Or(some, n)
		}
		counter := s.Counter()
		cases = counter.Total()
		cases.Sub(cases, counter.Count(some))
	})
	return cases, err
}
