package rules_test

import (
	"maps"
	"math/bits"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"patchfirst/rules"
)

func drawAnswers(t *rapid.T, known int) rules.Answers {
	answers := rules.Answers{}
	for q := range questions {
		// How often a question is answered at all varies, so that nearly empty and nearly full cases both occur.
		if rapid.IntRange(0, 9).Draw(t, factIDs[q]+"-known") >= known {
			continue
		}
		answers[factIDs[q]] = drawAnswer(t, q)
	}
	return answers
}

func drawAnswer(t *rapid.T, q int) rules.Answer {
	id := factIDs[q]
	switch q {
	case width:
		places := []float64{0, 5, 9.5, 10, 20, 30, 30.5, 50}
		lo := rapid.IntRange(0, len(places)-1).Draw(t, id+"-lo")
		hi := lo
		if rapid.Bool().Draw(t, id+"-wide") {
			hi = rapid.IntRange(lo, len(places)-1).Draw(t, id+"-hi")
		}
		return rules.Answer{Lo: places[lo], Hi: places[hi]}
	case load:
		a := rules.Answer{Values: slices.Clone(rapid.SampledFrom(loads).Draw(t, id).list())}
		if len(a.Values) > 0 && rapid.IntRange(0, 3).Draw(t, id+"-partly") == 0 {
			a.Values = a.Values[:1]
		}
		a.MoreAfter = rapid.IntRange(0, 3).Draw(t, id+"-after") == 0
		a.MoreBefore = len(a.Values) > 0 && rapid.IntRange(0, 3).Draw(t, id+"-before") == 0
		return a
	}
	values := rapid.Permutation(toyValues[q]).Draw(t, id)
	n := 1
	if rapid.IntRange(0, 3).Draw(t, id+"-set") == 0 {
		n = rapid.IntRange(1, len(values)).Draw(t, id+"-size")
	}
	return rules.Answer{Values: values[:n]}
}

// view is a partial case as the oracle sees it.
type view struct {
	answers rules.Answers
	box     []*toyCase // all with the answers
	real    []*toyCase // of these, what can occur
	cases   []*toyCase // of these, what a blank answer about the ice means
	matters []int      // by method: the condition questions that its refusals depend on
}

func (o *oracle) look(answers rules.Answers) *view {
	v := &view{answers: answers, box: o.box(answers)}
	v.real = filter(v.box, isReal)
	v.cases = filter(v.real, asUsual(answers))
	for m := range o.base.Methods {
		v.matters = append(v.matters, o.matters(v.box, m))
	}
	return v
}

func ids[T any](list []T, id func(T) string) []string {
	var all []string
	for _, x := range list {
		all = append(all, id(x))
	}
	slices.Sort(all)
	return slices.Compact(all)
}

func ruleID(r *rules.Rule) string { return r.ID }

func TestDecideAgreesWithTheDefinitions(t *testing.T) {
	b := loadToy(t, nil)
	o := newOracle(t, b)
	rapid.Check(t, func(t *rapid.T) {
		answers := drawAnswers(t, rapid.IntRange(1, 9).Draw(t, "known"))
		t.Logf("answers %v", answers)
		v := o.look(answers)
		d, contradiction, err := b.Decide(answers)
		switch {
		case err != nil:
			t.Fatal(err)
		case len(v.real) == 0:
			if contradiction == nil {
				t.Fatal("no case has these answers, and they are no contradiction")
			}
			o.checkContradiction(t, v, contradiction)
			return
		case contradiction != nil:
			t.Fatalf("%v, and yet a case has these answers: %s", contradiction, v.real[0])
		}
		first, verdicts := o.first(v.cases, v.matters)
		for m, out := range d.Methods {
			id := out.Method.ID
			if out.Verdict != verdicts[m] {
				t.Fatalf("%s is %s, by the definitions %s", id, out.Verdict, verdicts[m])
			}
			if care := o.careful(v.cases, m); out.Care != care {
				t.Fatalf("%s needs care: %v, by the definitions %v", id, out.Care, care)
			}
			o.checkReasons(t, v, out)
			if out.Verdict == rules.RuledOut {
				o.checkUntil(t, v, out)
			} else {
				o.checkConditions(t, v, out)
			}
			if out.Verdict.Offered() {
				o.checkNotes(t, v, out)
			}
		}
		if d.First.Method.Rank != first {
			t.Fatalf("the first choice is %s, by the definitions %s", d.First.Method.ID, b.Methods[first].ID)
		}
		o.checkProvisional(t, v, d, first)
		for k, l := range d.Findings {
			lo, hi := 99, 0
			for _, c := range v.cases {
				lo, hi = min(lo, c.found[k]), max(hi, c.found[k])
			}
			if l.Min != lo || l.Max != hi {
				t.Fatalf("%s is %d to %d, by the definitions %d to %d", l.Finding.ID, l.Min, l.Max, lo, hi)
			}
		}
	})
}

