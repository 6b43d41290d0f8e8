package patches_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

func letters(p *patches.Plan) string {
	var all []string
	for _, c := range p.Candidates {
		all = append(all, c.Outcome.Method.ID)
	}
	return strings.Join(all, " ")
}

func TestPlan(t *testing.T) {
	b := load(t)
	f := figures(t, b)
	for _, test := range []struct {
		name, element string
		set           []string
		candidates    string // gentlest first; empty: no patch
		why           string
	}{
		{"a door of an old building", indoors, nil, "wet_scrape solvent_covered alkaline_covered", ""},
		{"a ceiling", "watch-room ceiling", nil, "steam wet_scrape dry_scrape", ""},
		{"paint worth keeping", "honours board", nil, "", "so nothing is stripped"},
		{"suspected asbestos", "store-room ceiling", nil, "", "Every method is ruled out"},
		{"gilding under the paint", indoors, []string{"under_finish=[gilding]"}, "", ""},
		{"a wall painting may be under it", indoors, []string{"under_finish=?"}, "wet_scrape solvent_covered alkaline_covered", ""},
		{"it may be worth keeping", indoors, []string{"significant=?"}, "wet_scrape solvent_covered alkaline_covered", ""},
	} {
		answers, d := part(t, b, test.element, test.set...)
		p := patches.NewPlan(b, f, answers, d)
		if letters(p) != test.candidates || !strings.Contains(p.Why, test.why) || (p.Why == "") != (test.candidates != "") {
			t.Errorf("%s: %q, %q", test.name, letters(p), p.Why)
		}
	}
}

// A blank that nobody on site can settle, and that the patch hangs on, is asked for; nothing is planned until then.
func TestPlanWaitsForWhatIsMissing(t *testing.T) {
	b := load(t)
	f := figures(t, b)
	step := rules.Attached{Note: b.Note(rules.Step, "test_patch"), If: []rules.Requirement{{Fact: "substrate", Values: []string{"oak"}}}}
	o := &rules.Outcome{Method: b.Method("steam"), Notes: []rules.Attached{step}}
	d := &rules.Decision{First: o, Methods: []*rules.Outcome{o}}
	p := patches.NewPlan(b, f, rules.Answers{}, d)
	if len(p.Candidates) > 0 || !slices.Equal(p.Missing, []string{"substrate"}) || !strings.Contains(p.Why, "until more is known") {
		t.Errorf("%s, missing %v, %s", letters(p), p.Missing, p.Why)
	}
	step.If[0] = rules.Requirement{Fact: "rain", Values: []string{"no"}}
	if p := patches.NewPlan(b, f, rules.Answers{}, d); letters(p) != "steam" || len(p.Conditions) != 1 || len(p.Missing) > 0 {
		t.Errorf("%s, conditions %v, missing %v", letters(p), p.Conditions, p.Missing)
	}
	o.Verdict = rules.RuledOut
	if ok, _ := patches.Patchable(o); ok {
		t.Error("a method ruled out is patched")
	}
}

// Where no single method takes every coat the patches are for the first stage.
func TestPlanOfStages(t *testing.T) {
	b := load(t)
	answers, d := part(t, b, indoors, "coatings=[elastomeric, silicate]")
	p := patches.NewPlan(b, figures(t, b), answers, d)
	if len(d.Stages) != 2 || !slices.Equal(p.Stage, []string{"elastomeric"}) || !strings.Contains(letters(p), "solvent_covered") {
		t.Errorf("%v: %s, %s", p.Stage, letters(p), p.Why)
	}
	r := patches.Read(figures(t, b), b, (&diary{}).put(0, "A1", "solvent_covered").record(t, b), answers, patches.Site{Decision: d})
	if r.Candidates[0].State != patches.Open || len(r.Questions) > 0 {
		t.Errorf("%s %v", r.Candidates[0].State, r.Questions)
	}
}

