package figures_test

import (
	"fmt"
	"math"
	"testing"

	"patchfirst/knowledge/figures"
)

// MMWR 28 October 1994, table S3-1: all 78 cells, to the minute.
func TestPurgeTimesAgainstTheTable(t *testing.T) {
	for _, r := range table(t, "purge-times.csv", 26) {
		for column, removed := range map[string]figures.Percent{"min_90pct_published": 90, "min_99_published": 99, "min_99.9_published": 99.9} {
			hours, err := figures.PurgeTime(figures.PerHour(r.num(t, "ACH")), removed, 1)
			near(t, fmt.Sprint(column, " of ", r), 60*hours, err, r.num(t, column), 0.5)
			five, err := figures.PurgeTime(figures.PerHour(r.num(t, "ACH")), removed, 5)
			near(t, "with a mixing factor of 5", five, err, 5*float64(hours), 1e-9)
		}
	}
}

// A published table of 72 cells; a source of 1 m³/h in a room of 1 m³ is 1 g/h, and the concentration in mg/m³ a thousand
// times the printed one.
func TestBuildUpAgainstTheTable(t *testing.T) {
	for _, r := range table(t, "room-build-up.csv", 72) {
		c, err := figures.BuildUp(0, 1, 1, figures.PerHour(r.num(t, "n_per_h")), 1, figures.Hour(r.num(t, "t_min")/60))
		near(t, fmt.Sprint("concentration of ", r), c/1000, err, r.num(t, "c_published"), 5.5e-5)
	}
}

func TestBuildUpEdges(t *testing.T) {
	still, err := figures.BuildUp(10, 5, 50, 0, 1, 2)
	near(t, "no fresh air", still, err, 10+5*1000*2/50., 1e-9)
	left, err := figures.BuildUp(100, 0, 50, 2, 1, 1)
	near(t, "2 changes an hour after an hour: 14% left (published table)", left, err, 14, 0.5)
	steady, err := figures.BuildUp(0, 5, 50, 2, 3, 1000)
	flow, _ := figures.AirForLimit(5, steady, 3)
	changes, _ := figures.AirChanges(flow, 50)
	near(t, "the air that keeps a steady state is the air that made it", changes, err, 2, 1e-9)
	if _, err := figures.BuildUp(0, 5, 0, 2, 1, 1); err == nil {
		t.Error("there is no room")
	}
	if _, err := figures.BuildUp(0, 5, 50, 2, 0.5, 1); err == nil {
		t.Error("mixing is better than perfect")
	}
}

func TestVapour(t *testing.T) {
	carbonDioxide, err := figures.ToMilligrams(5000, 44)
	near(t, "5000 ppm of carbon dioxide (conversion sheet)", carbonDioxide, err, 9000, 10)
	benzene, err := figures.ToPPM(30, 78.11)
	near(t, "30 mg/m³ of benzene (conversion sheet)", benzene, err, 9.4, 0.05)
	toluene, err := figures.ToMilligrams(1, 92.1)
	near(t, "toluene (NIOSH Pocket Guide)", toluene, err, 3.77, 0.005)
	share, err := figures.ShareOfLimit([]figures.PPM{50, 100}, []figures.PPM{100, 200})
	near(t, "half and half", share, err, 1, 1e-12)
	if _, err := figures.ShareOfLimit([]figures.PPM{50}, nil); err == nil {
		t.Error("a vapour has no limit")
	}
	given, err := figures.SolventGivenOff(2, 1100, 60, 50)
	near(t, "2 L of 1100 kg/m³, 60% of it, half", given, err, 660, 1e-9)
}

// Volumes of vapour from a US gallon at 70 °F, in ft³: 29 CFR 1910.94 table G-11, from memory.
func TestVapourVolume(t *testing.T) {
	for _, test := range []struct {
		name  string
		mass  figures.GramPerMol
		kgPer figures.KilogramPerM3
		want  float64
	}{
		{"acetone", 58.08, 791, 44.0}, {"methyl ethyl ketone", 72.11, 805, 36.0}, {"toluene", 92.14, 867, 30.4}, {"ethanol", 46.07, 789, 55.2}, {"methanol", 32.04, 792, 80.5},
	} {
		gallon, err := figures.Mass(3.785411784, test.kgPer)
		if err != nil {
			t.Fatal(err)
		}
		volume, err := figures.VapourVolume(gallon.Grams(), test.mass, 21.1)
		near(t, test.name, float64(volume)/0.028316846592, err, test.want, 0.01*test.want)
	}
}

func TestExplosiveLimit(t *testing.T) {
	times, err := figures.DilutionToExplosive(1.4, figures.QuarterOfExplosive)
	near(t, "air for a gallon of toluene (29 CFR 1910.94, from memory)", times*30.4, err, 8564, 1)
	// One litre of acetone of 785 g fills 0.325 m³: 43 % of the limit in a room of 30 m³ (computed independently).
	acetone, err := figures.VapourVolume(785, 58.08, 20)
	near(t, "vapour of a litre of acetone", acetone, err, 0.325, 0.0005)
	share, err := figures.ShareOfExplosive(785, 58.08, 20, 30, 2.5)
	near(t, "share of the limit", share, err, 43, 0.5)
	tenth, err := figures.AirForExplosive(785, 58.08, 20, 2.5, figures.TenthOfExplosive, 1)
	quarter, _ := figures.AirForExplosive(785, 58.08, 20, 2.5, figures.QuarterOfExplosive, 1)
	near(t, "a tenth needs so many times the air of a quarter", tenth/quarter, err, 2.5, 1e-12)
}

