package audit_test

import (
	"fmt"
	"math/big"
	"slices"
	"strings"
	"testing"

	"patchfirst/rules"
	"patchfirst/rules/audit"
	"patchfirst/rules/diagram"
)

// everyCase lists every complete case of the test bases, those that cannot occur too: a list stands in both orders, of
// which the diagrams know only the outer end.
func everyCase() (all []rules.Answers) {
	for _, size := range []string{"small", "big", "huge"} {
		for _, wet := range []string{"no", "yes"} {
			for _, weight := range []float64{5, 10, 30, 50, 70} {
				for _, on := range [][]string{{}, {"red"}, {"blue"}, {"gold"}, {"red", "blue"}, {"blue", "red"}, {"red", "gold"}, {"gold", "red"}, {"blue", "gold"}, {"gold", "blue"}} {
					all = append(all, rules.Answers{"size": {Values: []string{size}}, "wet": {Values: []string{wet}}, "weight": {Lo: weight, Hi: weight}, "on": {Values: on}})
				}
			}
		}
	}
	return all
}

// cell names what the diagrams of some bases tell apart of a case.
func cell(a rules.Answers, bases ...*rules.Base) string {
	text := fmt.Sprint(a["size"].Values, a["wet"].Values)
	for _, b := range bases {
		text += fmt.Sprint(" ", b.Fact("weight").Cell(a["weight"].Lo))
	}
	on := slices.Clone(a["on"].Values)
	outer := "none"
	if len(on) > 0 {
		outer = "another"
		for _, b := range bases {
			if on[0] == "red" && namesOuter(b) {
				outer = "red"
			}
		}
	}
	slices.Sort(on)
	return text + fmt.Sprint(on, outer)
}

// namesOuter reports whether a condition of the base speaks of the outer end being red.
func namesOuter(b *rules.Base) (found bool) {
	see := func(c *rules.Cond) {
		c.Walk(func(t *rules.Test) { found = found || t.Fact != nil && t.Fact.ID == "outer" })
	}
	for _, r := range b.Rules {
		see(r.When)
	}
	for _, c := range b.Constraints {
		see(c.Never)
	}
	for _, p := range b.Promises {
		see(p.When)
	}
	return found
}

// distinct decides the cases that can occur by all of some bases, one for each cell.
func distinct(t *testing.T, bases ...*rules.Base) (cases []rules.Answers, decided [][]*rules.Decision) {
	seen := map[string]bool{}
next:
	for _, a := range everyCase() {
		if key := cell(a, bases...); seen[key] {
			continue
		} else {
			seen[key] = true
		}
		var ds []*rules.Decision
		for _, b := range bases {
			d, contradiction, err := b.Decide(a)
			if err != nil {
				t.Fatal(err)
			}
			if contradiction != nil {
				continue next
			}
			ds = append(ds, d)
		}
		cases, decided = append(cases, a), append(decided, ds)
	}
	return cases, decided
}

// holds evaluates a condition on a complete case and its decision, by the definitions.
func holds(t *rules.Test, a rules.Answers, d *rules.Decision) bool {
	compare := func(x, y float64) bool {
		return map[string]bool{"<": x < y, "<=": x <= y, ">": x > y, ">=": x >= y, "==": x == y, "!=": x != y}[t.Cmp]
	}
	switch t.Op {
	case rules.OpAnd:
		return !slices.ContainsFunc(t.Args, func(arg *rules.Test) bool { return !holds(arg, a, d) })
	case rules.OpOr:
		return slices.ContainsFunc(t.Args, func(arg *rules.Test) bool { return holds(arg, a, d) })
	case rules.OpNot:
		return !holds(t.Args[0], a, d)
	case rules.OpHas:
		return slices.Contains(a["on"].Values, t.Values[0])
	case rules.OpCmp:
		return compare(a["weight"].Lo, t.Number)
	case rules.OpLevel:
		return compare(float64(d.Findings[0].Max), float64(t.Level))
	}
	value := "none"
	if t.Fact.ID != "outer" {
		value = a[t.Fact.ID].Values[0]
	} else if on := a["on"].Values; len(on) > 0 {
		value = on[0]
	}
	return slices.Contains(t.Values, value) != t.Negated
}