// Every row of the planning ranges: common practice, as in figures.yaml.
func TestRanges(t *testing.T) {
	b := load(t)
	f := figures(t, b)
	for _, test := range []struct {
		method, coatings string
		layers           string
		want             string
		beyond           bool
	}{
		{"alkaline_covered", "[oil_paint]", "1", "alkaline-few", false}, {"alkaline_covered", "[oil_paint]", "3", "alkaline-few", false},
		{"alkaline_covered", "[oil_paint]", "4", "alkaline-several", false}, {"alkaline_covered", "[oil_paint]", "8", "alkaline-several", false},
		{"alkaline_covered", "[oil_paint]", "15", "alkaline-many", false}, {"alkaline_covered", "[oil_paint]", "16", "alkaline-very-many", false},
		{"solvent_covered", "[alkyd]", "2", "solvent-few", false}, {"solvent_covered", "[alkyd]", "6", "solvent-several", false},
		{"solvent_covered", "[alkyd]", "12", "solvent-many", false}, {"solvent_covered", "[alkyd]", "30", "solvent-many", true},
		{"solvent_covered", "[epoxy]", "2", "two-pack-solvent", false}, {"solvent_covered", "[epoxy]", "12", "two-pack-solvent", false},
		{"solvent_brushed", "[alkyd]", "2", "solvent-gel", false}, {"alkaline_brushed", "[oil_paint]", "2", "alkaline-gel", false},
		{"steam", "[alkyd]", "1", "steam", false}, {"steam", "[alkyd]", "12", "steam", true}, {"hot_steam", "[emulsion]", "3", "hot-steam", false},
		{"spirit_rub", "[shellac]", "1", "spirit", false}, {"wash_off", "[soft_distemper]", "3", "wash", false}, {"poultice", "[oil_paint]", "3", "poultice", false},
		{"wet_scrape", "[oil_paint]", "3", "", false},
		{"solvent_covered", "[alkyd, '?']", "6", "two-pack-solvent", false}, // there may be a two-pack coat below
	} {
		answers, d := part(t, b, indoors, "coatings="+test.coatings, "layers="+test.layers)
		r, ok := f.Range(test.method, answers, d)
		if r.ID != test.want || ok != (test.want != "") || r.Beyond != test.beyond {
			t.Errorf("%s on %s coats of %s: %s, beyond %v; want %s, %v", test.method, test.layers, test.coatings, r.ID, r.Beyond, test.want, test.beyond)
		}
	}
}

// Where the paint is kept, what proves the new coat on it is asked for instead.
func TestPlanOfKeeping(t *testing.T) {
	b := load(t)
	answers, d := part(t, b, "stair skirting", "reason=[looks]")
	p := patches.NewPlan(b, figures(t, b), answers, d)
	if d.First.Method.ID != "leave" || len(p.Candidates) > 0 || !slices.ContainsFunc(p.Keep, func(a rules.Attached) bool { return a.Note.ID == "adhesion_patch" }) {
		t.Errorf("%s: %s, %v", d.First.Method.ID, p.Why, p.Keep)
	}
}

// What someone on site can check is a condition of every patch.
func TestPlanConditions(t *testing.T) {
	b := load(t)
	for _, test := range []struct{ blank, without string }{{"under_finish", "gilding"}, {"significant", ""}} {
		answers, d := part(t, b, indoors, test.blank+"=?")
		p := patches.NewPlan(b, figures(t, b), answers, d)
		if !slices.ContainsFunc(p.Conditions, func(r rules.Requirement) bool {
			return r.Fact == test.blank && (test.without == "" || slices.Contains(r.Without, test.without))
		}) {
			t.Errorf("%s: %v", test.blank, p.Conditions)
		}
	}
}