// checkContradiction checks that what is named cannot stand together, and that nothing in it is idle.
func (o *oracle) checkContradiction(t *rapid.T, v *view, c *rules.Contradiction) {
	if len(c.Facts) == 0 || c.Error() == "" {
		t.Fatal("the contradiction names no question")
	}
	stands := func(facts []string, constraints []*rules.Constraint) *toyCase {
		fewer := rules.Answers{}
		for _, id := range facts {
			if a, ok := v.answers[id]; ok {
				fewer[id] = a
			}
		}
		for _, c := range o.box(fewer) {
			ok := true
			for i, k := range o.base.Constraints {
				if slices.Contains(constraints, k) {
					ok = ok && !o.breaks(c, i)
				}
			}
			if ok && (!slices.Contains(facts, "ice") || c.applies(ice) || c.value(ice) == "thin") && (!slices.Contains(facts, "bridge_state") || c.applies(bridge) || c.value(bridge) == "none") {
				return c
			}
		}
		return nil
	}
	if c := stands(c.Facts, c.Constraints); c != nil {
		t.Fatalf("%s has all that is named", c)
	}
	for i := range c.Constraints {
		if stands(c.Facts, slices.Concat(c.Constraints[:i], c.Constraints[i+1:])) == nil {
			t.Fatalf("the constraint %s is named and not needed", c.Constraints[i].ID)
		}
	}
}

// breaks restates the three constraints of the toy base.
func (o *oracle) breaks(c *toyCase, constraint int) bool {
	switch o.base.Constraints[constraint].ID {
	case "no-whole-bridge-so-wide":
		return c.is[width] == 2 && c.value(bridge) == "whole"
	case "nobody-watches-in-a-gale":
		return c.value(wind) == "gale" && c.value(watchman) == "yes"
	}
	return c.load().first == "goat" && slices.Contains(c.load().set, "glass")
}

func (o *oracle) checkReasons(t *rapid.T, v *view, out *rules.Outcome) {
	var reasons, changes []string
	for i, r := range o.base.Rules {
		for verdict, set := range r.Gives {
			if !set.Has(out.Method.Rank) || !o.sometimes(v.cases, i) {
				continue
			}
			always := o.always(v.cases, i)
			switch {
			case verdict == out.Verdict && (always || verdict == rules.RuledOut):
				reasons = append(reasons, r.ID)
			case !always:
				changes = append(changes, r.ID)
			}
		}
	}
	slices.Sort(reasons)
	slices.Sort(changes)
	if got := ids(out.Reasons, ruleID); !slices.Equal(got, reasons) {
		t.Fatalf("%s is %s by %v, by the definitions by %v", out.Method.ID, out.Verdict, got, reasons)
	}
	if got := ids(out.Changes, ruleID); !slices.Equal(got, changes) {
		t.Fatalf("%s could change by %v, by the definitions by %v", out.Method.ID, got, changes)
	}
}