func breaks(p *rules.Promise, b *rules.Base, d *rules.Decision) bool {
	for _, o := range d.Methods {
		offered := o.Verdict != rules.RuledOut
		switch {
		case p.NeverOffered.Has(o.Method.Rank) && offered,
			p.NeverFirst.Has(o.Method.Rank) && o == d.First,
			p.AlwaysWith.Has(o.Method.Rank) && offered && !attached(b, o, p, d):
			return true
		}
	}
	return false
}

// attached looks at the rules that fire, since notes of a method that is of no use are not shown.
func attached(b *rules.Base, o *rules.Outcome, p *rules.Promise, d *rules.Decision) bool {
	for _, r := range b.Rules {
		if r.With.Has(o.Method.Rank) && slices.Contains(r.Attach[p.Kind], p.Note) && d.Chain(r).Sure {
			return true
		}
	}
	return false
}

// On a small base every promise is broken in exactly as many cases as there are when each is decided, the case that is given
// breaks it, and the example with few answers does so too when it is decided, in all or some of the cases that it leaves.
func TestPromisesAgainstEveryCase(t *testing.T) {
	examples(t, 40, func(t *testing.T, seed int) {
		b := read(t, bases.Example(seed))
		proofs, err := audit.Proofs(b, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		cases, decided := distinct(t, b)
		for _, p := range proofs {
			speaks, broken := 0, 0
			for i, a := range cases {
				if holds(p.Promise.When.Root, a, decided[i][0]) {
					speaks++
					if breaks(p.Promise, b, decided[i][0]) {
						broken++
					}
				}
			}
			if p.Cases.Cmp(big.NewInt(int64(speaks))) != 0 {
				t.Fatalf("%s speaks of %v cases, decided one by one it is %d", p.Promise.ID, p.Cases, speaks)
			}
			if (p.Outcome == diagram.Found) != (broken > 0) || broken > 0 && p.Broken.Cmp(big.NewInt(int64(broken))) != 0 {
				t.Fatalf("%s: %v, broken by %v cases, decided one by one it is %d", p, p.Outcome, p.Broken, broken)
			}
			if p.Outcome != diagram.Found {
				continue
			}
			a := b.Answers(p.Values)
			d, contradiction, err := b.Decide(a)
			if err != nil || contradiction != nil {
				t.Fatal(err, contradiction)
			}
			if !holds(p.Promise.When.Root, a, d) || !breaks(p.Promise, b, d) {
				t.Fatalf("%s is said to be broken by %v, and is not", p.Promise.ID, a)
			}
			if p.Example == nil {
				t.Fatalf("%s: no example, and %v would be one", p, a)
			}
			few := pasted(t, b, p.Example)
			if d, contradiction, err = b.Decide(few); err != nil || contradiction != nil {
				t.Fatal(err, contradiction)
			}
			some := false
			for i, c := range cases {
				if leaves(b, few, c) {
					some = some || breaks(p.Promise, b, decided[i][0])
					if !holds(p.Promise.When.Root, c, decided[i][0]) {
						t.Fatalf("%s leaves %v, of which it does not speak", p, c)
					}
				}
			}
			if o := d.Methods[p.Method.Rank]; !some || p.Promise.NeverFirst != 0 && o != d.First || p.Promise.NeverFirst == 0 && o.Verdict == rules.RuledOut {
				t.Fatalf("%s: %s is %s", p, o.Method.ID, o.Verdict)
			}
		}
	})
}

// outcome writes all that a decision shows that audits compare.
func outcome(d *rules.Decision) string {
	var b strings.Builder
	for _, o := range d.Methods {
		fmt.Fprint(&b, o.Method.ID, o.Verdict)
		if o.Verdict != rules.RuledOut || o.Method.LastResort {
			for _, n := range o.Notes {
				fmt.Fprint(&b, " ", n.Note.ID)
			}
		}
	}
	for _, l := range d.Findings {
		fmt.Fprint(&b, l.Finding.ID, l.Max)
	}
	return b.String()
}

// A fault is equivalent exactly if no complete case shows it, and a rule is idle exactly if no case shows that it is gone.
func TestMutantsAgainstEveryCase(t *testing.T) {
	examples(t, 8, func(t *testing.T, seed int) {
		b := read(t, bases.Example(seed))
		m, err := audit.Mutate(b, nil, nil, "", nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		before := map[string]string{}
		cases, decided := distinct(t, b)
		for i, a := range cases {
			before[cell(a, b)] = outcome(decided[i][0])
		}
		s, err := b.Compile(nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		idle := map[string]bool{}
		for _, a := range audit.Anomalies(s) {
			if slices.Contains([]audit.Kind{audit.Redundant, audit.Subsumed, audit.NeverFires, audit.NeverDecisive}, a.Kind) {
				idle[a.ID] = true
			}
		}
		for _, tried := range m.Tried {
			rule := b.Rules[tried.Place]
			b.Rules[tried.Place] = tried.Twin
			shows := false
			for _, a := range cases {
				d, _, err := b.Decide(a)
				if err != nil {
					t.Fatal(err)
				}
				shows = shows || outcome(d) != before[cell(a, b)]
			}
			b.Rules[tried.Place] = rule
			if (tried.Fate == audit.Equivalent) == shows {
				t.Fatalf("%s is %s, and decided one by one it shows: %v", tried.Mutant, tried.Fate, shows)
			}
			if tried.Fault == audit.Deleted && idle[rule.ID] == shows {
				t.Fatalf("rule %s is said to be idle: %v, and without it some case comes out otherwise: %v", rule.ID, idle[rule.ID], shows)
			}
		}
	})
}

// When every case is decided, just as many have no favoured method as are counted, the share lies in the interval of the
// drawn ones, and just the answers that are named have none in any case.
func TestGapsAgainstEveryCase(t *testing.T) {
	examples(t, 12, func(t *testing.T, seed int) {
		b := read(t, bases.Example(seed))
		s, err := b.Compile(nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		gap := audit.Gaps(s, s.Counter())
		cases, decided := distinct(t, b)
		none := 0
		occurs, some := map[string]bool{}, map[string]bool{} // by size
		for i, ds := range decided {
			size := cases[i]["size"].Values[0]
			occurs[size] = true
			if slices.ContainsFunc(ds[0].Methods, func(o *rules.Outcome) bool { return o.Verdict == rules.Favoured }) {
				some[size] = true
			} else {
				none++
			}
		}
		if counted, err := audit.CountGaps(b, 0); err != nil || counted.Cmp(big.NewInt(int64(none))) != 0 {
			t.Errorf("%v cases without a favoured method are counted (%v), decided one by one it is %d", counted, err, none)
		}
		want := rules.Requirement{Fact: "size", Values: slices.DeleteFunc([]string{"small", "big", "huge"}, func(v string) bool { return !occurs[v] || some[v] })}
		for _, e := range gap.Every {
			if strings.HasPrefix(e, "size ") && e != b.InWords(want) {
				t.Errorf("in every case where %s, and decided one by one %s", e, b.InWords(want))
			}
		}
		if 0 < len(want.Values) && len(want.Values) < 3 && !slices.Contains(gap.Every, b.InWords(want)) {
			t.Errorf("%v does not name %s", gap.Every, b.InWords(want))
		}
		const slack = 0.01 // the interval leaves out one case in twenty
		share := float64(none) / float64(max(1, len(cases)))
		if len(cases) > 0 && (share < gap.Share.Lowest-slack || share > gap.Share.Most+slack) {
			t.Errorf("%d of %d cases, and %s", none, len(cases), gap)
		}
	})
}
