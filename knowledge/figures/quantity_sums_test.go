package figures_test

import (
	"fmt"
	"slices"
	"testing"

	"patchfirst/knowledge/figures"
)

func TestAreas(t *testing.T) {
	door, err := figures.Rectangle(3*0.3048, 7*0.3048)
	if err != nil {
		t.Fatal(err)
	}
	covered, err := figures.CoveredArea(door, 1.3, 2)
	near(t, "panelled door of 3 × 7 ft, both sides, in ft² (factor of IS 1200-15)", float64(covered)/0.09290304, err, 54.6, 1e-9)
	moulding, err := figures.GirthArea(12, 150)
	near(t, "12 m of 150 mm girth", moulding, err, 1.8, 1e-12)
	angle, err := figures.AngleGirth(50)
	near(t, "angle of 50 mm legs", angle, err, 200, 0)
	beam, err := figures.BeamGirth(200, 100)
	near(t, "beam of 200 and 100 mm", beam, err, 800, 0)
	left, err := figures.LessOpenings(10, 0.49, 0.5, 1.5)
	near(t, "wall less its openings", left, err, 8, 0)
	if _, err := figures.LessOpenings(1, 2); err == nil {
		t.Error("an opening is larger than its wall")
	}
	for name, f := range map[string]func() (figures.SquareMetre, error){
		"length": func() (figures.SquareMetre, error) { return figures.Rectangle(-1, 2) },
		"girth":  func() (figures.SquareMetre, error) { return figures.GirthArea(1, -2) },
		"factor": func() (figures.SquareMetre, error) { return figures.CoveredArea(1, 0, 1) },
		"sides":  func() (figures.SquareMetre, error) { return figures.CoveredArea(1, 1, 3) },
	} {
		if a, err := f(); err == nil {
			t.Errorf("a wrong %s gives %g m²", name, a)
		}
	}
}

// Every published factor stands in the package's table under some kind, and the table holds no other.
func TestAreaFactorsAgainstTheBooks(t *testing.T) {
	var listed []figures.AreaFactor
	for _, kind := range figures.FactorKinds() {
		factors, span, ok := figures.FactorsFor(kind)
		if !ok || span.Check() != nil {
			t.Fatalf("%s: %v", kind, span)
		}
		for _, f := range factors {
			if !span.Contains(f.Factor) || f.Source == "" || f.Basis == "" {
				t.Errorf("%s: %+v is not within %v, or says no source", kind, f, span)
			}
		}
		listed = append(listed, factors...)
	}
	rows := table(t, "area-factors.csv", 44)
	if len(listed) != len(rows) {
		t.Errorf("%d factors are listed, %d published", len(listed), len(rows))
	}
	for _, r := range rows {
		i := slices.IndexFunc(listed, func(f figures.AreaFactor) bool {
			return f.Element == r["element"] && f.Factor == r.num(t, "factor") && f.Basis == r["basis"] && f.Note == r["note"] && f.Source[:9] == r["source"][:9]
		})
		if i < 0 {
			t.Errorf("not listed: %v", r)
			continue
		}
		listed = slices.Delete(listed, i, i+1)
	}
	// The rule books put a panelled door between 1.1 and 2.
	if _, span, _ := figures.FactorsFor("panelled_door"); span != (figures.Range{Low: 1.1, Point: 1.3, High: 2}) {
		t.Errorf("panelled doors span %v", span)
	}
	if _, _, ok := figures.FactorsFor("spaceship"); ok {
		t.Error("a spaceship has a factor")
	}
}

func TestCoverageAgainstTheTable(t *testing.T) {
	for _, r := range table(t, "coverage-geometry.csv", 12) {
		mm := r.num(t, "thickness_mm")
		spread, err := figures.Spread(figures.Micrometre(1000*mm), 100, 100)
		near(t, fmt.Sprint("spread of ", r), spread, err, r.num(t, "m2_per_L"), 5e-5)
		litres, err := figures.PasteVolume(1, figures.Millimetre(mm), 1, 0)
		near(t, fmt.Sprint("litres of ", r), litres, err, r.num(t, "L_per_m2"), 5e-5)
		coverage, _ := figures.FindUnit("m²/L")
		american, _ := figures.FindUnit("ft²/US gal")
		feet, _ := coverage.To(american, float64(spread))
		near(t, fmt.Sprint("square feet of ", r), feet, nil, r.num(t, "ft2_per_US_gal"), 5e-4)
	}
}

