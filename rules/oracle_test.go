package rules_test

import (
	"fmt"
	"maps"
	"math/bits"
	"regexp"
	"slices"
	"testing"

	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/vm"

	"patchfirst/rules"
)

// The oracle decides the toy base again from the definitions of the design notes: it writes out every case, evaluates
// every condition on every case with expr, and counts. It shares no code with the diagrams.

// The questions of the toy base, in its order.
const (
	bank = iota
	width
	load
	wind
	watchman
	ice
	bridge
	questions
)

var factIDs = [questions]string{"bank", "width", "load", "wind", "watchman", "ice", "bridge_state"}

const (
	usual        = "not_tested" // what a blank answer about the ice means
	conditionSet = 1<<wind | 1<<watchman
)

type oracle struct {
	base  *rules.Base
	cases []*toyCase // every combination, real or not
}

// condition is a condition compiled by expr, with the levels of findings replaced by their ranks.
type condition struct{ program *vm.Program }

var levelTest = regexp.MustCompile(`\b(danger|alarm) (==|!=|<|<=|>|>=) "(\w+)"`)

func compileCondition(t testing.TB, b *rules.Base, text string, env map[string]any) condition {
	ranked := levelTest.ReplaceAllStringFunc(text, func(s string) string {
		m := levelTest.FindStringSubmatch(s)
		return fmt.Sprintf("%s %s %d", m[1], m[2], slices.Index(b.Finding(m[1]).Scale, m[3]))
	})
	p, err := expr.Compile(ranked, expr.Env(env), expr.AsBool())
	if err != nil {
		t.Fatal(err)
	}
	return condition{p}
}

func (c condition) holds(t testing.TB, machine *vm.VM, env map[string]any) bool {
	if c.program == nil {
		return true
	}
	r, err := machine.Run(c.program, env)
	if err != nil {
		t.Fatal(err)
	}
	return r.(bool)
}

func newOracle(t testing.TB, b *rules.Base) *oracle {
	o := &oracle{base: b}
	sample := (&toyCase{}).env()
	compile := func(c *rules.Cond) condition {
		if c == nil {
			return condition{}
		}
		return compileCondition(t, b, c.Text, sample)
	}
	conditions := make([]condition, len(b.Rules))
	for i, r := range b.Rules {
		conditions[i] = compile(r.When)
	}
	never := make([]condition, len(b.Constraints))
	for i, c := range b.Constraints {
		never[i] = compile(c.Never)
	}
	machine := &vm.VM{}
	var write func(c toyCase, q int)
	write = func(c toyCase, q int) {
		if q < questions {
			for i := range size(q) {
				c.is[q] = i
				write(c, q+1)
			}
			return
		}
		env := c.env()
		c.real = (c.applies(ice) || c.value(ice) == "thin") && (c.applies(bridge) || c.value(bridge) == "none")
		for _, n := range never {
			c.real = c.real && !n.holds(t, machine, env)
		}
		// The toy base lists its findings so that each reads only those before it.
		c.found = make([]int, len(b.Findings))
		for k, f := range b.Findings {
			for i, r := range b.Rules {
				if level, ok := r.Raises[f.ID]; ok && conditions[i].holds(t, machine, env) {
					c.found[k] = max(c.found[k], slices.Index(f.Scale, level))
				}
			}
			env[f.ID] = c.found[k]
		}
		c.fires = make([]bool, len(b.Rules))
		for i := range b.Rules {
			c.fires[i] = conditions[i].holds(t, machine, env)
			for v, set := range b.Rules[i].Gives {
				if c.fires[i] {
					c.gives[v] |= set
				}
			}
		}
		o.cases = append(o.cases, &c)
	}
	write(toyCase{}, 0)
	return o
}

// blank reports whether a question is blank, which includes being told what a blank means anyway.
func blank(q int, answers rules.Answers) bool {
	a, ok := answers[factIDs[q]]
	return !ok || q == ice && slices.Equal(a.Values, []string{usual})
}

func certainMud(answers rules.Answers) bool {
	return slices.Equal(answers["bank"].Values, []string{"mud"})
}

// box returns the cases, real or not, that have the answers. It leaves aside what a blank means.
func (o *oracle) box(answers rules.Answers) (cases []*toyCase) {
	mud := certainMud(answers)
next:
	for _, c := range o.cases {
		for q := range questions {
			if !blank(q, answers) && !c.agrees(q, answers[factIDs[q]], mud) {
				continue next
			}
		}
		cases = append(cases, c)
	}
	return cases
}

func filter(cases []*toyCase, keep func(*toyCase) bool) (kept []*toyCase) {
	for _, c := range cases {
		if keep(c) {
			kept = append(kept, c)
		}
	}
	return kept
}

