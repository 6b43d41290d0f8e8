package knowledge_test

import (
	"fmt"
	"maps"
	"testing"

	"patchfirst/rules"
	"patchfirst/rules/source"
)

// A caution that the answers exclude is not shown: whoever reads twenty reads none. The same caution stands where the
// answers call for it. All pairs are common practice, save that consent is for listed buildings (Planning (Listed
// Buildings and Conservation Areas) Act 1990, s. 7) and that renovation needs pay or rent (40 CFR 745.82).
func TestAnswersSpareCautions(t *testing.T) {
	b := load(t)
	const plain = `jurisdiction: uk, built: 1900, use: dwelling, protected: "no", children: "no", occupied: empty, sensitised: [],
		worker: trade, lockable: "yes", flame_sources: [], wildlife: none_found, frost: "no", rain: "no", part: door,
		part_age: original, reason: [failing], substrate: softwood, condition: sound, wood_state: hard, treated: none,
		coatings: [oil_paint], layers: 8, coating_state: flaking, extent: whole, lead_test: positive, asbestos_test: negative,
		under_finish: [], significant: "no", finish_next: paint, place: inside, airflow: good, lies: upright, access: floor,
		near: [], glass: none, removable: "yes", water_and_power: [tap, waste_outlet, power]`
	for _, test := range []struct{ caution, method, always, spared, shown string }{
		{"flames_near_solvent", "solvent_covered", "", "flame_sources: []", "flame_sources: [pilot_light]"},
		{"consent_may_be_needed", "wet_scrape", "", "protected: old", "protected: listed"},
		{"water_stays_in", "wet_scrape", "part: wall, place: outside", "substrate: softwood", "substrate: soft_brick"},
		{"wet_weight", "wet_scrape", "part: ceiling, lies: overhead", "substrate: softwood", "substrate: lime_plaster"},
		{"us_renovation_rule", "wet_scrape", "jurisdiction: us, built: 1950, worker: householder", "tenure_and_pay: own_home_unpaid", "tenure_and_pay: let"},
		{"acid_makes_lead_soluble", "alkaline_covered", "", "part: railing, substrate: cast_iron", "substrate: softwood"},
		{"caustic_darkens_wood", "alkaline_covered", "", "substrate: softwood", "substrate: hardwood"},
		{"coats_of_a_shared_way_out", "wet_scrape", "near: [escape_route], part: wall, substrate: gypsum_plaster", "use: dwelling", "use: public"},
		{"no_dichloromethane", "specialist", "", "wildlife: nesting_birds", "wildlife: none_found"},
	} {
		t.Run(test.caution, func(t *testing.T) {
			for answers, want := range map[string]bool{test.spared: false, test.shown: true} {
				o := decide(t, b, test.method, plain, test.always, answers)
				if o.Has(rules.Caution, test.caution) != want {
					t.Errorf("%s: %s with %s: %v, not %v", answers, test.method, test.caution, !want, want)
				}
			}
		})
	}
}

// A step that does not fit the work is not asked for, and stands where it does fit. All pairs are common practice.
func TestAnswersSpareSteps(t *testing.T) {
	b := load(t)
	const room = `jurisdiction: uk, built: 1890, use: dwelling, protected: "no", children: "no", worker: trade, part_age: original,
		reason: [looks], condition: sound, coating_state: sound, extent: whole, under_finish: [], significant: "no",
		place: inside, airflow: good, near: [], finish_next: paint, asbestos_test: not_tested, lead_test: not_tested`
	const cornice = `part: cornice, substrate: fibrous_plaster, profile: moulded, layers: 3`
	for _, test := range []struct {
		kind                                 rules.NoteKind
		note, method, part, spared, askedFor string
	}{
		{rules.Step, "plug_and_bund", "spirit_rub", "part: panelling, substrate: hardwood, coatings: [shellac], layers: 1", "near: [drain]", "place: outside"},
		{rules.Hold, "no_work_in_rain_gullies_sealed", "spirit_rub", "part: panelling, substrate: hardwood, coatings: [shellac], layers: 1", "near: [drain]", "near: [drain], place: outside"},
		{rules.Step, "wash_down", "leave", cornice, "coatings: [soft_distemper]", "coatings: [oil_paint]"},
		{rules.Step, "make_sound_wet", "leave", cornice, "coatings: [soft_distemper]", "coatings: [oil_paint]"},
		{rules.Step, "adhesion_patch", "leave", cornice, "coatings: [soft_distemper]", "coatings: [oil_paint]"},
		{rules.Step, "prime_and_overcoat", "leave", cornice, "coatings: [soft_distemper]", "coatings: [oil_paint]"},
		{rules.Step, "water_waste", "leave", cornice, "coatings: [soft_distemper]", "coatings: [oil_paint]"},
		{rules.Caution, "wet_scraping_still_makes_lead_dust", "leave", cornice, "coatings: [soft_distemper]", "coatings: [oil_paint]"},
		{rules.Step, "analyse_or_treat_as_lead", "specialist", "part: ceiling, substrate: plasterboard, layers: 2", "coatings: [textured]", "coatings: [emulsion]"},
		{rules.Caution, "lead_presumed", "specialist", "part: ceiling, substrate: plasterboard, layers: 2", "coatings: [textured]", "coatings: [emulsion]"},
		{rules.Refer, "asbestos_sampler", "specialist", "part: ceiling, coatings: [textured], layers: 2", "substrate: insulating_board", "substrate: plasterboard"},
		{rules.Refer, "laboratory", "specialist", "part: ceiling, substrate: plasterboard, layers: 2", "coatings: [textured]", "coatings: [emulsion]"},
		{rules.Refer, "structural_engineer", "specialist", "substrate: cast_iron, metal_state: [cracked_casting], primer_colour: grey, coatings: [alkyd], layers: 2", "part: trim", "part: railing"},
	} {
		t.Run(test.note+" "+test.method, func(t *testing.T) {
			for answers, want := range map[string]bool{test.spared: false, test.askedFor: true} {
				o := decide(t, b, test.method, room, test.part, answers)
				if o.Has(test.kind, test.note) != want {
					t.Errorf("%s: %s with %s: %v, not %v", answers, test.method, test.note, !want, want)
				}
			}
		})
	}
}

// decide is what is decided about a method, from answers of which the later ones replace the earlier.
func decide(t *testing.T, b *rules.Base, method string, texts ...string) *rules.Outcome {
	t.Helper()
	given := rules.Answers{}
	for _, text := range texts {
		d := source.Parse("given", fmt.Appendf(nil, "{%s}", text))
		answers, _ := source.Answers(b, d, d.Root)
		maps.Copy(given, answers)
		if err := d.Problems.Err(); err != nil {
			t.Fatal(err)
		}
	}
	got, contradiction, err := b.Decide(given)
	if err != nil || contradiction != nil {
		t.Fatal(err, contradiction)
	}
	o := got.Methods[b.Method(method).Rank]
	if !o.Verdict.Offered() && got.First != o {
		t.Fatalf("%s: %s is not offered: %s", texts, method, o.Why())
	}
	return o
}
