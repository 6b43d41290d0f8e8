package patches_test

import (
	"math"
	"testing"
	"time"

	"patchfirst/interview/patches"
	"patchfirst/rules"
)

const hour = 60.

const paste = "alkaline_covered"

func read(t testing.TB, b *rules.Base, d *diary, name string, set ...string) *patches.Reading {
	t.Helper()
	answers, decision := part(t, b, name, set...)
	return patches.Read(figures(t, b), b, d.record(t, b), answers, patches.Site{Decision: decision, Layers: 9})
}

// Not yet at 6 h, clean at 10 h.
func TestBracket(t *testing.T) {
	b := load(t)
	worst := func(mm string) []string { return []string{"thickness: " + mm, "area: worst", "surface_temp: 12 C"} }
	for _, test := range []struct {
		name            string
		log             *diary
		thickness       float64
		notYet, cleanBy float64
		contradictions  int
	}{
		{"one patch", (&diary{}).put(0, "A1", paste, worst("3 mm")...).look(6*hour, "A1", 3).look(10*hour, "A1", 0), 3, 6 * hour, 10 * hour, 0},
		{"a second one narrows it", (&diary{}).put(0, "A1", paste, worst("3 mm")...).put(0, "A2", paste, worst("3 mm")...).look(6*hour, "A1", 3).look(8*hour, "A2", 0).look(10*hour, "A1", 0), 3, 6 * hour, 8 * hour, 0},
		{"a thicker one that is not clean speaks for the thinner", (&diary{}).put(0, "A1", paste, worst("3 mm")...).put(0, "A2", paste, worst("6 mm")...).look(4*hour, "A1", 3).look(7*hour, "A2", 1).look(10*hour, "A1", 0), 3, 7 * hour, 10 * hour, 0},
		{"a thinner one that is clean speaks for the thicker", (&diary{}).put(0, "A1", paste, worst("3 mm")...).put(0, "A2", paste, worst("6 mm")...).look(4*hour, "A2", 3).look(10*hour, "A1", 0), 6, 4 * hour, 10 * hour, 0},
		{"a thinner one that is not clean says nothing of the thicker", (&diary{}).put(0, "A1", paste, worst("3 mm")...).put(0, "A2", paste, worst("6 mm")...).look(12*hour, "A1", 3).look(10*hour, "A2", 0), 6, 0, 10 * hour, 0},
		{"the slower of two that contradict", (&diary{}).put(0, "A1", paste, worst("3 mm")...).put(0, "A2", paste, worst("3 mm")...).look(6*hour, "A1", 0).look(8*hour, "A2", 2).look(11*hour, "A2", 0), 3, 8 * hour, 11 * hour, 1},
		{"contradicted and not clean since", (&diary{}).put(0, "A1", paste, worst("3 mm")...).put(0, "A2", paste, worst("3 mm")...).look(6*hour, "A1", 0).look(8*hour, "A2", 2), 3, 8 * hour, math.Inf(1), 1},
		{"clean, and then coats are seen again", (&diary{}).put(0, "A1", paste, worst("3 mm")...).look(6*hour, "A1", 0).look(8*hour, "A1", 2), 3, 8 * hour, math.Inf(1), 1},
		{"clean at the first look", (&diary{}).put(0, "A1", paste, worst("3 mm")...).look(10*hour, "A1", 0), 3, 0, 10 * hour, 0},
		{"what is seen after the paste came off counts no more", (&diary{}).put(0, "A1", paste, worst("3 mm")...).look(6*hour, "A1", 3, "off: true").look(30*hour, "A1", 3), 3, 6 * hour, math.Inf(1), 0},
	} {
		c := read(t, b, test.log, indoors).Candidates[0]
		found := false
		for _, br := range c.Brackets {
			if br.Thickness != test.thickness {
				continue
			}
			found = true
			if br.NotYet != test.notYet || br.CleanBy != test.cleanBy {
				t.Errorf("%s: not yet at %v, clean at %v, want %v and %v", test.name, br.NotYet, br.CleanBy, test.notYet, test.cleanBy)
			}
		}
		if !found || len(c.Contradictions) != test.contradictions {
			t.Errorf("%s: %+v", test.name, c)
		}
	}
}

