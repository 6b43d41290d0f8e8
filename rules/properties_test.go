package rules_test

import (
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// decide is Decide for answers that some case has.
func decide(t interface {
	Helper()
	Fatalf(string, ...any)
}, b *rules.Base, answers rules.Answers) *rules.Decision {
	t.Helper()
	d, contradiction, err := b.Decide(answers)
	if err != nil || contradiction != nil {
		t.Fatalf("deciding %v: %v %v", answers, contradiction, err)
	}
	return d
}

// possibleAnswers draws answers that some case has, with the cases. A list that is answered while the bank is blank is
// left out, since on mud the toy base would no longer take it as complete, and fuller answers would allow more.
func (o *oracle) possibleAnswers(t *rapid.T) *view {
	answers := drawAnswers(t, rapid.IntRange(1, 8).Draw(t, "known"))
	if !certainMud(answers) && len(answers["bank"].Values) != 1 {
		delete(answers, "load")
	}
	v := o.look(answers)
	if len(v.cases) == 0 {
		t.Skip("no such case")
	}
	return v
}

// status says of each rule whether it must fire, may, or cannot.
func status(t *rapid.T, b *rules.Base, answers rules.Answers) []string {
	s, err := b.Compile(answers, 0)
	if err != nil {
		t.Fatal(err)
	}
	all := make([]string, len(b.Rules))
	for i := range b.Rules {
		n := s.Rule(i)
		switch valid := s.Valid(rules.Defaults, n); {
		case s.Store.And(valid, n) == diagram.False:
			all[i] = "never"
		case s.Store.Implies(valid, n):
			all[i] = "always"
		default:
			all[i] = "open"
		}
	}
	return all
}

func TestMoreAnswersNarrow(t *testing.T) {
	b := loadToy(t, nil)
	o := newOracle(t, b)
	rapid.Check(t, func(t *rapid.T) {
		v := o.possibleAnswers(t)
		before := status(t, b, v.answers)
		// Further answers of a case that is possible; the ice stays blank, and so what that means.
		c := rapid.SampledFrom(v.cases).Draw(t, "case")
		fuller := maps.Clone(v.answers)
		for q := range questions {
			if _, ok := v.answers[factIDs[q]]; !ok && q != ice && rapid.Bool().Draw(t, factIDs[q]+"-more") {
				maps.Copy(fuller, c.answersOf(1<<q))
			}
		}
		after := status(t, b, fuller)
		for i, r := range b.Rules {
			if before[i] != "open" && after[i] != before[i] {
				t.Fatalf("%s fires %s with %v and %s with %v", r.ID, before[i], v.answers, after[i], fuller)
			}
		}
	})
}

func TestAnOfferHoldsInEveryFullerCaseThatMeetsItsConditions(t *testing.T) {
	b := loadToy(t, nil)
	o := newOracle(t, b)
	rapid.Check(t, func(t *rapid.T) {
		v := o.possibleAnswers(t)
		d := decide(t, b, v.answers)
		out := rapid.SampledFrom(d.Methods).Draw(t, "method")
		if out.Verdict == rules.RuledOut {
			t.Skip("not offered")
		}
		meeting := filter(v.cases, func(c *toyCase) bool { return c.meets(t, out.Conditions) })
		if len(meeting) == 0 {
			t.Fatalf("no case meets %v", out.Conditions)
		}
		c := rapid.SampledFrom(meeting).Draw(t, "case")
		fuller := maps.Clone(v.answers)
		for q := range questions {
			named := slices.ContainsFunc(out.Conditions, func(r rules.Requirement) bool { return r.Fact == factIDs[q] })
			// The ice stays blank, and so what that means.
			if named || q != ice && rapid.Bool().Draw(t, factIDs[q]+"-more") {
				maps.Copy(fuller, c.answersOf(1<<q))
			}
		}
		if now := decide(t, b, fuller).Methods[out.Method.Rank]; now.Verdict == rules.RuledOut {
			t.Fatalf("%s is offered under %v, and ruled out with %v: %s", out.Method.ID, out.Conditions, fuller, now.Why())
		}
	})
}

func TestABlankKeepsEveryNote(t *testing.T) {
	b := loadToy(t, nil)
	o := newOracle(t, b)
	rapid.Check(t, func(t *rapid.T) {
		v := o.possibleAnswers(t)
		d := decide(t, b, v.answers)
		c := rapid.SampledFrom(v.cases).Draw(t, "case")
		full := decide(t, b, c.answersOf(1<<questions-1))
		for m, out := range d.Methods {
			if !out.Verdict.Offered() || o.refuses(c, m) {
				continue
			}
			for _, a := range full.Methods[m].Notes {
				if a.Sure && !out.Has(a.Note.Kind, a.Note.ID) {
					t.Fatalf("%s has the %s %s in the case %s, and lacks it while that is not known", out.Method.ID, a.Note.Kind, a.Note.ID, c)
				}
			}
		}
	})
}

func TestARefusalInEveryCaseIsFirm(t *testing.T) {
	b := loadToy(t, nil)
	o := newOracle(t, b)
	rapid.Check(t, func(t *rapid.T) {
		v := o.possibleAnswers(t)
		for m, out := range decide(t, b, v.answers).Methods {
			always := !slices.ContainsFunc(v.real, func(c *toyCase) bool { return !o.refuses(c, m) })
			if always && (out.Verdict != rules.RuledOut || len(out.Until) > 0) {
				t.Fatalf("%s is refused in every case, and yet %s until %v", out.Method.ID, out.Verdict, out.Until)
			}
		}
	})
}

func TestWhatIsOpenHasTwoAnswers(t *testing.T) {
	b := loadToy(t, nil)
	o := newOracle(t, b)
	rapid.Check(t, func(t *rapid.T) {
		v := o.possibleAnswers(t)
		d := decide(t, b, v.answers)
		open, contradiction, err := b.Open(v.answers)
		if err != nil || contradiction != nil || !slices.Equal(open, d.Open) {
			t.Fatalf("Open says %v, Decide %v (%v %v)", open, d.Open, contradiction, err)
		}
		for _, id := range open {
			q := slices.Index(factIDs[:], id)
			if q < 0 || len(toyAnswers(v.real, q)) < 2 {
				t.Fatalf("%s is open, and has one answer only, with %v", id, v.answers)
			}
		}
	})
}

func TestWhatLiftsOrChangesIsOpen(t *testing.T) {
	b := loadToy(t, nil)
	o := newOracle(t, b)
	rapid.Check(t, func(t *rapid.T) {
		v := o.possibleAnswers(t)
		d := decide(t, b, v.answers)
		for _, id := range d.Provisional {
			if !slices.Contains(d.Open, id) {
				t.Fatalf("%s changes the first choice, and only %v is open, with %v", id, d.Open, v.answers)
			}
		}
		for _, out := range d.Methods {
			for _, id := range out.Until {
				if !slices.Contains(d.Open, id) {
					t.Fatalf("%s lifts the refusal of %s, and only %v is open, with %v", id, out.Method.ID, d.Open, v.answers)
				}
			}
		}
	})
}

func toyAnswers(cases []*toyCase, q int) map[int]bool {
	answers := map[int]bool{}
	for _, c := range cases {
		answers[c.is[q]] = true
	}
	return answers
}

// shuffled returns the toy base with its rules in another order and spread over other files. The order of methods, notes
// and questions has a meaning, and stays.
func shuffled(seed uint64) map[string]string {
	r := rand.New(rand.NewPCG(seed, 7))
	files := map[string]string{}
	var entries []string
	for name, text := range toyFiles {
		if strings.HasPrefix(name, "rules-") || name == "truths.yaml" {
			files[name] = ""
			for _, e := range strings.Split("\n"+text, "\n- ")[1:] {
				entries = append(entries, "- "+strings.TrimSpace(e)+"\n")
			}
		}
	}
	slices.Sort(entries)
	r.Shuffle(len(entries), func(i, j int) { entries[i], entries[j] = entries[j], entries[i] })
	for i, e := range entries {
		files[fmt.Sprintf("other-%d.yaml", i%5)] += e
	}
	return files
}

func is(values ...string) rules.Answer { return rules.Answer{Values: values} }

func at(n float64) rules.Answer { return rules.Answer{Lo: n, Hi: n} }

func TestContradictionNamesTheConstraint(t *testing.T) {
	b := loadToy(t, nil)
	for _, test := range []struct {
		name        string
		answers     rules.Answers
		constraints []string
		facts       []string
	}{
		{"two answers", rules.Answers{"width": at(40), "bridge_state": is("whole"), "wind": is("calm")}, []string{"no-whole-bridge-so-wide"}, []string{"bridge_state", "width"}},
		{"a range and a set", rules.Answers{"width": {Lo: 31, Hi: 50}, "bridge_state": is("whole"), "bank": is("rock", "sand")}, []string{"no-whole-bridge-so-wide"}, []string{"bridge_state", "width"}},
		{"a list by its end", rules.Answers{"load": is("goat", "glass")}, []string{"goat-never-before-glass"}, []string{"load"}},
		{"where it does not apply", rules.Answers{"bank": is("mud"), "bridge_state": is("cracked")}, nil, []string{"bank", "bridge_state"}},
		{"where it does not apply, with a set", rules.Answers{"bank": is("rock"), "ice": is("thick", "not_tested")}, nil, []string{"bank", "ice"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, c, err := b.Decide(test.answers)
			if err != nil || c == nil {
				t.Fatalf("no contradiction (%v)", err)
			}
			got := ids(c.Constraints, func(c *rules.Constraint) string { return c.ID })
			if !slices.Equal(got, test.constraints) || !slices.Equal(c.Facts, test.facts) {
				t.Errorf("it names %v and %v, not %v and %v", got, c.Facts, test.constraints, test.facts)
			}
			for _, word := range append(test.constraints, test.facts...) {
				if !strings.Contains(c.Error(), word) {
					t.Errorf("the message %q does not name %s", c.Error(), word)
				}
			}
		})
	}
}

// What a blank means cannot be what the world forbids: then the blank has to be answered.
func TestABlankThatCannotMeanItsValueIsAContradiction(t *testing.T) {
	b := loadToy(t, map[string]string{"more.yaml": `
- constraint: narrow-ice-is-tested
  never: width < 10 && ice == "not_tested"
  because: It is in front of the house.
  sources: [common practice]
`})
	answers := rules.Answers{"bank": is("sand"), "width": at(5)}
	d, c, err := b.Decide(answers)
	if err != nil {
		t.Fatal(err)
	}
	if c == nil {
		t.Fatalf("no case has the answers with the ice not tested, and yet: %s", strings.Join(inShort(d), "\n"))
	}
	if len(c.Constraints) != 1 || c.Constraints[0].ID != "narrow-ice-is-tested" || !slices.Contains(c.Facts, "ice") {
		t.Errorf("it names %v and %v", c.Constraints, c.Facts)
	}
}

func TestADefaultAnswerIsStillABlank(t *testing.T) {
	b := loadToy(t, nil)
	for _, answers := range []rules.Answers{{"bank": is("sand"), "width": at(5)}, {"bank": is("sand"), "width": at(5), "ice": is("not_tested")}} {
		skate := decide(t, b, answers).Methods[b.Method("skate").Rank]
		if skate.Verdict != rules.RuledOut || !slices.Equal(skate.Until, []string{"ice"}) {
			t.Errorf("with %v it says %s", answers, skate.Why())
		}
	}
	thick := decide(t, b, rules.Answers{"bank": is("sand"), "width": at(5), "ice": is("thick"), "load": is()})
	if o := thick.Methods[b.Method("skate").Rank]; o.Verdict != rules.Favoured {
		t.Errorf("on thick ice %s", o.Why())
	}
}

// What a favouring rule says of an answer that differs from what a blank means may change the first choice.
func TestADefaultCanBeProvisional(t *testing.T) {
	b := loadToy(t, nil)
	d := decide(t, b, rules.Answers{"bank": is("sand"), "width": at(20), "load": is(), "bridge_state": is("none"), "wind": is("calm"), "watchman": is("no")})
	if d.First.Method.ID == "skate" {
		t.Fatal("skating was not to be first while the ice is not tested")
	}
	if !slices.Contains(d.Provisional, "ice") {
		t.Errorf("thick ice would put skating before %s, and only %v is provisional", d.First.Method.ID, d.Provisional)
	}
}

func TestStages(t *testing.T) {
	// The boat is out, and no other way takes both the glass and the goat.
	noBoat := `
- rule: no-boat
  rule_out: [boat]
  because: It leaks.
  sources: [common practice]
`
	apart := map[string]string{"rules-prefer.yaml": noBoat}
	answers := rules.Answers{"bank": is("sand"), "width": at(20), "load": is("glass", "goat"), "bridge_state": is("none"), "wind": is("calm"), "watchman": is("yes"), "ice": is("thin")}
	if d := decide(t, loadToy(t, nil), answers); len(d.Stages) > 0 {
		t.Errorf("%s takes all, and yet there are stages: %v", d.First.Method.ID, stageLines(d))
	}
	b := loadToy(t, apart)
	d := decide(t, b, answers)
	if got, want := stageLines(d), []string{"[glass] rope", "[goat] ford"}; !slices.Equal(got, want) || d.StagesOpen {
		t.Errorf("stages %v, not %v (open: %v)", got, want, d.StagesOpen)
	}
	for name, incomplete := range map[string]rules.Answers{
		"more to come":   answers.With("load", rules.Answer{Values: []string{"glass", "goat"}, MoreAfter: true}),
		"one only":       answers.With("load", is("glass")),
		"more before it": answers.With("load", rules.Answer{Values: []string{"glass", "goat"}, MoreBefore: true}),
	} {
		if d := decide(t, b, incomplete); len(d.Stages) > 0 {
			t.Errorf("%s: stages %v", name, stageLines(d))
		}
	}

	// With the glass behind, only the ice would take it, and wet feet freeze there.
	apart["truths.yaml"] = ""
	answers = answers.With("load", is("goat", "glass")).With("watchman", is("no")).With("ice", is("thick"))
	d = decide(t, loadToy(t, apart), answers)
	if got := stageLines(d); !slices.Equal(got, []string{"[goat] ford"}) || !d.StagesOpen || !slices.Equal(d.Unreached, []string{"glass"}) {
		t.Errorf("stages %v, then %v is not reached (open: %v)", got, d.Unreached, d.StagesOpen)
	}
	tables, _, _ := strings.Cut(toyFiles["tables.yaml"], "  not_after:")
	apart["tables.yaml"] = tables
	d = decide(t, loadToy(t, apart), answers)
	if got, want := stageLines(d), []string{"[goat] ford", "[glass] skate"}; !slices.Equal(got, want) {
		t.Errorf("without the bar: stages %v, not %v", got, want)
	}
}

func stageLines(d *rules.Decision) (lines []string) {
	for _, s := range d.Stages {
		lines = append(lines, fmt.Sprint(s.Rows, " ", s.Method.Method.ID))
	}
	return lines
}

func TestTablesFillFromNarrowCells(t *testing.T) {
	b := loadToy(t, nil)
	footing, carries := b.Tables[0], b.Tables[1]
	for _, test := range []struct {
		table             *rules.Table
		row, method, cell string
	}{
		{footing, "mud", "boat", "harms"}, {footing, "rock", "boat", "safe"},
		{footing, "mud", "ford", "care"}, {footing, "rock", "swim", "care"}, {footing, "sand", "swim", "safe"},
		{footing, "sand", "bridge", "care"}, {footing, "sand", "ferryman", "safe"},
		{carries, "goat", "rope", "none"}, {carries, "drum", "rope", "yes"}, {carries, "drum", "boat", "tied"}, {carries, "glass", "ford", "none"},
	} {
		if got := test.table.At(test.row, b.Method(test.method)); got != test.cell {
			t.Errorf("%s of %s with %s is %s, not %s", test.table.ID, test.row, test.method, got, test.cell)
		}
	}
	d := decide(t, b, rules.Answers{"bank": is("rock"), "width": at(20), "load": is("drum", "glass"), "wind": is("calm"), "watchman": is("yes")})
	boat, ford := d.Methods[b.Method("boat").Rank], d.Methods[b.Method("ford").Rank]
	if !boat.Has(rules.Step, "lash") || boat.Has(rules.Caution, "slippery") {
		t.Error("the boat takes a drum only lashed down, and is safe on rock")
	}
	if d = decide(t, b, rules.Answers{"bank": is("rock"), "width": at(5), "load": is("goat")}); !d.Methods[ford.Method.Rank].Care || !d.Methods[ford.Method.Rank].Has(rules.Caution, "slippery") {
		t.Error("wading on rock needs care")
	}
}

func TestCompileStopsAtItsCap(t *testing.T) {
	_, err := loadToy(t, nil).Compile(nil, 40)
	var tooLarge *diagram.TooLarge
	if !errors.As(err, &tooLarge) {
		t.Errorf("with room for 40 nodes the error is %v", err)
	}
}

// The verdict diagrams over the whole space say of every case what the oracle says of it.
func TestWholeSpaceAgrees(t *testing.T) {
	b := loadToy(t, nil)
	o := newOracle(t, b)
	s, err := b.Compile(nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	firsts := map[int]bool{}
	for _, c := range o.cases {
		if !c.real {
			continue
		}
		matters := make([]int, len(b.Methods))
		first, _ := o.first([]*toyCase{c}, matters)
		firsts[first] = true
	}
	ranking, err := b.Ranking()
	if err != nil {
		t.Fatal(err)
	}
	all := s.All()
	for m, method := range b.Methods {
		refused := s.Gives(rules.RuledOut, method)
		offered := s.Store.And(all, s.Store.Not(refused)) != diagram.False
		if want := slices.ContainsFunc(o.cases, func(c *toyCase) bool { return c.real && !o.refuses(c, m) }); offered != want {
			t.Errorf("%s is offered in some case: %v, by the definitions %v", method.ID, offered, want)
		}
		can := false
		for _, way := range s.First(method, diagram.True) {
			values, outcome := s.Store.Joint(append(slices.Clone(way), all), nil, 1<<20)
			can = can || outcome == diagram.Found
			if outcome == diagram.Found && ranking.First(values) != method {
				t.Errorf("%s is first in a case, and the ranking says %s", method.ID, ranking.First(values).ID)
			}
			if outcome == diagram.NotSettled {
				t.Errorf("whether %s can be first is not settled", method.ID)
			}
		}
		if can != firsts[m] {
			t.Errorf("%s can be first: %v, by the definitions %v", method.ID, can, firsts[m])
		}
	}
	// A list of two has four pairs of ends; every case of the oracle is one case of the diagrams.
	real := filter(o.cases, isReal)
	if got := s.Store.Count(all); got.Int64() != int64(len(real)) {
		t.Errorf("the diagrams count %s cases, and there are %d", got, len(real))
	}
}
