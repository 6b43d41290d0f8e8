package figures_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"patchfirst/knowledge/figures"
)

func drawn[T ~float64](t *rapid.T, name string, low, high float64) T {
	return T(rapid.Float64Range(low, high).Draw(t, name))
}

// must stops at an error that no draw should give.
func must[T any](v T, err error) func(*rapid.T) T {
	return func(t *rapid.T) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

func TestNoAreaNeedsNothingAndTwiceTheAreaTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		thickness, applications, waste := drawn[figures.Millimetre](t, "thickness", 0, 50), float64(rapid.IntRange(0, 20).Draw(t, "applications")), drawn[figures.Percent](t, "waste", 0, 100)
		rinse, rinses := drawn[figures.LitrePerM2](t, "rinse", 0, 100), float64(rapid.IntRange(0, 20).Draw(t, "rinses"))
		loading := drawn[figures.MilligramPerCm2](t, "loading", 0, 100)
		all := func(area figures.SquareMetre) []float64 {
			return []float64{
				float64(must(figures.PasteVolume(area, thickness, applications, waste))(t)),
				float64(must(figures.RinseVolume(area, rinse, rinses))(t)),
				float64(must(figures.ResidualAlkali(area, 0.1, 13.4, 0.05))(t)),
				float64(must(figures.LeadOn(loading, area))(t)),
				float64(must(figures.PaintMass(area, 500, 1600))(t)),
				float64(must(figures.CoveredArea(area, 1.3, 2))(t)),
			}
		}
		area := drawn[figures.SquareMetre](t, "area", 0, 1000)
		none, once, twice := all(0), all(area), all(2*area)
		for i := range none {
			if none[i] != 0 || math.Abs(twice[i]-2*once[i]) > 1e-9*twice[i]+1e-300 {
				t.Fatalf("figure %d: %g for no area, %g for %g m², %g for twice that", i, none[i], once[i], area, twice[i])
			}
		}
		if sheet := must(figures.CoverArea(0, 2, 1, 0.1, 0.1))(t); sheet != 0 {
			t.Fatalf("no face takes %g m² of sheet", sheet)
		}
	})
}

// More coats never take fewer litres, by the trade's planning ranges.
func TestMoreLayersNeverTakeFewerLitres(t *testing.T) {
	for _, method := range []string{"alkaline_covered", "solvent_covered", "solvent_brushed", "alkaline_brushed"} {
		var before figures.Range
		planned := 0
		for coats := 1; coats <= 40; coats++ {
			p, ok := figures.PlanFor(method, coats)
			if !ok {
				continue
			}
			planned++
			if p.Thickness.Check() != nil || len(p.LookAt) == 0 {
				t.Fatalf("%s for %d coats: %+v", method, coats, p)
			}
			litres := func(mm float64) float64 {
				v, err := figures.PasteVolume(1, figures.Millimetre(mm), float64(p.Applications), 10)
				if err != nil {
					t.Fatal(err)
				}
				return float64(v)
			}
			now := figures.Range{Low: litres(p.Thickness.Low), Point: litres(p.Thickness.Point), High: litres(p.Thickness.High)}
			if now.Low < before.Low || now.Point < before.Point || now.High < before.High {
				t.Errorf("%s: %d coats take %v L/m², one fewer %v", method, coats, now, before)
			}
			before = now
		}
		if planned < 9 {
			t.Errorf("%s is planned for %d numbers of coats only", method, planned)
		}
	}
	for method, coats := range map[string]int{"alkaline_covered": 0, "solvent_covered": 16, "solvent_brushed": 10, "hot_air": 3} {
		if p, ok := figures.PlanFor(method, coats); ok {
			t.Errorf("%s for %d coats: %+v", method, coats, p)
		}
	}
	p, _ := figures.PlanFor("alkaline_brushed", 7)
	if p.Applications != 3 {
		t.Errorf("seven coats take %d brushed applications", p.Applications)
	}
	two := figures.TwoPackPlan()
	two.LookAt[0] = 0
	if figures.TwoPackPlan().LookAt[0] != 4 {
		t.Error("a plan can be changed from outside")
	}
	rapid.Check(t, func(t *rapid.T) {
		area, mm := drawn[figures.SquareMetre](t, "area", 0, 1000), drawn[figures.Millimetre](t, "thickness", 0, 25)
		applications := float64(rapid.IntRange(0, 19).Draw(t, "applications"))
		fewer := must(figures.PasteVolume(area, mm, applications, 10))(t)
		if more := must(figures.PasteVolume(area, 2*mm, applications+1, 10))(t); more < fewer {
			t.Fatalf("%g L after %g L", more, fewer)
		}
	})
}