// Source of the ranges: common practice at 15 to 20 °C, as in figures.yaml.
func TestPlannedPatches(t *testing.T) {
	b := load(t)
	f := figures(t, b)
	for _, test := range []struct {
		name       string
		set        []string
		range_     string
		thickness  []float64
		look       []float64 // hours, of the first patch
		areas      string
		notCounted bool
		beyond     bool
	}{
		{"nine coats at 15 °C", []string{"surface_temp=15"}, "alkaline-many", []float64{3, 6, 3}, []float64{12, 24, 36, 48}, "worst worst soundest", false, false},
		{"nine coats at 5 °C take twice as long", []string{"surface_temp=5", "substrate=mild_steel"}, "alkaline-many", []float64{3, 6, 3}, []float64{24, 48, 72, 96}, "worst worst soundest", false, false},
		{"on softwood they stop at 48 h all the same", []string{"surface_temp=5"}, "alkaline-many", []float64{3, 6, 3}, []float64{24, 48}, "worst worst soundest", false, false},
		{"softwood or hardwood stops too", []string{"surface_temp=5", "substrate=[softwood, hardwood]"}, "alkaline-many", []float64{3, 6, 3}, []float64{24, 48}, "worst worst soundest", false, false},
		{"below 5 °C the times are those for 5 °C", []string{"surface_temp=3", "substrate=mild_steel"}, "alkaline-many", []float64{3, 6, 3}, []float64{24, 48, 72, 96}, "worst worst soundest", false, false},
		{"warm within the range", []string{"surface_temp=18"}, "alkaline-many", []float64{3, 6, 3}, []float64{12, 24, 36, 48}, "worst worst soundest", false, false},
		{"unknown temperature", []string{"surface_temp=?"}, "alkaline-many", []float64{3, 6, 3}, []float64{12, 24, 36, 48}, "worst worst soundest", false, false},
		{"seven coats", []string{"surface_temp=15", "layers=7"}, "alkaline-several", []float64{2, 3, 2}, []float64{8, 16, 24}, "worst worst soundest", false, false},
		{"twenty on softwood stop at 48 h", []string{"surface_temp=15", "layers=20"}, "alkaline-very-many", []float64{5, 10, 5}, []float64{24, 48}, "worst worst soundest", false, false},
		{"twenty at 5 °C are looked at before the stop", []string{"surface_temp=5", "layers=20"}, "alkaline-very-many", []float64{5, 10, 5}, []float64{24, 48}, "worst worst soundest", false, false},
		{"eight or nine", []string{"surface_temp=15", "layers=8..9"}, "alkaline-several", []float64{2, 6, 2}, []float64{8, 12, 16, 24, 36, 48}, "worst worst soundest", true, false},
		{"carving bears one each", []string{"surface_temp=15", "profile=carved"}, "alkaline-many", []float64{4.5}, []float64{12, 24, 36, 48}, "worst", false, false},
	} {
		answers, d := part(t, b, indoors, test.set...)
		p := patches.NewPlan(b, f, answers, d)
		i := slices.IndexFunc(p.Candidates, func(c patches.Planned) bool { return c.Outcome.Method.ID == paste })
		if i < 0 {
			t.Errorf("%s: %s", test.name, letters(p))
			continue
		}
		c := p.Candidates[i]
		var thickness, look []float64
		var areas []string
		for _, pp := range c.Patches {
			thickness, areas = append(thickness, pp.Thickness), append(areas, pp.Area)
		}
		for _, m := range c.Patches[0].Look {
			look = append(look, m/hour)
		}
		if c.Range.ID != test.range_ || !slices.Equal(thickness, test.thickness) || !slices.Equal(look, test.look) || strings.Join(areas, " ") != test.areas || c.Range.CoatsNotSeen != test.notCounted || c.Range.Beyond != test.beyond {
			t.Errorf("%s: %s %v mm, %v h, %v", test.name, c.Range.ID, thickness, look, areas)
		}
	}
}

// Where no patch is made on what must not be touched, the plan says what a patch would do.
func TestPlanSaysWhyNever(t *testing.T) {
	b := load(t)
	f := figures(t, b)
	for _, test := range []struct {
		element string
		set     []string
		never   string
	}{
		{indoors, []string{"under_finish=[gilding]"}, "gilding"},
		{indoors, []string{"under_finish=[wall_painting]", "part=panelling"}, "wall painting"},
		{"store-room ceiling", nil, "asbestos"},
		{indoors, nil, ""},
		{indoors, []string{"under_finish=?"}, ""},
	} {
		answers, d := part(t, b, test.element, test.set...)
		p := patches.NewPlan(b, f, answers, d)
		var ids []string
		for _, n := range p.Never {
			ids = append(ids, n.ID)
		}
		if got := strings.Join(ids, " "); got != test.never || test.never != "" && len(p.Candidates) > 0 {
			t.Errorf("%s %v: %q, want %q; %s", test.element, test.set, got, test.never, letters(p))
		}
	}
}