func TestFilms(t *testing.T) {
	coverage, _ := figures.FindUnit("m²/L")
	american, _ := figures.FindUnit("ft²/US gal")
	for _, test := range []struct {
		mil            float64
		solids, landed figures.Percent
		want, within   float64
		source         string
	}{
		{1, 100, 100, 1604.17, 0.005, "GNU units 2.22"},
		{5, 65, 100, 208.52, 0.05, "spreading-rate note (reported), which takes 1604"},
		{1.5, 52, 30, 167, 0.5, "R. Joseph, PCRC 2003"},
	} {
		spread, err := figures.Spread(figures.Micrometre(test.mil*25.4), test.solids, test.landed)
		feet, _ := coverage.To(american, float64(spread))
		near(t, test.source, feet, err, test.want, test.within)
	}
	spread, err := figures.Spread(125, 65, 100)
	near(t, "65% and 125 µm (spreading-rate note)", spread, err, 5.2, 1e-12)
	dry, err := figures.DryFilm(8*25.4, 35)
	near(t, "8 mil wet of 35% (estimating guide)", float64(dry)/25.4, err, 2.8, 0.01)
	wet, err := figures.WetFilm(dry, 35)
	near(t, "and back", wet, err, 8*25.4, 1e-9)
	oil, err := figures.FilmThickness(10, figures.OilCoat)
	near(t, "10 coats of oil paint (MIL-HDBK-1110 4.4.1.1)", oil, err, 510, 0)
}

func TestPaste(t *testing.T) {
	litres, err := figures.PasteVolume(2.8, 3, 2, 15)
	near(t, "2.8 m² × 3 mm × 2 and 15%", litres, err, 19.32, 1e-12)
	// Geometry on paper: rolls of 1 m with 0.1 m of lap reach 1.0, 1.9, 2.8 m.
	for width, want := range map[figures.Metre]float64{1.0: 2, 1.01: 4, 1.9: 4, 1.91: 6, 2.8: 6} {
		sheet, err := figures.CoverArea(width, 2, 1, 0.1, 0)
		near(t, fmt.Sprint("cover of ", width, " m"), sheet, err, want, 1e-9)
	}
	if _, err := figures.CoverArea(1, 1, 0.1, 0.1, 0); err == nil {
		t.Error("a roll as narrow as its lap covers something")
	}
	if _, err := figures.PasteVolume(1, 2, -1, 0); err == nil {
		t.Error("fewer than no applications")
	}
}

func TestContainers(t *testing.T) {
	for _, test := range []struct {
		need  figures.Litre
		sizes []figures.Litre
		want  []figures.Tins
	}{
		{0, []figures.Litre{5}, nil},
		{19.32, []figures.Litre{1, 5, 20}, []figures.Tins{{Size: 20, Count: 1}}},
		{11.2, []figures.Litre{1, 2.5, 5}, []figures.Tins{{Size: 5, Count: 1}, {Size: 2.5, Count: 1}, {Size: 1, Count: 4}}}, // 11.5 L: not 12
		{6, []figures.Litre{5, 3}, []figures.Tins{{Size: 3, Count: 2}}},                                                     // not 5 + 3
		{2.4, []figures.Litre{2.4}, []figures.Tins{{Size: 2.4, Count: 1}}},
		{2.41, []figures.Litre{2.4}, []figures.Tins{{Size: 2.4, Count: 2}}},
		{10, []figures.Litre{3.785, 18.927}, []figures.Tins{{Size: 3.785, Count: 3}}},
	} {
		got, err := figures.Containers(test.need, test.sizes...)
		if err != nil || !slices.Equal(got, test.want) {
			t.Errorf("%g L in %v: %v (%v), not %v", test.need, test.sizes, got, err, test.want)
		}
	}
	for name, f := range map[string]func() ([]figures.Tins, error){
		"no size":       func() ([]figures.Tins, error) { return figures.Containers(5) },
		"a size of 0":   func() ([]figures.Tins, error) { return figures.Containers(5, 0) },
		"a lake":        func() ([]figures.Tins, error) { return figures.Containers(1e9, 0.001) },
		"less than nil": func() ([]figures.Tins, error) { return figures.Containers(-5, 1) },
	} {
		if got, err := f(); err == nil {
			t.Errorf("%s gives %v", name, got)
		}
	}
}

func BenchmarkContainers(b *testing.B) {
	for b.Loop() {
		if _, err := figures.Containers(1234.567, 0.473, 0.946, 3.785, 18.927); err != nil {
			b.Fatal(err)
		}
	}
}

