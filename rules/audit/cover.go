package audit

import (
	"encoding/json"
	"fmt"
	"io"
	"runtime"
	"strings"

	"golang.org/x/sync/errgroup"

	"patchfirst/rules"
	"patchfirst/rules/cases"
)

// Coverage says what of a base its case files ever use.
type Coverage struct {
	Base  *rules.Base
	Rules []Covered // in the order of the base
	Cases int
}

// Covered is what the case files show of one rule.
type Covered struct {
	Rule    *rules.Rule
	Fires   []*cases.Case // in which the rule counts
	Decides []*cases.Case // some of those that would come out otherwise without it
	Tests   []Seen

	place int // of the rule in the base
}

// Seen is one comparison of a condition, and whether some case settles it each way.
type Seen struct {
	Test        *rules.Test
	True, False bool
}

// Cover decides case files and notes what they use. Of each rule it notes some cases that it decides; if only is not empty,
// all of that rule, and nothing of the others.
func Cover(b *rules.Base, all []cases.Case, prepare Prepare, only string) (*Coverage, error) {
	parts := max(1, min(len(all), runtime.GOMAXPROCS(0)))
	found := make([]*Coverage, parts)
	var g errgroup.Group
	for part := range parts {
		found[part] = newCoverage(b, only)
		g.Go(func() error {
			for i := part * len(all) / parts; i < (part+1)*len(all)/parts; i++ {
				if err := found[part].add(&all[i], prepare, only); err != nil {
					return err
				}
			}
			return nil
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	whole := found[0]
	for _, part := range found[1:] {
		whole.join(part)
	}
	return whole, nil
}

func newCoverage(b *rules.Base, only string) *Coverage {
	c := &Coverage{Base: b}
	for i, r := range b.Rules {
		if only != "" && r.ID != only {
			continue
		}
		covered := Covered{Rule: r, place: i}
		r.When.Walk(func(t *rules.Test) {
			if len(t.Args) == 0 {
				covered.Tests = append(covered.Tests, Seen{Test: t})
			}
		})
		c.Rules = append(c.Rules, covered)
	}
	return c
}

func (c *Coverage) add(one *cases.Case, prepare Prepare, only string) error {
	const enough = 5
	o, contradiction, err := c.Base.Outline(ready(c.Base, one.Given, prepare))
	if err != nil || contradiction != nil {
		return err
	}
	c.Cases++
	return o.Try(func() {
		for i := range c.Rules {
			r := &c.Rules[i]
			if o.Counts(r.place) {
				r.Fires = append(r.Fires, one)
				if (len(r.Decides) < enough || r.Rule.ID == only) && o.Decides(r.place) {
					r.Decides = append(r.Decides, one)
				}
			}
			for k := range r.Tests {
				if s := &r.Tests[k]; !s.True || !s.False {
					holds, fails := o.Settles(s.Test)
					s.True, s.False = s.True || holds, s.False || fails
				}
			}
		}
	})
}

func (c *Coverage) join(other *Coverage) {
	c.Cases += other.Cases
	for i := range c.Rules {
		r, more := &c.Rules[i], other.Rules[i]
		r.Fires, r.Decides = append(r.Fires, more.Fires...), append(r.Decides, more.Decides...)
		for k := range r.Tests {
			r.Tests[k].True = r.Tests[k].True || more.Tests[k].True
			r.Tests[k].False = r.Tests[k].False || more.Tests[k].False
		}
	}
}

// counts counts rules that fire and decide, and comparisons that are seen both ways.
func (c *Coverage) counts() (fired, decisive, both, tests int) {
	for _, r := range c.Rules {
		if r.Fires != nil {
			fired++
		}
		if r.Decides != nil {
			decisive++
		}
		for _, s := range r.Tests {
			tests++
			if s.True && s.False {
				both++
			}
		}
	}
	return fired, decisive, both, tests
}

// Score is the share of the rules that are decisive in some case.
func (c *Coverage) Score() float64 {
	_, decisive, _, _ := c.counts()
	if len(c.Rules) == 0 {
		return 1
	}
	return float64(decisive) / float64(len(c.Rules))
}

func (s Seen) lacks() string {
	switch {
	case s.True && s.False:
		return ""
	case s.True:
		return "not seen false"
	case s.False:
		return "not seen true"
	}
	return "not seen either way"
}

func (c *Coverage) String() string {
	var b strings.Builder
	for _, r := range c.Rules {
		switch {
		case r.Fires == nil:
			fmt.Fprintf(&b, "%s: rule %s fires in no case\n", r.Rule.Pos, r.Rule.ID)
			continue
		case r.Decides == nil:
			fmt.Fprintf(&b, "%s: rule %s decides no case; it fires in %d, such as %s (%s)\n", r.Rule.Pos, r.Rule.ID, len(r.Fires), r.Fires[0].Title, r.Fires[0].Pos)
		}
		for _, s := range r.Tests {
			if lacks := s.lacks(); lacks != "" {
				fmt.Fprintf(&b, "%s: rule %s: %s is %s\n", r.Rule.Pos, r.Rule.ID, s.Test, lacks)
			}
		}
	}
	fired, decisive, both, tests := c.counts()
	n := len(c.Rules)
	percent := func(k, n int) float64 { return 100 * float64(k) / float64(max(1, n)) }
	fmt.Fprintf(&b, "rules that fire in some case: %d of %d (%.1f %%)\n", fired, n, percent(fired, n))
	fmt.Fprintf(&b, "rules that decide some case: %d of %d (%.1f %%)\n", decisive, n, percent(decisive, n))
	fmt.Fprintf(&b, "comparisons seen true and false: %d of %d (%.1f %%)\n", both, tests, percent(both, tests))
	fmt.Fprintf(&b, "%d case files were run\n", c.Cases)
	return b.String()
}

// Of tells which cases cover one rule.
func (c *Coverage) Of(id string) string {
	var b strings.Builder
	for _, r := range c.Rules {
		if r.Rule.ID != id {
			continue
		}
		fmt.Fprintf(&b, "%s: rule %s\n", r.Rule.Pos, id)
		decides := map[*cases.Case]bool{}
		for _, one := range r.Decides {
			decides[one] = true
			fmt.Fprintf(&b, "  decides %s: %s\n", one.Pos, one.Title)
		}
		for _, one := range r.Fires {
			if !decides[one] {
				fmt.Fprintf(&b, "  fires in %s: %s\n", one.Pos, one.Title)
			}
		}
		for _, s := range r.Tests {
			lacks := s.lacks()
			if lacks == "" {
				lacks = "seen true and false"
			}
			fmt.Fprintf(&b, "  %s is %s\n", s.Test, lacks)
		}
	}
	return b.String()
}

// JSON writes the coverage as data.
func (c *Coverage) JSON(w io.Writer) error {
	type test struct {
		Test  string `json:"test"`
		True  bool   `json:"seen_true"`
		False bool   `json:"seen_false"`
	}
	type rule struct {
		ID      string   `json:"id"`
		File    string   `json:"file"`
		Line    int      `json:"line"`
		Fires   []string `json:"fires"`
		Decides []string `json:"decides"`
		Tests   []test   `json:"tests"`
	}
	out := struct {
		Cases int     `json:"cases"`
		Score float64 `json:"score"`
		Rules []rule  `json:"rules"`
	}{Cases: c.Cases, Score: c.Score()}
	titles := func(all []*cases.Case) []string {
		list := []string{}
		for _, one := range all {
			list = append(list, one.Title)
		}
		return list
	}
	for _, r := range c.Rules {
		o := rule{r.Rule.ID, r.Rule.Pos.File, r.Rule.Pos.Line, titles(r.Fires), titles(r.Decides), []test{}}
		for _, s := range r.Tests {
			o.Tests = append(o.Tests, test{s.Test.String(), s.True, s.False})
		}
		out.Rules = append(out.Rules, o)
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(out)
}