// Below the temperature at which pastes work none is put on. Methods without paste are told nothing of it.
func TestPlanWaitsForWarmth(t *testing.T) {
	b := load(t)
	f := figures(t, b)
	for _, test := range []struct {
		name, element string
		set           []string
		wait, warns   bool
	}{
		{"3 °C", indoors, []string{"surface_temp=3"}, true, true},
		{"5 °C", indoors, []string{"surface_temp=5"}, false, true},
		{"18 °C", indoors, []string{"surface_temp=18"}, false, false},
		{"not known", indoors, []string{"surface_temp=?"}, false, true},
		{"no paste", "watch-room ceiling", []string{"surface_temp=3"}, false, false},
	} {
		answers, d := part(t, b, test.element, test.set...)
		p := patches.NewPlan(b, f, answers, d)
		if (p.Wait != "") != test.wait || (len(p.Warnings) > 0) != test.warns {
			t.Errorf("%s: wait %q, warnings %q", test.name, p.Wait, p.Warnings)
		}
	}
}

// Acid dissolves lime, so a patch on limestone is finished without; on softwood weak acid ends the alkali. It is the rules
// that say which. Source: common practice; UFGS 04900.
func TestPlanFinishesByTheSurface(t *testing.T) {
	b := load(t)
	f := figures(t, b)
	for substrate, want := range map[string]string{"limestone": "rinse_to_control", "softwood": "neutralise"} {
		answers, d := part(t, b, indoors, "substrate="+substrate, "stone_fizzes=?", "part=chimneypiece", "near=[]")
		p := patches.NewPlan(b, f, answers, d)
		var steps []string
		for _, n := range p.Finish {
			if n.Note.Stage == "neutralise" && n.Note.Kind == rules.Step && n.Sure {
				steps = append(steps, n.Note.ID)
			}
			if len(n.For) == 0 {
				t.Errorf("%s: %s is for no method", substrate, n.Note.ID)
			}
		}
		if got := strings.Join(steps, " "); got != want {
			t.Errorf("%s: %q, want %q (%s)", substrate, got, want, letters(p))
		}
	}
}

// Where the rules leave fewer methods than a precious surface asks for, the plan says so.
func TestPlanSaysThatMethodsAreScarce(t *testing.T) {
	b := load(t)
	f := figures(t, b)
	step := rules.Attached{Note: b.Note(rules.Step, "test_patch"), Sure: true}
	o := &rules.Outcome{Method: b.Method("steam"), Notes: []rules.Attached{step}}
	history := b.Finding("history")
	d := &rules.Decision{First: o, Methods: []*rules.Outcome{o}, Findings: []rules.Level{{Finding: history, Max: 1}}}
	if p := patches.NewPlan(b, f, rules.Answers{}, d); !strings.Contains(p.Scarce, "At least 3 methods") {
		t.Errorf("%q", p.Scarce)
	}
	answers, d := part(t, b, indoors)
	if p := patches.NewPlan(b, f, answers, d); p.Scarce != "" {
		t.Errorf("%q", p.Scarce)
	}
}

// A fallback has one patch on the worst area and one on the soundest.
func TestPlannedFallback(t *testing.T) {
	b := load(t)
	answers, d := part(t, b, "crew-room wall")
	p := patches.NewPlan(b, figures(t, b), answers, d)
	for _, c := range p.Candidates {
		if len(c.Patches) != 2 || c.Patches[0].Area != patches.Worst || c.Patches[1].Area != patches.Soundest || c.Patches[0].Thickness != c.Patches[1].Thickness {
			t.Errorf("%s: %+v", c.Outcome.Method.ID, c.Patches)
		}
	}
}