func TestNext(t *testing.T) {
	b := load(t)
	put := []string{"thickness: 3 mm", "area: worst", "surface_temp: 15 C"}
	sound := []string{"thickness: 3 mm", "area: soundest", "surface_temp: 15 C"}
	const fine = "harm: none"
	day := 24 * hour
	for _, test := range []struct {
		name, element string
		log           *diary
		state         patches.State // of the first candidate
		do, method    string
		visits        int // looks at the first patch named
	}{
		{"nothing was tried", indoors, &diary{}, "", patches.TryNext, paste, 0},
		{"put on", indoors, (&diary{}).put(0, "A1", paste, put...), patches.Open, patches.Extend, paste, 4},
		{"not yet", indoors, (&diary{}).put(0, "A1", paste, put...).look(12*hour, "A1", 4, fine), patches.Open, patches.Extend, paste, 3},
		{"clean", indoors, (&diary{}).put(0, "A1", paste, put...).look(12*hour, "A1", 4, fine).look(24*hour, "A1", 0, fine), patches.Clean, patches.LookAgain, paste, 2},
		{"proven", indoors, (&diary{}).put(0, "A1", paste, put...).look(24*hour, "A1", 0, fine).look(49*hour, "A1", 0, fine), patches.Proven, patches.Confirm, paste, 0},
		{"not looked for harm when dry", indoors, (&diary{}).put(0, "A1", paste, put...).look(24*hour, "A1", 0, fine).look(49*hour, "A1", 0), patches.Clean, patches.LookAgain, paste, 2},
		{"looked at too soon to be dry", indoors, (&diary{}).put(0, "A1", paste, put...).look(24*hour, "A1", 0, fine).look(30*hour, "A1", 0, fine), patches.Clean, patches.LookAgain, paste, 2},
		{"harm when dry", indoors, (&diary{}).put(0, "A1", paste, put...).look(24*hour, "A1", 0, fine).look(49*hour, "A1", 0, "harm: grain raised"), patches.Harmed, patches.TryNext, "wet_scrape", 0},
		{"one dead patch", indoors, (&diary{}).put(0, "A1", paste, put...).look(48*hour, "A1", 4, fine), patches.Open, patches.Extend, paste, 0},
		{"two dead patches", indoors, (&diary{}).put(0, "A1", paste, put...).put(0, "A2", paste, put...).look(48*hour, "A1", 4, fine).look(20*hour, "A2", 4, "off: true"), patches.Dead, patches.TryNext, "wet_scrape", 0},
		{"clean on the soundest only", indoors, (&diary{}).put(0, "A1", paste, sound...).look(24*hour, "A1", 0, fine).look(49*hour, "A1", 0, fine), patches.Partly, patches.Extend, paste, 0},
		{"thin dead, thick proven", indoors, (&diary{}).put(0, "A1", paste, put...).put(0, "A2", paste, "thickness: 6 mm", "area: worst", "surface_temp: 15 C").look(48*hour, "A1", 4, fine).look(24*hour, "A2", 0, fine).look(3*day, "A2", 0, fine), patches.Proven, patches.Confirm, paste, 0},
		{"a method ruled out stays so", indoors, (&diary{}).put(0, "A1", "hot_air", "area: worst").look(2, "A1", 0, fine).look(2*day, "A1", 0, fine), patches.Refused, patches.TryNext, paste, 0},
		{"gentler ones go first", indoors, (&diary{}).put(0, "A1", paste, put...).put(0, "B1", "steam", "area: worst").look(24*hour, "A1", 0, fine).look(49*hour, "A1", 0, fine), patches.Open, patches.Extend, "steam", 3},
		{"nothing may be tried", "store-room ceiling", &diary{}, "", patches.Stop, "specialist", 0},
	} {
		r := read(t, b, test.log, test.element)
		n := r.Next
		if len(r.Candidates) > 0 && r.Candidates[0].State != test.state {
			t.Errorf("%s: %s, want %s", test.name, r.Candidates[0].State, test.state)
		}
		if n.Do != test.do || n.Method == nil || n.Method.ID != test.method {
			t.Errorf("%s: %+v, want %s %s", test.name, n, test.do, test.method)
			continue
		}
		looks := 0
		if len(n.Patches) > 0 {
			looks = len(n.Patches[0].At)
		}
		if looks != test.visits || n.Fresh != (n.Do == patches.Extend && looks == 0) {
			t.Errorf("%s: %d looks, want %d: %+v", test.name, looks, test.visits, n)
		}
		if n.Harm != (test.state == patches.Harmed) {
			t.Errorf("%s: harm %v", test.name, n.Harm)
		}
		if n.Do == patches.Stop && len(n.Refer) == 0 {
			t.Errorf("%s: nobody is named to call", test.name)
		}
	}
}