// Fresh air for the exposure limit: the 403e6·SG·ER·K/(M·ppm) of ventilation texts, computed independently.
func TestAirForLimit(t *testing.T) {
	const pint = 473.176473 // mL
	for _, test := range []struct {
		name        string
		gramsAnHour figures.GramPerHour
		mass        figures.GramPerMol
		limit       figures.PPM
		mixing      figures.Mixing
		want        float64
	}{
		{"toluene, 1 pint a minute", 60 * pint * 0.867, 92.13, 100, 1, 37_900},
		{"methyl ethyl ketone, 1 pint a minute", 60 * pint * 0.805, 72.11, 200, 1, 22_500},
		{"methylene chloride, 1 pint an hour", pint * 1.326, 84.93, 25, 3, 12_600},
	} {
		limit, err := figures.ToMilligrams(test.limit, test.mass)
		if err != nil {
			t.Fatal(err)
		}
		flow, err := figures.AirForLimit(test.gramsAnHour, limit, test.mixing)
		near(t, test.name+", in cfm", float64(flow)/1.69901079552, err, test.want, 0.02*test.want)
	}
	limit, _ := figures.ToMilligrams(50, 92.14)
	flow, err := figures.AirForLimit(200, limit, 5)
	near(t, "200 g/h of toluene, 50 ppm, mixing 5 (computed independently)", flow, err, 5310, 10)
}

// The listed explosive limits hold the published one, and the molar masses agree to a tenth.
func TestSolventsAgainstTheTable(t *testing.T) {
	published := map[string]row{}
	for _, r := range table(t, "solvents.csv", 13) {
		published[r["cas"]] = r
	}
	checked := 0
	for _, s := range figures.Solvents() {
		if s.Source == "" || s.Explosive[0] > s.Explosive[1] {
			t.Errorf("%s says no source, or its limits are out of order", s.Name)
		}
		lowest, ok := s.LowestLimit()
		if ok != (len(s.Limits) > 0) {
			t.Errorf("%s: lowest limit %v (%v)", s.Name, lowest, ok)
		}
		for _, l := range s.Limits {
			if l.PPM < lowest.PPM || l.PPM <= 0 || l.From == "" {
				t.Errorf("%s: %v is below the lowest, %v, or has no source", s.Name, l, lowest)
			}
		}
		r, ok := published[s.CAS]
		if !ok {
			continue
		}
		if r["mw"] != "" {
			near(t, s.Name, s.MolarMass, nil, r.num(t, "mw"), 0.1)
		}
		lel := math.NaN()
		if _, err := fmt.Sscanf(r["lel_pct"], "%g", &lel); err != nil {
			t.Fatal(err)
		}
		if figures.Percent(lel) < s.Explosive[0] || figures.Percent(lel) > s.Explosive[1] {
			t.Errorf("%s: %g%% is not within %v", s.Name, lel, s.Explosive)
		}
		checked++
	}
	if checked < 9 {
		t.Errorf("only %d solvents are in the table", checked)
	}
}

// Steady brushing on paper: 1.5 L/m² of 1000 kg/m³, half solvent of which 40 % dries off, 0.5 h/m² on mouldings of 1.5, two
// people. 200 g/h of toluene with 50 ppm and a mixing factor of 5 take 5310 m³/h (own use of the published formula).
func TestAirByWork(t *testing.T) {
	given, err := figures.GivenOffByWork(1.5, 1000, 50, 40, 0.5, 1.5, 2)
	near(t, "given off", given, err, 800, 1e-9)
	for _, solvent := range figures.Solvents() {
		if solvent.Name == "toluene" {
			air, err := figures.AirFor(200, solvent, 50, 5)
			near(t, "air for toluene", air, err, 5310, 5)
			explosive, err := figures.AirFor(200, solvent, 0, 5) // 53.1 L/h of vapour × 4 × 99/1 × 5
			if near(t, "air without a limit", explosive, err, 105.1, 0.2); explosive >= air {
				t.Errorf("a quarter of the explosive limit takes %g m³/h, the exposure limit %g", explosive, air)
			}
		}
		if solvent.MolarMass == 0 {
			if _, err := figures.AirFor(200, solvent, 50, 5); err == nil {
				t.Errorf("%s has no molar mass and a figure", solvent.Name)
			}
		}
	}
}

// The figure facts of air need the coefficients of their method, and have no value without.
func TestLeastAirNeedsItsCoefficients(t *testing.T) {
	texts := map[string]string{"solvent": "toluene", "on_area": "1 to 2 L/m2", "solvent_density": "900 to 1200 kg/m3", "solvent_share": "40 to 90%", "dries_off": "20 to 60%",
		"pace": "0.1345 to 0.7176 h/m2", "shape": "1", "mixing": "2 to 5"}
	find := func(id string) (string, bool) { text, ok := texts[id]; return text, ok }
	// 72 g on 0.7176 h of work, twice as much air as 376.9 mg/m³ would take
	share, ok := figures.Compute("gel_vapour", []float64{532.49}, find)
	if !ok || math.Abs(share-100) > 0.01 {
		t.Errorf("the share is %g (%v)", share, ok)
	}
	for id := range texts {
		if _, ok := figures.Compute("gel_vapour", []float64{532}, func(want string) (string, bool) {
			if want == id {
				return "", false
			}
			return find(want)
		}); ok {
			t.Errorf("there is a figure without %s", id)
		}
	}
	if _, ok := figures.Compute("gel_vapour", []float64{0}, find); ok {
		t.Error("there is a share of no air")
	}
}