func TestSizes(t *testing.T) {
	b := load(t)
	f := figures(t, b)
	for _, test := range []struct {
		element, size string
		width         float64
		slow          bool
	}{{indoors, "moulded wood", 100, false}, {"crew-room wall", "masonry", 300, true}, {"slipway railings", "any", 100, false}} {
		answers, d := part(t, b, test.element)
		p := patches.NewPlan(b, f, answers, d)
		if p.Size.ID != test.size || p.Size.Width != test.width || len(p.Slow) > 0 != test.slow {
			t.Errorf("%s: %+v, slow %v", test.element, p.Size, p.Slow)
		}
	}
}

// Whatever is answered, no patch is planned that the rules do not ask for: never of a method ruled out, nor where
// asbestos, fire protection, gilding or paint worth keeping may be disturbed. Where patches are planned there are two to
// four methods, or all that are left, and gentlest first.
func TestPlanKeepsThePromises(t *testing.T) {
	b := load(t)
	f := figures(t, b)
	j, err := job.ReadFile(b, example, nil)
	if err != nil {
		t.Fatal(err)
	}
	var ids []string
	for _, fact := range b.Facts {
		if fact.Asked() {
			ids = append(ids, fact.ID)
		}
	}
	finding := func(d *rules.Decision, id string) int {
		for _, l := range d.Findings {
			if l.Finding.ID == id {
				return l.Max
			}
		}
		return 0
	}
	rapid.Check(t, func(t *rapid.T) {
		e := rapid.SampledFrom(j.Elements).Draw(t, "element")
		answers := rules.Answers{}
		for id, a := range j.Answers(e) {
			answers[id] = a
		}
		for range rapid.IntRange(0, 3).Draw(t, "changes") {
			id := rapid.SampledFrom(ids).Draw(t, "fact")
			fact := b.Fact(id)
			if fact.Kind == rules.Choice && rapid.Bool().Draw(t, "answered") {
				answers[id] = rules.Answer{Values: []string{rapid.SampledFrom(fact.Values).Draw(t, "value").ID}}
			} else {
				delete(answers, id)
			}
		}
		d, contradiction, err := b.Decide(knowledge.WithFigures(b, answers))
		if err != nil {
			t.Fatal(err)
		}
		if contradiction != nil {
			return
		}
		p := patches.NewPlan(b, f, answers, d)
		if (p.Why == "") == (len(p.Candidates) == 0) {
			t.Fatalf("%d methods and %q", len(p.Candidates), p.Why)
		}
		last := -1
		for _, c := range p.Candidates {
			o := c.Outcome
			if !o.Verdict.Offered() || o.Method.Keeps || o.Method.LastResort || o.Method.AlwaysRefused != "" || o.Method.Rank <= last || len(c.Patches) == 0 {
				t.Fatalf("%s is planned: %s", o.Method.ID, o.Verdict)
			}
			last = o.Method.Rank
		}
		if len(p.Candidates) == 0 {
			return
		}
		under := answers["under_finish"].Values
		significant := answers["significant"]
		switch {
		case finding(d, "asbestos") > 0 && len(p.Conditions) == 0:
			t.Fatalf("patches without a condition where asbestos is %v", finding(d, "asbestos"))
		case slices.Contains(under, "gilding"), slices.Contains(under, "wall_painting"), slices.Contains(answers["coatings"].Values, "intumescent"):
			t.Fatal("patches on gilding, a wall painting or fire protection")
		case slices.Contains(significant.Values, "yes") && !slices.Equal(answers["worker"].Values, []string{"specialist"}):
			t.Fatal("patches on paint worth keeping")
		case len(p.Candidates) > 4:
			t.Fatalf("%d methods", len(p.Candidates))
		case finding(d, "history") > 0 && len(p.Candidates) < 3 && len(p.Left) > 0 && slices.ContainsFunc(p.Left, func(l patches.Left) bool {
			return strings.Contains(l.Why, "discouraged") || strings.Contains(l.Why, "fallback")
		}):
			t.Fatalf("%d methods on a precious surface", len(p.Candidates))
		}
	})
}
