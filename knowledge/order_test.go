package knowledge_test

import (
	"slices"
	"testing"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// What the trade's promises 8, 15 and 24 say of steps that never come and of what comes after what has no promise form.

// No case, of those that the constraints allow, has acid on what acid dissolves (promise 8: "never_step").
func TestNoAcidStepWhereAcidHarms(t *testing.T) {
	b := load(t)
	s, err := b.Compile(nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	calcareous := condition(t, b, `substrate in ["limestone", "marble", "lime_render", "lime_plaster", "cement_render", "concrete", "gypsum_plaster", "fibrous_plaster", "lead_sheet", "zinc", "galvanised", "terrazzo", "artificial_stone"] || substrate == "sandstone" && stone_fizzes != "no"`)
	asked := 0
	for _, m := range b.Methods {
		acid := s.Attaches(rules.Step, "neutralise", m)
		if acid == diagram.False {
			continue
		}
		asked++
		if s.Occurs(rules.Free, acid, s.Node(calcareous)) {
			t.Errorf("with %s some case neutralises with acid what acid dissolves", m.ID)
		}
		if !s.Occurs(rules.Free, acid) {
			t.Errorf("with %s no case neutralises at all", m.ID)
		}
	}
	if asked == 0 {
		t.Error("no method has the step")
	}
}

// After alkali the steps come in the order of promise 24.
func TestOrderOfStepsAfterAlkali(t *testing.T) {
	b := load(t)
	for _, order := range [][]string{
		{"rinse_by_hand", "neutralise", "dry", "prove_ph_against_control_spot", "prime_alkali_tolerant"},
		{"rinse_by_hand", "rinse_to_control", "dry", "prove_ph_against_control_spot", "prime_vapour_open"},
		{"residue_and_wax_wash", "dry", "prime"},
	} {
		for i, id := range order {
			step := b.Note(rules.Step, id)
			if step == nil {
				t.Fatalf("there is no step %s", id)
			}
			if i > 0 && b.Note(rules.Step, order[i-1]).Rank >= step.Rank {
				t.Errorf("%s: %s must come after %s", step.Pos, id, order[i-1])
			}
		}
	}
	for _, hold := range []string{"ph_matches_control", "moisture_proved"} {
		if n := b.Note(rules.Hold, hold); n.Stage != "prime" {
			t.Errorf("%s: %s holds back the stage %q, not priming", n.Pos, hold, n.Stage)
		}
	}
}

// No stage with heat comes after one with solvent (promise 15): the base bars it, and no case file and no job in stages
// has it, in either order of its coats. Each stage carries the steps and holds of its method.
func TestNoHeatAfterSolvent(t *testing.T) {
	b := load(t)
	heat, solvent := []string{"infrared", "hot_air", "flame"}, []string{"spirit_rub", "solvent_covered", "solvent_brushed"}
	for _, m := range b.Methods {
		barred := slices.ContainsFunc(b.Stages.NotAfter, func(n rules.NotAfter) bool {
			return n.Bar.Has(m.Rank) && !slices.ContainsFunc(solvent, func(id string) bool { return !n.After.Has(b.Method(id).Rank) })
		})
		if slices.Contains(heat, m.ID) && !barred {
			t.Errorf("%s may stand after any solvent", m.ID)
		}
	}
	if testing.Short() {
		t.Skip("takes seconds")
	}
	var jobs []rules.Answers
	for _, c := range loadCases(t, b) {
		if len(c.Given["coatings"].Values) > 1 {
			jobs = append(jobs, c.Given)
		}
	}
	sound := rules.Answers{
		"jurisdiction": {Values: []string{"uk"}}, "built": {Lo: 1890, Hi: 1890}, "worker": {Values: []string{"trade"}}, "place": {Values: []string{"inside"}},
		"lead_test": {Values: []string{"lab_negative"}}, "asbestos_test": {Values: []string{"negative"}}, "coating_state": {Values: []string{"sound"}},
		"reason": {Values: []string{"detail_lost"}}, "layers": {Lo: 5, Hi: 5}, "use": {Values: []string{"dwelling"}}, "protected": {Values: []string{"no"}}, "children": {Values: []string{"no"}},
		"part_age": {Values: []string{"original"}}, "profile": {Values: []string{"carved"}},
	}
	for _, job := range []struct {
		part, substrate string
		coats           []string
	}{
		{"cornice", "fibrous_plaster", []string{"emulsion", "oil_paint", "soft_distemper"}}, {"railing", "wrought_iron", []string{"bitumen", "oil_paint"}},
		{"wall", "soft_brick", []string{"masonry_paint", "limewash", "oil_paint"}}, {"door", "softwood", []string{"wax", "oil_paint", "limewash"}},
	} {
		jobs = append(jobs, sound.With("part", rules.Answer{Values: []string{job.part}}).With("substrate", rules.Answer{Values: []string{job.substrate}}).With("coatings", rules.Answer{Values: job.coats}))
	}
	staged := 0
	for _, given := range jobs {
		turned := given["coatings"]
		turned.Values = slices.Clone(turned.Values)
		slices.Reverse(turned.Values)
		for _, given := range []rules.Answers{given, given.With("coatings", turned)} {
			d, contradiction, err := b.Decide(given)
			if err != nil {
				t.Fatal(err)
			}
			if contradiction != nil {
				continue
			}
			wet := false
			for _, stage := range d.Stages {
				staged++
				id := stage.Method.Method.ID
				if wet && slices.Contains(heat, id) {
					t.Errorf("%v: a stage with %s comes after solvent", given["coatings"].Values, id)
				}
				wet = wet || slices.Contains(solvent, id)
				if !stage.Method.Has(rules.Step, "test_patch") || slices.Contains(solvent, id) && !stage.Method.Has(rules.Hold, "gas_off_no_flame") {
					t.Errorf("%v: the stage with %s lacks its patch, or its hold on flames", given["coatings"].Values, id)
				}
			}
		}
	}
	if staged == 0 {
		t.Error("no job was done in stages")
	}
}

// condition reads a condition of the base's language.
func condition(t testing.TB, b *rules.Base, text string) *rules.Cond {
	t.Helper()
	c, problems := b.Parse(text, func(int) rules.Pos { return rules.Pos{File: text} })
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return c
}
