package diary_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"patchfirst/interview/diary"
	"patchfirst/rules"
)

// The published test of a rinse: the wet surface no more than one unit above the rinse water (MIL-HDBK-1110 6.7.2.1), read
// with paper in steps of half a unit (ASTM D4262). It decides whether the acid may follow.
func TestRinseAgainstTheWater(t *testing.T) {
	for _, test := range []struct {
		name           string
		surface, water string
		waits          []string
	}{
		{"one unit", "ph: 8.5, strip: 0.5", "ph: 7.5, strip: 0.5", nil},
		{"half a unit more", "ph: 9, strip: 0.5", "ph: 7.5, strip: 0.5", []string{"rinsed_to_the_water"}},
		{"by meter", "ph: 8.45, meter: true", "ph: 7.5, meter: true", nil},
		{"just beyond, by meter", "ph: 8.51, meter: true", "ph: 7.5, meter: true", []string{"rinsed_to_the_water"}},
		{"decimals that do not add up", "ph: 8.9, meter: true", "ph: 7.9, meter: true", nil},
		{"below the water", "ph: 7, strip: 0.5", "ph: 7.5, strip: 0.5", nil},
		{"paper too coarse", "ph: 8, strip: 1", "ph: 8, strip: 0.5", []string{"rinse_paper_fine_enough"}},
		{"paper far too coarse", "ph: 8, strip: 2", "ph: 8, strip: 0.5", []string{"rinsed_to_the_water", "rinse_paper_fine_enough"}},
		{"no water read", "ph: 8, strip: 0.5", "", []string{"rinsed_to_the_water"}},
		{"read when dry", "ph: 8, strip: 0.5, dry: true", "ph: 7.5, strip: 0.5", []string{"rinsed_to_the_water"}},
	} {
		e := off().add(31, "rinse", "batch: '1', rinses: 2, water: 8 L")
		if test.water != "" {
			e.add(31.1, "ph", "spot: rinse_water, "+test.water)
		}
		e.add(31.2, "ph", "batch: '1', spot: surface, "+test.surface)
		r := e.report(t, panelling, 31.3)
		a := action(t, r, diary.ToNeutralise, "1")
		if got := ids(a.Waits); !slices.Equal(got, test.waits) {
			t.Errorf("%s: waits for %v, want %v", test.name, got, test.waits)
		}
		if _, rinse := find(r, diary.ToRinse, "1"); rinse != (len(test.waits) > 0) {
			t.Errorf("%s: a further rinse is %v", test.name, rinse)
		}
	}
}

// A reading before the last rinse says nothing of the surface after it.
func TestReadingAgesWithTheNextRinse(t *testing.T) {
	e := off().add(31, "ph", "spot: rinse_water, ph: 7.5, strip: 0.5").add(31.1, "rinse", "batch: '1', water: 4 L").
		add(31.2, "ph", "batch: '1', spot: surface, ph: 8, strip: 0.5").add(31.3, "rinse", "batch: '1', water: 4 L")
	f := waitsFor(action(t, e.report(t, panelling, 31.4), diary.ToNeutralise, "1"), "rinsed_to_the_water")
	if f == nil || !strings.Contains(f.Reading, "not read since the last rinse") {
		t.Errorf("%+v", f)
	}
}

// The sum of rinses, checked by hand: a film of 0.1 L/m² and 2 L/m² a rinse leave 1/21 each time, so that a strong base
// falls by log10(21) = 1.32 at a rinse while it is far above the water (the batch rinsing formula): 12, 10.68, 9.36,
// 8.03. The water's own pH of 7 is a floor. A film of 0.3 L/m² leaves 1/7.67, 0.88 less each
// time: five to come to 7.6. Both films are those of the base.
func TestPredictedRinses(t *testing.T) {
	says := func(e *entries, hour float64) string {
		var words []string
		for _, s := range action(t, e.report(t, panelling, hour), diary.ToRinse, "1").Says {
			words = append(words, s.Text)
		}
		return strings.Join(words, " ")
	}
	e := off().add(30.5, "weather", "air_temp: 25 C, surface_temp: 25 C, humidity: 60 %").add(31, "ph", "spot: rinse_water, ph: 7, meter: true").
		add(31.1, "rinse", "batch: '1', rinses: 1, water: 4 L").add(31.2, "ph", "batch: '1', spot: surface, ph: 12, meter: true")
	if got := says(e, 31.3); !strings.Contains(got, "About 4 to 5 more, of 2 L/m² each: expect at best pH 10.7, then 9.4, then 8, then 7.1") {
		t.Error(got)
	}
	// The next reading checks the sum: as predicted, and far above it.
	e.add(31.4, "rinse", "batch: '1', rinses: 1, water: 4 L")
	asPredicted := &entries{slices.Clone(e.lines)}
	asPredicted.add(31.5, "ph", "batch: '1', spot: surface, ph: 10.7, meter: true")
	if got := says(asPredicted, 31.6); !strings.Contains(got, "1 rinse from pH 12 should give 10.7 to 11.1 by the sum, and 10.7 was read. The sum holds.") {
		t.Error(got)
	}
	e.add(31.5, "ph", "batch: '1', spot: surface, ph: 11.5, meter: true")
	// From 12 to 11.5 a rinse leaves 10^-0.5 = 0.316: eight more bring 11.5 down by 4 units, to 7.5.
	got := says(e, 31.6)
	if !strings.Contains(got, "gives its alkali slowly") || !strings.Contains(got, "About 8 more at the least, of 2 L/m² each: expect at best pH 11, then 10.5, then 10, then 9.5") {
		t.Error(got)
	}
}

