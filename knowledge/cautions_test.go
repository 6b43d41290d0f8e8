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
				given := rules.Answers{}
				for _, text := range []string{plain, test.always, answers} {
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
				o := got.Methods[b.Method(test.method).Rank]
				if !o.Verdict.Offered() {
					t.Errorf("%s: %s is not offered: %s", answers, test.method, o.Why())
				}
				if o.Has(rules.Caution, test.caution) != want {
					t.Errorf("%s: %s with %s: %v, not %v", answers, test.method, test.caution, !want, want)
				}
			}
		})
	}
}