func isReal(c *toyCase) bool { return c.real }

// asUsual says that the ice is as a blank answer means it, if it is blank.
func asUsual(answers rules.Answers) func(*toyCase) bool {
	return func(c *toyCase) bool {
		return !blank(ice, answers) || !c.applies(ice) || c.value(ice) == usual
	}
}

// refuses reports whether some rule rules the method out.
func (o *oracle) refuses(c *toyCase, m int) bool { return c.gives[rules.RuledOut].Has(m) }

// matters returns the condition questions that the refusals of a method depend on, among the cases of a box.
func (o *oracle) matters(box []*toyCase, m int) (set int) {
	type key struct {
		rest [questions]int
		q    int
	}
	seen := make(map[key]bool, len(box))
	for _, c := range box {
		for _, q := range []int{wind, watchman} {
			k := key{c.is, q}
			k.rest[q] = -1
			refused := o.refuses(c, m)
			if before, ok := seen[k]; ok && before != refused {
				set |= 1 << q
			}
			seen[k] = refused
		}
	}
	return set
}

// open groups cases by their answers to some questions, and says of each group whether the method is refused in none.
func (o *oracle) open(cases []*toyCase, m, by int) map[[questions]int]bool {
	groups := map[[questions]int]bool{}
	for _, c := range cases {
		key := c.only(by)
		before, ok := groups[key]
		groups[key] = (before || !ok) && !o.refuses(c, m)
	}
	return groups
}

func anyTrue(groups map[[questions]int]bool) bool {
	for open := range maps.Values(groups) {
		if open {
			return true
		}
	}
	return false
}

// verdict returns the verdict of a method over some cases.
func (o *oracle) verdict(cases []*toyCase, m, matters int) rules.Verdict {
	if !anyTrue(o.open(cases, m, matters)) {
		return rules.RuledOut
	}
	best := rules.Possible
	for i, r := range o.base.Rules {
		for v, set := range r.Gives {
			if v != rules.RuledOut && set.Has(m) && v > best && o.always(cases, i) {
				best = v
			}
		}
	}
	return best
}

func (o *oracle) always(cases []*toyCase, rule int) bool {
	return !slices.ContainsFunc(cases, func(c *toyCase) bool { return !c.fires[rule] })
}

func (o *oracle) sometimes(cases []*toyCase, rule int) bool {
	return slices.ContainsFunc(cases, func(c *toyCase) bool { return c.fires[rule] })
}

// careful reports whether the table that ranks may give the method a caution.
func (o *oracle) careful(cases []*toyCase, m int) bool {
	ranking := o.base.Tables[0]
	return slices.ContainsFunc(cases, func(c *toyCase) bool {
		return ranking.At(c.value(bank), o.base.Methods[m]) == "care"
	})
}

// first returns the first choice: the gentlest of the best class.
func (o *oracle) first(cases []*toyCase, matters []int) (best int, verdicts []rules.Verdict) {
	class := map[rules.Verdict]int{rules.Favoured: 0, rules.Possible: 2, rules.Discouraged: 4, rules.NoUse: 90, rules.RuledOut: 90}
	verdicts = make([]rules.Verdict, len(o.base.Methods))
	bestPlace := 1000
	for m, method := range o.base.Methods {
		v := o.verdict(cases, m, matters[m])
		verdicts[m] = v
		place := class[v]
		switch {
		case !v.Offered():
		case method.LastResort:
			place = 80
		case o.careful(cases, m):
			place++
		}
		if place < bestPlace {
			best, bestPlace = m, place
		}
	}
	return best, verdicts
}

// lifted reports whether answers to some of the blanks could lift the refusal of a method, and a case with such answers.
func (o *oracle) lifted(answers rules.Answers, real []*toyCase, m, matters, blanks int) (witness *toyCase) {
	cases := real
	if blanks>>ice&1 == 0 {
		cases = filter(real, asUsual(answers))
	}
	groups := o.open(cases, m, matters|blanks)
	for _, c := range cases {
		if groups[c.only(matters|blanks)] {
			return c
		}
	}
	return nil
}

// fewest returns the size of the smallest set of blanks that could lift the refusal, or -1.
func (o *oracle) fewest(answers rules.Answers, real []*toyCase, m, matters int) int {
	best := -1
	for set := range 1 << questions {
		if set&conditionSet != 0 {
			continue
		}
		n := bits.OnesCount(uint(set))
		if (best < 0 || n < best) && o.lifted(answers, real, m, matters, set) != nil {
			best = n
		}
	}
	return best
}