// Dry, the surface is held against an untouched spot of the same material, and both ways where acid was used (MIL-HDBK-1110
// 6.7.4). Lime, cement and wood have their own pH: 7 is no aim.
func TestDryAgainstTheUntouchedSpot(t *testing.T) {
	for _, test := range []struct {
		name            string
		acid            bool
		surface, second string
		control         string
		waits           []string
	}{
		{"as the wood itself", false, "ph: 5.5, strip: 0.5", "ph: 6, strip: 0.5", "ph: 5.5, strip: 0.5", nil},
		{"neutral, and too high for this wood", false, "ph: 7, strip: 0.5", "ph: 6, strip: 0.5", "ph: 5.5, strip: 0.5", []string{"dry_matches_control"}},
		{"as the lime itself", false, "ph: 11, strip: 0.5", "ph: 11, strip: 0.5", "ph: 10.5, strip: 0.5", nil},
		{"below, without acid", false, "ph: 4, strip: 0.5", "ph: 4.5, strip: 0.5", "ph: 5.5, strip: 0.5", nil},
		{"below, by acid left in it", true, "ph: 4, strip: 0.5", "ph: 4.5, strip: 0.5", "ph: 5.5, strip: 0.5", []string{"dry_matches_control"}},
		{"one place", false, "ph: 5.5, strip: 0.5", "", "ph: 5.5, strip: 0.5", []string{"ph_in_two_places"}},
		{"coarse paper", false, "ph: 6, strip: 1", "ph: 6, strip: 1", "ph: 6, strip: 1", []string{"dry_paper_fine_enough"}},
		{"no untouched spot", false, "ph: 6, strip: 0.5", "ph: 6, strip: 0.5", "", []string{"dry_matches_control"}},
	} {
		e := off()
		if test.control != "" {
			e.add(31, "ph", "spot: control, dry: true, "+test.control)
		}
		if test.acid {
			e.add(32, "neutralise", "batch: '1', with: acetic_acid, strength: 1 %, volume: 2 L")
		}
		e.add(100, "ph", "batch: '1', spot: surface, dry: true, where: foot, "+test.surface)
		if test.second != "" {
			e.add(100.1, "ph", "batch: '1', spot: surface, dry: true, where: top, "+test.second)
		}
		var got []string
		for _, f := range action(t, e.report(t, panelling, 101), diary.ToPrime, "1").Waits {
			if strings.HasPrefix(f.Because, "Lime reads") || strings.HasPrefix(f.ID, "ph_") || strings.HasPrefix(f.ID, "dry_paper") {
				got = append(got, f.ID)
			}
		}
		if !slices.Equal(got, test.waits) {
			t.Errorf("%s: waits for %v, want %v", test.name, got, test.waits)
		}
	}
}

// A strip read to one unit cannot prove 0.3.
func TestAStripProvesNoMoreThanItsStep(t *testing.T) {
	l := base().Limits[slices.IndexFunc(base().Limits, func(l *rules.Limit) bool { return l.ID == "dry_matches_control" })]
	was := *l.Most
	defer func() { *l.Most = was }()
	*l.Most = 0.3
	for strip, shows := range map[string]bool{"strip: 1": false, "strip: 0.5": false, "strip: 0.3": true, "meter: true": true} {
		e := off().add(31, "ph", "spot: control, dry: true, ph: 6, "+strip).add(100, "ph", "batch: '1', spot: surface, dry: true, ph: 6, "+strip)
		f := waitsFor(action(t, e.report(t, panelling, 101), diary.ToPrime, "1"), "dry_matches_control")
		if (f == nil) != shows || f != nil && !strings.Contains(f.Reading, "cannot show 0.3") {
			t.Errorf("%s: %+v", strip, f)
		}
	}
}

// Acid before the rinse has done its part is asked about, with the reading, the limit and the source, and stays to be seen.
func TestAcidWaitsForTheRinse(t *testing.T) {
	for surface, waits := range map[string]bool{"ph: 8.5": false, "ph: 10": true} {
		e := off().add(31, "rinse", "batch: '1', rinses: 2, water: 8 L").add(31.1, "ph", "spot: rinse_water, ph: 7.5, strip: 0.5").
			add(31.2, "ph", "batch: '1', spot: surface, strip: 0.5, "+surface).add(31.3, "neutralise", "with: acetic_acid")
		r := e.report(t, panelling, 32)
		asked := fmt.Sprint(r.Questions)
		if strings.Contains(asked, "2.5 apart") != waits || strings.Contains(asked, "needed: at most 1 pH unit") != waits || strings.Contains(asked, "MIL-HDBK-1110") != waits {
			t.Errorf("%s: asked %s", surface, asked)
		}
		if passed := r.Passed[len(r.Passed)-1].Entry.Kind == "neutralise"; passed != waits {
			t.Errorf("%s: shown is %v", surface, passed)
		}
	}
}

// No acid where the base has none: on lime it dissolves the wall, and entering it is asked about.
func TestNoAcidOnLime(t *testing.T) {
	wet := func() *entries {
		return off().add(31, "rinse", "batch: '1', rinses: 2, water: 8 L").add(31.1, "ph", "spot: rinse_water, ph: 7.5, strip: 0.5").
			add(31.2, "ph", "batch: '1', spot: surface, ph: 8, strip: 0.5")
	}
	for part, acid := range map[string]bool{panelling: true, plaster: false, railing: false} {
		r := wet().report(t, part, 31.3)
		if _, ok := find(r, diary.ToNeutralise, "1"); ok != acid {
			t.Errorf("%s: acid is %v", part, ok)
		}
		e := wet().add(31.4, "neutralise", "batch: '1', with: acetic_acid")
		asked := fmt.Sprint(e.report(t, part, 31.5).Questions)
		if strings.Contains(asked, "No acid is to be used here") == acid {
			t.Errorf("%s: asked %s", part, asked)
		}
	}
}