// Every method that may be tried did harm or failed: the end is the specialist, by name.
func TestStopWhenNothingIsLeft(t *testing.T) {
	b := load(t)
	_, decision := part(t, b, indoors)
	d := &diary{}
	for i, o := range decision.Methods {
		if ok, _ := patches.Patchable(o); ok {
			label := string(rune('A' + i))
			d.put(0, label, o.Method.ID)
			d.add("look", 60, "patch: "+label+", harm: face soft")
		}
	}
	n := read(t, b, d, indoors).Next
	if n.Do != patches.Stop || !n.Harm || !n.Method.LastResort {
		t.Errorf("%+v", n)
	}
}

func TestLookTimesAfterClean(t *testing.T) {
	b := load(t)
	d := (&diary{}).put(0, "A1", paste, "area: worst").look(600, "A1", 0, "harm: none")
	at := read(t, b, d, indoors).Next.Patches[0].At
	if !at[0].Equal(start.Add(34*time.Hour)) || !at[1].Equal(start.Add((10+7*24)*time.Hour)) {
		t.Errorf("%v", at)
	}
}

// So few patches show little: the exact interval for 3 of 3 is 0.29 to 1, and 29 in a row show 90 % at 95 %.
// Source: R 4.2.2, as in statistics/testdata/binomial_intervals.csv and success_run.csv.
func TestFewPatches(t *testing.T) {
	b := load(t)
	d := &diary{}
	for _, label := range []string{"A1", "A2", "A3"} {
		d.put(0, label, paste, "thickness: 3 mm", "area: worst").look(6*hour, label, 2).look(10*hour, label, 0, "harm: none")
	}
	c := read(t, b, d, indoors).Candidates[0]
	if c.Clean != 3 || c.Judged != 3 || math.Abs(c.Low-0.2924018) > 1e-6 || c.High != 1 || c.Needed != 29 {
		t.Errorf("%+v", c)
	}
	if len(c.Shares) != 1 || c.Shares[0].After != 6*hour || c.Shares[0].By != 10*hour || math.Abs(c.Shares[0].Share-1) > 1e-9 {
		t.Errorf("%v", c.Shares)
	}
	// No harm on three: up to 0.632 of places may still be harmed (R 4.2.2).
	if c.Watched != 3 || math.Abs(c.HarmAtMost-0.631596850) > 1e-6 {
		t.Errorf("watched %d, at most %v", c.Watched, c.HarmAtMost)
	}
}

func TestEvidence(t *testing.T) {
	b := load(t)
	d := &diary{}
	d.put(0, "A1", paste, "thickness: 3 mm").look(600, "A1", 0, "harm: none").look(600+24*60, "A1", 0, "harm: none")
	d.put(0, "B1", "steam").look(5, "B1", 4, "off: true").put(0, "B2", "steam").look(5, "B2", 4, "off: true")
	d.put(0, "C1", "solvent_covered").look(600, "C1", 0, "harm: grain raised")
	d.put(0, "D1", "wet_scrape").look(5, "D1", 4, "off: true")
	d.put(0, "E1", "hot_air").look(5, "E1", 0, "harm: none")
	e := d.record(t, b).Evidence(2)
	want := patches.Evidence{paste: rules.Proven, "steam": rules.Failed, "solvent_covered": rules.Harmed}
	if len(e) != len(want) {
		t.Errorf("%v, want %v", e, want)
	}
	for m, effect := range want {
		if e[m] != effect {
			t.Errorf("%s: %s, want %s", m, e[m], effect)
		}
	}
}

// A method that the rules refuse is proven by no patch; harm is harm all the same.
func TestEvidenceLiftsNoRefusal(t *testing.T) {
	b := load(t)
	d := (&diary{}).put(0, "A1", "hot_air", "area: worst").look(5, "A1", 0, "harm: none").look(2*24*60, "A1", 0, "harm: none")
	if e := read(t, b, d, indoors).Evidence(); len(e) != 0 {
		t.Errorf("%v", e)
	}
	d.add("look", 3*24*60, "patch: A1, harm: scorched")
	if e := read(t, b, d, indoors).Evidence(); e["hot_air"] != rules.Harmed {
		t.Errorf("%v", e)
	}
}

func TestPHBesideTheControl(t *testing.T) {
	b := load(t)
	d := (&diary{}).put(0, "A1", paste).add("control", 5, "ph: 6.5").look(600, "A1", 0, "ph: 9").look(700, "A1", 0, "ph: 7.5")
	r := read(t, b, d, indoors)
	if *r.ControlPH != 6.5 || *r.Candidates[0].Tests[0].PH != 7.5 {
		t.Errorf("%v %v", *r.ControlPH, *r.Candidates[0].Tests[0].PH)
	}
}