func (o *oracle) checkUntil(t *rapid.T, v *view, out *rules.Outcome) {
	m := out.Method.Rank
	fewest := o.fewest(v.answers, v.real, m, v.matters[m])
	if fewest < 0 {
		if len(out.Until) > 0 {
			t.Fatalf("%s is refused in every case, and yet only until %v", out.Method.ID, out.Until)
		}
		return
	}
	if len(out.Until) != fewest {
		t.Fatalf("%s is refused until %v, and %d answers are enough", out.Method.ID, out.Until, fewest)
	}
	set := 0
	for _, id := range out.Until {
		q := slices.Index(factIDs[:], id)
		if q < 0 || conditionSet>>q&1 == 1 {
			t.Fatalf("%s is refused until %q, which is no blank that refuses", out.Method.ID, id)
		}
		set |= 1 << q
	}
	witness := o.lifted(v.answers, v.real, m, v.matters[m], set)
	if witness == nil {
		t.Fatalf("no answers to %v lift the refusal of %s", out.Until, out.Method.ID)
	}
	// And so says Decide itself when it is given these answers, unless the base does not take a list as complete here.
	fuller := maps.Clone(v.answers)
	maps.Copy(fuller, witness.answersOf(set))
	if set>>load&1 == 1 && certainMud(v.answers) {
		return
	}
	d, contradiction, err := o.base.Decide(fuller)
	if err != nil || contradiction != nil {
		t.Fatalf("deciding %v: %v %v", fuller, contradiction, err)
	}
	if d.Methods[m].Verdict == rules.RuledOut {
		t.Fatalf("%s is refused until %v, and with the answers of %s it still is", out.Method.ID, out.Until, witness)
	}
}

func (o *oracle) checkConditions(t *rapid.T, v *view, out *rules.Outcome) {
	m := out.Method.Rank
	groups := o.open(v.cases, m, v.matters[m])
	closed := false
	for open := range maps.Values(groups) {
		closed = closed || !open
	}
	if len(out.Until) > 0 {
		t.Fatalf("%s is offered, and yet refused until %v", out.Method.ID, out.Until)
	}
	if !closed {
		if len(out.Conditions) > 0 {
			t.Fatalf("%s is open whatever the conditions, and yet has %v", out.Method.ID, out.Conditions)
		}
		return
	}
	if len(out.Conditions) == 0 {
		t.Fatalf("%s is open only under conditions, and has none", out.Method.ID)
	}
	// Boxes of wind and watchman as sets; a box may hold what cannot occur.
	largest, got := 0.0, 1.0
	inside := func(winds, watch int) bool {
		met := false
		for key, open := range groups {
			if (key[wind] < 0 || winds>>key[wind]&1 == 1) && (key[watchman] < 0 || watch>>key[watchman]&1 == 1) {
				if !open {
					return false
				}
				met = true
			}
		}
		return met
	}
	for winds := 1; winds < 8; winds++ {
		for watch := 1; watch < 4; watch++ {
			if inside(winds, watch) {
				largest = max(largest, float64(bits.OnesCount(uint(winds)))/3*float64(bits.OnesCount(uint(watch)))/2)
			}
		}
	}
	winds, watch := 7, 3
	for _, r := range out.Conditions {
		set := 0
		for _, value := range r.Values {
			set |= 1 << slices.Index(toyValues[slices.Index(factIDs[:], r.Fact)], value)
		}
		switch r.Fact {
		case "wind":
			winds = set
			got *= float64(bits.OnesCount(uint(set))) / 3
		case "watchman":
			watch = set
			got *= float64(bits.OnesCount(uint(set))) / 2
		default:
			t.Fatalf("%s is offered under a condition on %s, which nobody on site can meet", out.Method.ID, r.Fact)
		}
	}
	if !inside(winds, watch) {
		t.Fatalf("%s is not open everywhere under %v", out.Method.ID, out.Conditions)
	}
	const rounding = 1e-9
	if got < largest-rounding {
		t.Fatalf("%s is offered under %v, a share of %g, and %g is possible", out.Method.ID, out.Conditions, got, largest)
	}
}

