package knowledge_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/vm"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// place is the answer to a question of the diagrams that stands for an answer to a fact.
type place struct {
	v     diagram.Var
	value uint8
	ok    bool // not ok: the question has one value only
}

// drawer draws complete cases. It learns which questions of the diagrams stand for what from compiling comparisons.
type drawer struct {
	b      *rules.Base
	vars   int
	values map[*rules.Fact][]place // by value; of a number one place, whose value is its first cell
	ends   map[string][]place      // by value of the list, and last for none
}

func newDrawer(t testing.TB, b *rules.Base, s *rules.Space) *drawer {
	look := func(format string, args ...any) place {
		text := fmt.Sprintf(format, args...)
		c, problems := b.Parse(text, func(int) rules.Pos { return rules.Pos{File: text} })
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		n := s.Node(c)
		if diagram.IsLeaf(n) {
			return place{}
		}
		return place{s.Store.Var(n), uint8(slices.Index(s.Store.Kids(n), diagram.True)), true}
	}
	d := &drawer{b, s.Store.Vars(), map[*rules.Fact][]place{}, map[string][]place{}}
	for _, f := range b.Facts {
		if f.Kind == rules.Number {
			d.values[f] = []place{look("%s >= %g", f.ID, f.Sample(f.Cell(math.Inf(1))))}
		}
		for _, v := range f.Values {
			if f.Kind == rules.Several {
				d.values[f] = append(d.values[f], look("%q in %s", v.ID, f.ID))
			} else {
				d.values[f] = append(d.values[f], look("%s == %q", f.ID, v.ID))
			}
		}
		for _, end := range []string{f.First, f.Last} {
			if end == "" {
				continue
			}
			for _, v := range b.Fact(end).Values {
				d.ends[end] = append(d.ends[end], look("%s == %q", end, v.ID))
			}
		}
	}
	return d
}

// complete is a complete case, as the diagrams and as expr take it.
type complete struct {
	values []uint8
	env    map[string]any
}

func (d *drawer) draw(r *rand.Rand) complete {
	c := complete{make([]uint8, d.vars), map[string]any{}}
	set := func(at place, value uint8) {
		if at.ok {
			c.values[at.v] = value
		}
	}
	for _, f := range d.b.Facts {
		at := d.values[f]
		switch f.Kind {
		case rules.Choice:
			i := r.IntN(len(f.Values))
			set(at[i], at[i].value)
			c.env[f.ID] = f.Values[i].ID
		case rules.Number:
			cell := r.IntN(f.Cell(math.Inf(1)) + 1)
			set(at[0], uint8(cell))
			c.env[f.ID] = f.Sample(cell)
		case rules.Several:
			most := len(f.Values)
			if f.Most > 0 {
				most = f.Most
			}
			chosen := r.Perm(len(f.Values))[:r.IntN(most+1)]
			list := make([]string, len(chosen))
			for k, i := range chosen {
				list[k] = f.Values[i].ID
				set(at[i], at[i].value)
			}
			c.env[f.ID] = list
			for _, end := range []string{f.First, f.Last} {
				if end == "" {
					continue
				}
				i := len(f.Values)
				if len(chosen) > 0 {
					i = chosen[r.IntN(len(chosen))]
				}
				set(d.ends[end][i], d.ends[end][i].value)
				c.env[end] = d.b.Fact(end).Values[i].ID
			}
		}
	}
	for _, g := range d.b.Groups {
		if g.Of != "method" {
			c.env[g.ID] = g.Is
		}
	}
	for _, f := range d.b.Findings {
		c.env[f.ID] = 0
	}
	return c
}

// ranked writes the levels of findings in a condition as their ranks, as expr compares text by its letters.
func ranked(c *rules.Cond) string {
	runes := []rune(c.Text)
	var spans []*rules.Test
	c.Walk(func(t *rules.Test) {
		if t.Op == rules.OpLevel {
			spans = append(spans, t)
		}
	})
	slices.SortFunc(spans, func(a, b *rules.Test) int { return b.From - a.From })
	for _, t := range spans {
		comparison := string(runes[t.From:t.To])
		for _, quote := range []string{`"`, `'`} {
			comparison = strings.Replace(comparison, quote+t.Finding.Scale[t.Level]+quote, fmt.Sprint(t.Level), 1)
		}
		runes = slices.Concat(runes[:t.From], []rune(comparison), runes[t.To:])
	}
	return string(runes)
}

// byNeed orders the findings so that each comes after those that its rules read.
func byNeed(b *rules.Base) (ordered []*rules.Finding) {
	var visit func(*rules.Finding)
	visit = func(f *rules.Finding) {
		if slices.Contains(ordered, f) {
			return
		}
		for _, r := range b.Rules {
			if _, raises := r.Raises[f.ID]; raises {
				r.When.Walk(func(t *rules.Test) {
					if t.Finding != nil {
						visit(t.Finding)
					}
				})
			}
		}
		ordered = append(ordered, f)
	}
	for _, f := range b.Findings {
		visit(f)
	}
	return ordered
}

// Every condition of the base, by the diagrams and by expr, on many complete cases.
func TestDiagramsAgreeWithExpr(t *testing.T) {
	count := 100_000
	if testing.Short() {
		count = 3_000
	}
	b := load(t)
	s, err := b.Compile(nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	d := newDrawer(t, b, s)
	sample := d.draw(rand.New(rand.NewPCG(11, 13))).env
	programs := make([]*vm.Program, len(b.Rules))
	for i, rule := range b.Rules {
		if rule.When == nil {
			continue
		}
		if programs[i], err = expr.Compile(ranked(rule.When), expr.Env(sample), expr.AsBool()); err != nil {
			t.Fatalf("%s: %v", rule.Pos, err)
		}
	}
	findings := byNeed(b)
	fired := make([]atomic.Bool, len(b.Rules))
	check := func(machine *vm.VM, c complete) bool {
		holds := func(i int) bool {
			if programs[i] == nil {
				return true
			}
			v, err := machine.Run(programs[i], c.env)
			if err != nil {
				t.Errorf("%s: %v", b.Rules[i].Pos, err)
			}
			return v == true
		}
		for _, f := range findings {
			level := 0
			for i, rule := range b.Rules {
				if to, raises := rule.Raises[f.ID]; raises && holds(i) {
					level = max(level, slices.Index(f.Scale, to))
				}
			}
			c.env[f.ID] = level
			for k := 1; k < len(f.Scale); k++ {
				if got := s.Store.Eval(s.Finding(f, k), c.values) == 1; got != (level >= k) {
					t.Errorf("the diagrams say of %s >= %s %v, expr says the level is %s, in %v", f.ID, f.Scale[k], got, f.Scale[level], c.env)
					return false
				}
			}
		}
		for i, rule := range b.Rules {
			want := holds(i)
			if got := s.Store.Eval(s.Rule(i), c.values) == 1; got != want {
				t.Errorf("%s: %s fires by the diagrams: %v, by expr: %v, in %v", rule.Pos, rule.ID, got, want, c.env)
				return false
			}
			if want {
				fired[i].Store(true)
			}
		}
		return true
	}
	var work sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		r := rand.New(rand.NewPCG(11, uint64(w)))
		work.Go(func() {
			machine := &vm.VM{}
			for i := w; i < count && check(machine, d.draw(r)); i += workers {
			}
		})
	}
	work.Wait()
	never := 0
	for i := range fired {
		if !fired[i].Load() {
			never++
		}
	}
	if never > len(fired)/10 {
		t.Errorf("%d of %d rules fired in no case: the cases say too little", never, len(fired))
	}
}