// Rinsing twice as often with half the water always leaves less, and never more than the rinse before.
func TestManySmallRinsesBeatFewLargeOnes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		film, rinse, n := drawn[figures.LitrePerM2](t, "film", 0.01, 1), drawn[figures.LitrePerM2](t, "rinse", 0.01, 20), rapid.IntRange(1, 20).Draw(t, "rinses")
		few, many := must(figures.Retained(film, rinse, n))(t), must(figures.Retained(film, rinse/2, 2*n))(t)
		if many >= few {
			t.Fatalf("%d rinses of half leave %g, %d whole ones %g", 2*n, many, n, few)
		}
		reading := drawn[figures.PH](t, "reading", 8, 14)
		before := reading + 1e-6
		for i, pH := range must(figures.AfterRinses(reading, figures.RinseWater{PH: 7.5, Bicarbonate: 0.002, Temperature: 12}, film, rinse, n))(t) {
			if pH > before || pH < 7.49 {
				t.Fatalf("rinse %d reads %g after %g", i, pH, before)
			}
			before = pH + 1e-6
		}
	})
}

func TestInverses(t *testing.T) {
	same := func(t *rapid.T, what string, got, want, slack float64) {
		t.Helper()
		if math.Abs(got-want) > slack*(1+math.Abs(want)) {
			t.Fatalf("%s: %g becomes %g", what, want, got)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		ppm, molar := drawn[figures.PPM](t, "ppm", 0, 1e5), drawn[figures.GramPerMol](t, "molar mass", 16, 300)
		same(t, "vapour", float64(must(figures.ToPPM(must(figures.ToMilligrams(ppm, molar))(t), molar))(t)), float64(ppm), 1e-12)

		pH, water := drawn[figures.PH](t, "pH", 1, 14), drawn[figures.Celsius](t, "water", 0, 50)
		same(t, "pH", float64(must(figures.PHOf(figures.Liquor{Base: must(figures.BaseFor(pH, water))(t)}, water))(t)), float64(pH), 1e-6)

		dry, solids := drawn[figures.Micrometre](t, "dry film", 0, 1000), drawn[figures.Percent](t, "solids", 1, 100)
		same(t, "film", float64(must(figures.DryFilm(must(figures.WetFilm(dry, solids))(t), solids))(t)), float64(dry), 1e-12)

		energy, from, to := drawn[figures.KilojoulePerMol](t, "energy", 10, 100), drawn[figures.Celsius](t, "from", 5, 15), drawn[figures.Celsius](t, "to", 17, 30)
		same(t, "energy", float64(must(figures.ActivationEnergy(must(figures.RateFactor(energy, from, to))(t), from, to))(t)), float64(energy), 1e-9)
		hours := drawn[figures.Hour](t, "hours", 0, 24)
		there := must(figures.DwellAt(hours, to, from, energy))(t)
		if there < hours {
			t.Fatalf("in the cold %g h become %g", hours, there)
		}
		same(t, "dwell", float64(must(figures.DwellAt(there, from, to, energy))(t)), float64(hours), 1e-9)

		humidity := drawn[figures.Percent](t, "humidity", 1, 94)
		same(t, "humidity for wood", float64(must(figures.HumidityForWood(20, must(figures.WoodMoisture(20, humidity))(t)))(t)), float64(humidity), 1e-3)
	})
}

// No other combination of containers holds the volume with less left over, or as much with fewer containers.
func TestContainersAreTheBest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sizes := rapid.SliceOfNDistinct(rapid.IntRange(1, 40), 1, 3, rapid.ID[int]).Draw(t, "half litres")
		need := rapid.Float64Range(0, 60).Draw(t, "need")
		var litres []figures.Litre
		for _, s := range sizes {
			litres = append(litres, figures.Litre(s)/2)
		}
		bestTotal, bestCount := math.Inf(1), 0
		var try func(i int, total float64, count int)
		try = func(i int, total float64, count int) {
			if total >= need-1e-9 {
				if total < bestTotal || total == bestTotal && count < bestCount {
					bestTotal, bestCount = total, count
				}
				return
			}
			if i < len(litres) {
				try(i, total+float64(litres[i]), count+1)
				try(i+1, total, count)
			}
		}
		try(0, 0, 0)
		total, count := 0.0, 0
		for _, tin := range must(figures.Containers(figures.Litre(need), litres...))(t) {
			total, count = total+float64(tin.Size)*float64(tin.Count), count+tin.Count
		}
		if total != bestTotal || count != bestCount {
			t.Fatalf("%g L in %v: %g L in %d, and best %g L in %d", need, litres, total, count, bestTotal, bestCount)
		}
	})
}

// Readings of a finer instrument never prove less.
func TestFinerInstrumentsProveMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		surface, control := drawn[figures.PH](t, "surface", 4, 13), drawn[figures.PH](t, "control", 4, 13)
		step := drawn[figures.PH](t, "step", 0.2, 2)
		coarse, fine := must(figures.PHStrip(step))(t), must(figures.PHStrip(step/2))(t)
		r, rough, err := coarse.AboveControl(surface, control, 1)
		_, sharp, err2 := fine.AboveControl(surface, control, 1)
		if err != nil || err2 != nil || r.Check() != nil || !r.Contains(float64(surface-control)) {
			t.Fatalf("%v %v %v", r, err, err2)
		}
		if rough != figures.CannotTell && sharp != rough {
			t.Fatalf("%g against %g: %s, and finer %s", surface, control, rough, sharp)
		}
	})
}