func (o *oracle) checkNotes(t *rapid.T, v *view, out *rules.Outcome) {
	m := out.Method.Rank
	offered := filter(v.cases, func(c *toyCase) bool { return !o.refuses(c, m) })
	type key struct {
		kind rules.NoteKind
		id   string
	}
	asked := map[key]int{}  // in how many cases
	alone := map[key]bool{} // one rule asks for it in all cases
	for _, c := range offered {
		seen := map[key]bool{}
		for i, r := range o.base.Rules {
			if !c.fires[i] || !r.With.Has(m) {
				continue
			}
			for kind, notes := range r.Attach {
				for _, id := range notes {
					seen[key{kind, id}] = true
				}
			}
		}
		for k := range seen {
			asked[k]++
		}
	}
	for i, r := range o.base.Rules {
		for kind, notes := range r.Attach {
			for _, id := range notes {
				if r.With.Has(m) && o.always(offered, i) {
					alone[key{kind, id}] = true
				}
			}
		}
	}
	got := map[key]rules.Attached{}
	for _, a := range out.Notes {
		got[key{a.Note.Kind, a.Note.ID}] = a
	}
	for k, n := range asked {
		a, ok := got[k]
		switch {
		case !ok:
			t.Fatalf("%s lacks the %s %s, which %d of %d cases ask for", out.Method.ID, k.kind, k.id, n, len(offered))
		case a.Sure && n < len(offered):
			t.Fatalf("%s is sure of the %s %s, which only %d of %d cases ask for", out.Method.ID, k.kind, k.id, n, len(offered))
		case alone[k] && !a.Sure:
			t.Fatalf("%s is not sure of the %s %s, which one rule asks for in every case", out.Method.ID, k.kind, k.id)
		}
	}
	for k, a := range got {
		if asked[k] == 0 {
			t.Fatalf("%s has the %s %s, which no case asks for", out.Method.ID, k.kind, k.id)
		}
		rule := slices.Index(o.base.Rules, a.Rule)
		if !a.Rule.With.Has(m) || !slices.Contains(a.Rule.Attach[k.kind], k.id) || !o.sometimes(v.cases, rule) {
			t.Fatalf("the %s %s of %s is laid to the rule %s", k.kind, k.id, out.Method.ID, a.Rule.ID)
		}
		if a.Sure {
			continue
		}
		// Rules that speak only where the method is refused do not count.
		var asking []int
		for i, r := range o.base.Rules {
			if r.With.Has(m) && slices.Contains(r.Attach[k.kind], k.id) && (out.Method.LastResort || o.sometimes(offered, i)) {
				asking = append(asking, i)
			}
		}
		asksForIt := func(c *toyCase) bool { return slices.ContainsFunc(asking, func(i int) bool { return c.fires[i] }) }
		under, rest := 0, 0
		for _, c := range v.cases {
			meets := c.meets(t, a.If)
			if meets {
				under++
			}
			switch is := asksForIt(c); {
			case meets && !is:
				t.Fatalf("%s has the %s %s if %v, and the case %v, which is so, does not ask for it", out.Method.ID, k.kind, k.id, a.If, c)
			case is && !meets:
				rest++
			}
		}
		if under == 0 || a.Else != (rest > 0) {
			t.Fatalf("%s has the %s %s if %v, which %d cases meet, elsewhere too: %v; in truth in %d others", out.Method.ID, k.kind, k.id, a.If, under, a.Else, rest)
		}
	}
}

// checkProvisional answers every open question with every single answer, lists with up to two values in any order. Others
// could change the first choice only by what they imply of the open ones.
func (o *oracle) checkProvisional(t *rapid.T, v *view, d *rules.Decision, first int) {
	var want []string
	for q := range questions {
		if a, ok := v.answers[factIDs[q]]; ok && !blank(q, v.answers) && len(a.Values) == 1 && q != load || !slices.Contains(d.Open, factIDs[q]) {
			continue
		}
		free := v.cases
		if q == ice {
			free = v.real
		}
		tried := map[string][]*toyCase{}
		for _, c := range free {
			answer := ""
			if q == load {
				answer = strings.Join(c.load().set, "+")
			} else {
				answer = c.value(q)
			}
			tried[answer] = append(tried[answer], c)
		}
		for _, cases := range tried {
			if changed, _ := o.first(cases, v.matters); changed != first {
				want = append(want, factIDs[q])
				break
			}
		}
	}
	got := slices.Sorted(slices.Values(d.Provisional))
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Fatalf("the first choice %s hangs on %v, by the definitions on %v", d.First.Method.ID, got, want)
	}
}
