package audit

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

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

// Gap says in what part of the cases no method is favoured. Their function is too large to be built, so they are drawn.
type Gap struct {
	Share Estimate `json:"share"`
	Where []string `json:"where"` // the answers with which it is most often so
}

func (g Gap) String() string {
	line := fmt.Sprintf("gaps: no method is favoured in %s", g.Share)
	if len(g.Where) > 0 {
		line += "; most often where " + strings.Join(g.Where, "; ")
	}
	return line
}

// Gaps draws cases and tells in which of them no method is favoured. It draws the same ones each time.
func Gaps(s *rules.Space, counter *diagram.Counter) Gap {
	const drawn, least, shown = 3000, 20, 3
	var verdicts []diagram.Node
	for _, m := range s.Base.Methods {
		verdicts = append(verdicts, s.Verdict(m))
	}
	type answer struct {
		fact  *rules.Fact
		value string
	}
	seen, gap := map[answer]int{}, map[answer]int{}
	hits := 0
	r := rand.New(rand.NewPCG(1, 1))
	for range drawn {
		values, ok := counter.Draw(r)
		if !ok {
			return Gap{}
		}
		none := !slices.ContainsFunc(verdicts, func(n diagram.Node) bool { return s.Store.Eval(n, values) == int(rules.Favoured) })
		if none {
			hits++
		}
		for _, f := range s.Base.Facts {
			if f.Kind != rules.Choice {
				continue
			}
			a := answer{f, f.Values[values[s.Vars(f)[0]]].ID}
			seen[a]++
			if none {
				gap[a]++
			}
		}
	}
	var often []answer
	for a := range gap {
		if seen[a] >= least {
			often = append(often, a)
		}
	}
	share := func(a answer) float64 { return float64(gap[a]) / float64(seen[a]) }
	slices.SortFunc(often, func(a, b answer) int {
		switch d := share(b) - share(a); {
		case d > 0:
			return 1
		case d < 0:
			return -1
		}
		return strings.Compare(a.fact.ID+a.value, b.fact.ID+b.value)
	})
	g := Gap{Share: estimate(hits, drawn)}
	for _, a := range often[:min(shown, len(often))] {
		g.Where = append(g.Where, fmt.Sprintf("%s = %s (%d of %d drawn)", a.fact.ID, a.value, gap[a], seen[a]))
	}
	return g
}
