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
		{"one dead patch", indoors, (&diary{}).put(0, "A1", paste, put...).look(48*hour, "A1", 9, fine), patches.Open, patches.Extend, paste, 0},
		{"two dead patches", indoors, (&diary{}).put(0, "A1", paste, put...).put(0, "A2", paste, put...).look(48*hour, "A1", 9, fine).look(20*hour, "A2", 9, "off: true"), patches.Dead, patches.TryNext, "wet_scrape", 0},
		{"clean on the soundest only", indoors, (&diary{}).put(0, "A1", paste, sound...).look(24*hour, "A1", 0, fine).look(49*hour, "A1", 0, fine), patches.Partly, patches.Extend, paste, 0},
		{"thin dead, thick proven", indoors, (&diary{}).put(0, "A1", paste, put...).put(0, "A2", paste, "thickness: 6 mm", "area: worst", "surface_temp: 15 C").look(48*hour, "A1", 4, fine).look(24*hour, "A2", 0, fine).look(3*day, "A2", 0, fine), patches.Proven, patches.Confirm, paste, 0},
		{"a method ruled out stays so", indoors, (&diary{}).put(0, "A1", "hot_air", "area: worst").look(2, "A1", 0, fine).look(2*day, "A1", 0, fine), patches.Refused, patches.TryNext, paste, 0},
		{"gentler ones go first", indoors, (&diary{}).put(0, "A1", paste, put...).put(0, "B1", "steam", "area: worst").look(24*hour, "A1", 0, fine).look(49*hour, "A1", 0, fine), patches.Open, patches.Extend, "steam", 3},
		{"two on softwood that took some coats until the stop", indoors, (&diary{}).put(0, "A1", paste, put...).put(0, "A2", paste, put...).look(48*hour, "A1", 4, fine).look(48*hour, "A2", 4, fine), patches.Open, patches.Extend, paste, 0},
		{"taken off before all coats were", indoors, (&diary{}).put(0, "A1", paste, put...).put(0, "A2", paste, put...).look(48*hour, "A1", 4, "off: true").look(48*hour, "A2", 4, "off: true"), patches.Open, patches.Extend, paste, 0},
		{"two that took some coats in two applications", indoors, (&diary{}).put(0, "A1", paste, put...).put(0, "A2", paste, put...).look(48*hour, "A1", 4, fine).look(48*hour, "A2", 4, fine).look(96*hour, "A1", 2, "passes: 2").look(96*hour, "A2", 2, "passes: 2"), patches.Dead, patches.TryNext, "wet_scrape", 0},
		{"two with dry edges say nothing", indoors, (&diary{}).put(0, "A1", paste, put...).put(0, "A2", paste, put...).look(48*hour, "A1", 9, "edges: dry", "off: true").look(48*hour, "A2", 9, "edges: dry"), patches.Open, patches.Extend, paste, 0},
		{"drying edges are not dry", indoors, (&diary{}).put(0, "A1", paste, put...).put(0, "A2", paste, put...).look(48*hour, "A1", 9, "edges: drying").look(48*hour, "A2", 9, "edges: wet"), patches.Dead, patches.TryNext, "wet_scrape", 0},
		{"a gel takes some coats a pass", indoors, (&diary{}).put(0, "A1", "alkaline_brushed", put...).put(0, "A2", "alkaline_brushed", put...).look(60, "A1", 6, fine).look(60, "A2", 6, fine), patches.Open, patches.Extend, "alkaline_brushed", -1},
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
		if test.visits < 0 {
			if len(n.Patches) == 0 || n.Patches[0].Again != 2 {
				t.Errorf("%s: it is not put on again: %+v", test.name, n)
			}
			continue
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

// A patch that was put on twice speaks for two applications: its bracket is apart, and one application is advised where one
// was enough.
func TestApplications(t *testing.T) {
	b := load(t)
	put := []string{"thickness: 3 mm", "area: worst", "surface_temp: 15 C"}
	twice := func() *diary {
		return (&diary{}).put(0, "A1", paste, put...).look(48*hour, "A1", 4).look(60*hour, "A1", 1, "passes: 2").look(72*hour, "A1", 0, "passes: 2")
	}
	c := read(t, b, twice(), indoors).Candidates[0]
	if w := c.Dwell; w == nil || w.Passes != 2 || w.From != 60*hour || w.Minutes != 72*hour || c.Tests[0].State != patches.Clean {
		t.Fatalf("%+v %s", c.Dwell, c.Tests[0].State)
	}
	if once := c.Brackets[0]; once.Passes != 1 || once.NotYet != 60*hour || !math.IsInf(once.CleanBy, 1) {
		t.Errorf("one application: %+v", once)
	}
	thick := twice().put(0, "A2", paste, "thickness: 6 mm", "area: worst", "surface_temp: 15 C").look(40*hour, "A2", 0)
	c = read(t, b, thick, indoors).Candidates[0]
	if w := c.Dwell; w.Passes != 1 || w.Thickness != 6 || w.Minutes != 40*hour || len(c.Contradictions) > 0 {
		t.Errorf("%+v %v", w, c.Contradictions)
	}
	// The second application has its own looks: 12 h into it the next are at 24, 36 and 48 h.
	half := (&diary{}).put(0, "A1", paste, put...).look(48*hour, "A1", 4).look(60*hour, "A1", 1, "passes: 2")
	at := read(t, b, half, indoors, "substrate=mild_steel").Next.Patches[0].At
	if len(at) != 3 || !at[0].Equal(start.Add(72*time.Hour)) {
		t.Errorf("%v", at)
	}
}

// On softwood caustic comes off at 48 h, in the cold too, where the planned times are twice as long. Source: common
// practice, as in figures.yaml.
func TestReadingStopsInTime(t *testing.T) {
	b := load(t)
	put := []string{"thickness: 3 mm", "area: worst", "surface_temp: 5 C"}
	for substrate, want := range map[string]int{"softwood": 1, "mild_steel": 3} {
		v := read(t, b, (&diary{}).put(0, "A1", paste, put...).look(24*hour, "A1", 7), indoors, "substrate="+substrate, "surface_temp=5").Next.Patches[0]
		stops := v.Off.Equal(start.Add(48 * time.Hour))
		if len(v.At) != want || stops != (substrate == "softwood") {
			t.Errorf("%s: %v, off by %v", substrate, v.At, v.Off)
		}
	}
}

// Paste that has lain until its stop is not put on again; what the record says is off, or clean, is not overdue.
func TestOverdue(t *testing.T) {
	b := load(t)
	put := []string{"thickness: 3 mm", "area: worst", "surface_temp: 15 C"}
	for _, test := range []struct {
		name    string
		log     *diary
		now     float64 // hours after it was put on; 0: not known
		overdue bool
		fresh   bool
	}{
		{"looked at in time", (&diary{}).put(0, "A1", paste, put...).look(24*hour, "A1", 4), 0, false, false},
		{"by now", (&diary{}).put(0, "A1", paste, put...).look(24*hour, "A1", 4), 48, true, true},
		{"at the last look", (&diary{}).put(0, "A1", paste, put...).look(48*hour, "A1", 4), 0, true, true},
		{"taken off", (&diary{}).put(0, "A1", paste, put...).look(48*hour, "A1", 4, "off: true"), 100, false, true},
		{"clean", (&diary{}).put(0, "A1", paste, put...).look(24*hour, "A1", 0), 100, false, false},
	} {
		answers, decision := part(t, b, indoors)
		site := patches.Site{Decision: decision, Layers: 9}
		if test.now > 0 {
			site.Now = start.Add(time.Duration(test.now * float64(time.Hour)))
		}
		r := patches.Read(figures(t, b), b, test.log.record(t, b), answers, site)
		if got := r.Candidates[0].Tests[0].Overdue(); got != test.overdue || r.Next.Fresh != test.fresh {
			t.Errorf("%s: overdue %v, fresh %v", test.name, got, r.Next.Fresh)
		}
	}
}

// A clean patch holds for its temperature and warmer. Source of the limit of 5 K: from memory, as in the base.
func TestColderThanThePatches(t *testing.T) {
	b := load(t)
	proven := func(celsius, label string) *diary {
		d := (&diary{}).put(0, label, paste, "thickness: 3 mm", "area: worst", "surface_temp: "+celsius)
		return d.look(24*hour, label, 0, "harm: none").look(49*hour, label, 0, "harm: none")
	}
	for _, test := range []struct {
		name string
		log  *diary
		at   string
		do   string
	}{
		{"as warm", proven("15 C", "A1"), "15", patches.Confirm},
		{"a little colder", proven("15 C", "A1"), "10", patches.Confirm},
		{"much colder", proven("15 C", "A1"), "9", patches.Extend},
		{"warmer", proven("15 C", "A1"), "25", patches.Confirm},
		{"not known", proven("15 C", "A1"), "?", patches.Confirm},
		{"proven in the cold too", proven("15 C", "A1").put(60*hour, "A2", paste, "thickness: 3 mm", "area: worst", "surface_temp: 7 C").look(100*hour, "A2", 0, "harm: none").look(150*hour, "A2", 0, "harm: none"), "7", patches.Confirm},
		{"the cold patch is not clean", proven("15 C", "A1").put(60*hour, "A2", paste, "thickness: 3 mm", "area: worst", "surface_temp: 7 C").look(70*hour, "A2", 5, "harm: none"), "7", patches.Extend},
	} {
		n := read(t, b, test.log, indoors, "surface_temp="+test.at).Next
		if n.Do != test.do {
			t.Errorf("%s: %s, want %s", test.name, n.Do, test.do)
		}
	}
}

// A confirming patch that the site diary holds is not asked for again.
func TestConfirmedAlready(t *testing.T) {
	b := load(t)
	proven := func() *diary {
		d := (&diary{}).put(0, "A1", paste, "thickness: 3 mm", "area: worst", "surface_temp: 15 C")
		return d.look(24*hour, "A1", 0, "harm: none").look(49*hour, "A1", 0, "harm: none")
	}
	for _, test := range []struct {
		name string
		log  *diary
		id   int
	}{
		{"none yet", proven(), 0},
		{"another batch", proven().add("apply", 50*hour, "batch: K, method: "+paste), 0},
		{"of another method", proven().add("apply", 50*hour, "batch: K, method: steam, confirm: true"), 0},
		{"made", proven().add("apply", 50*hour, "batch: K, method: "+paste+", confirm: true"), 4},
		{"taken back", proven().add("apply", 50*hour, "batch: K, method: "+paste+", confirm: true").add("strike", 51*hour, "corrects: 4, because: wrong part"), 0},
	} {
		n := read(t, b, test.log, indoors, "surface_temp=15").Next
		if n.Do != patches.Confirm || (n.Larger == nil) != (test.id == 0) || n.Larger != nil && n.Larger.ID != test.id {
			t.Errorf("%s: %s %+v", test.name, n.Do, n.Larger)
		}
	}
}

// Before any patch the planning range stands in, for the temperature that the job tells.
func TestPlanningRangeBeforeAnyPatch(t *testing.T) {
	b := load(t)
	n := read(t, b, &diary{}, indoors, "surface_temp=15").Next
	if !n.Planning || !n.HasRange || n.Range.Thin != 3 || n.Range.Thick != 6 || n.Range.Look[0] != 12*hour {
		t.Errorf("%+v", n)
	}
	if n := read(t, b, &diary{}, indoors, "surface_temp=5").Next; n.Range.Look[0] != 24*hour {
		t.Errorf("%+v", n.Range)
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
	e := read(t, b, d, indoors).Evidence()
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