func TestLeadShareAgainstTheTable(t *testing.T) {
	for _, r := range table(t, "lead-share.csv", 60) {
		loading, density, thickness := figures.MilligramPerCm2(r.num(t, "lead_mg_cm2")), figures.KilogramPerM3(1000*r.num(t, "paint_density_g_cm3")), figures.Micrometre(r.num(t, "paint_thickness_um"))
		want := r.num(t, "lead_wt_pct")
		share, err := figures.LeadShare(loading, density, thickness)
		if want > 100 {
			if err == nil {
				t.Errorf("more lead than paint is taken: %v", r)
			}
			continue
		}
		near(t, fmt.Sprint("share of ", r), share, err, want, 5e-5)
		lead, err := figures.LeadOn(loading, 1)
		near(t, fmt.Sprint("lead on a square metre of ", r), lead.Grams(), err, r.num(t, "lead_g_per_m2"), 1e-9)
		paint, err := figures.PaintMass(1, thickness, density)
		near(t, fmt.Sprint("paint on a square metre of ", r), paint.Grams(), err, 10*r.num(t, "paint_mass_mg_cm2"), 1e-9)
		perKg, err := figures.LeadPerKg(lead, paint)
		near(t, fmt.Sprint("lead in a kilogram of ", r), perKg, err, r.num(t, "lead_mg_per_kg"), 0.1)
	}
}

func TestLead(t *testing.T) {
	house, err := figures.LeadOn(103, 280)
	near(t, "a house of 1900 (National Environmental Health Forum)", house, err, 288, 0.5)
	debris, err := figures.LeadOn(2, 20)
	if err != nil {
		t.Fatal(err)
	}
	perKg, err := figures.LeadPerKg(debris, 400)
	near(t, "20 m² at 2 mg/cm² in 400 kg (computed independently)", perKg, err, 1000, 1e-9)
	// EPA Method 1311, section 1.2.
	for total, most := range map[figures.MilligramPerKg]float64{99: 4.95, 100: 5, 5000: 250} {
		leached, err := figures.LeachAtMost(total)
		near(t, fmt.Sprint(total, " mg/kg"), leached, err, most, 1e-12)
	}
	for total, want := range map[figures.MilligramPerKg]figures.Leaching{99: figures.CannotFail, 99.99: figures.CannotFail, 100: figures.MustBeTested, 5000: figures.MustBeTested} {
		if got, err := figures.TwentyTimes(total); err != nil || got != want {
			t.Errorf("%g mg/kg: %s (%v)", total, got, err)
		}
	}
	if verdict, err := figures.TwentyTimes(-1); err == nil || verdict == figures.CannotFail {
		t.Error("less than no lead passes")
	}
	if _, err := figures.LeadPerKg(2, 1); err == nil {
		t.Error("there is more lead than debris")
	}
	for shift, want := range map[figures.Hour]float64{4: 0.05, 8: 0.05, 10: 0.04} { // 29 CFR 1926.62(c)
		limit, err := figures.ShiftLimit(shift)
		near(t, fmt.Sprint(shift, " h"), limit, err, want, 1e-12)
	}
}

func TestWaste(t *testing.T) {
	near(t, "a drum (GNU units 2.22)", figures.Drum, nil, 208.2, 0.05)
	for litres, want := range map[figures.Litre]int{0: 0, 1: 1, 166.5: 1, 167: 2, 1000: 7} {
		if got, err := figures.Drums(litres, 80); err != nil || got != want {
			t.Errorf("%g L fill %d drums to four fifths (%v), not %d", litres, got, err, want)
		}
	}
	drums, err := figures.Drums(1000, 100)
	near(t, "drums to a cubic metre, 4.80 rounded up", float64(drums), err, 5, 0)
	density, _ := figures.FindUnit("kg/m³")
	for pounds, want := range map[float64]figures.KilogramPerM3{400: figures.LooseWood, 2400: figures.LooseConcrete} {
		perFoot, _ := figures.FindUnit("lb/ft³")
		got, _ := perFoot.To(density, pounds/27)
		near(t, fmt.Sprint(pounds, " lb/yd³"), got, nil, float64(want), 0.6)
	}
	wet, err := figures.WasteMass(20, 25, 3, 10, 2)
	near(t, "wet waste", wet, err, 30, 1e-12)
	space, err := figures.WasteVolume(figures.Kilogram(wet), figures.LooseWood)
	near(t, "its room", space, err, 126.6, 0.05)
}
