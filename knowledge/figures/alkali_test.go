package figures_test

import (
	"fmt"
	"math"
	"testing"

	"patchfirst/knowledge/figures"
)

func weak(ka float64) figures.Acid {
	return figures.Acid{Name: "weak acid", PKa: []float64{-math.Log10(ka)}}
}

// Textbook answers: OpenStax Chemistry 2e. Where the book drops x in the quadratic it is up to 0.013 off.
func TestPHOfTextbookLiquors(t *testing.T) {
	acetic, formic, barbituric, carbonic := weak(1.8e-5), weak(1.8e-4), weak(9.8e-5), figures.Acid{Name: "carbonic", PKa: []float64{-math.Log10(4.3e-7), -math.Log10(4.7e-11)}}
	for _, test := range []struct {
		name   string
		liquor figures.Liquor
		want   float64
		source string
	}{
		{"0.0125 M KOH", figures.Liquor{Base: 0.0125}, 12.10, "14.2"},
		{"0.21 M NaOH", figures.Liquor{Base: 0.21}, 13.32, "14.2"},
		{"7.1e-5 M barium hydroxide", figures.Liquor{Base: 1.42e-4}, 10.15, "14.2"},
		{"2.5 M KOH", figures.Liquor{Base: 2.5}, 14.40, "14.2"},
		{"0.000259 M perchloric acid", figures.Liquor{Base: -0.000259}, 3.587, "14.2"},
		{"white vinegar", figures.Liquor{Acids: []figures.Dissolved{{acetic, 0.8385}}}, 2.41, "14.3"},
		{"0.033 M carbonic acid", figures.Liquor{Acids: []figures.Dissolved{{carbonic, 0.033}}}, 3.92, "14.5"},
		{"buffer", figures.Liquor{Base: 0.1, Acids: []figures.Dissolved{{acetic, 0.2}}}, 4.74, "14.6"},
		{"buffer and 1 mL of base", figures.Liquor{Base: 0.0101 / 0.101, Acids: []figures.Dissolved{{acetic, 0.02 / 0.101}}}, 4.75, "14.6"},
		{"base in plain water of pH 4.74", figures.Liquor{Base: (1e-4 - 1.8e-6) / 0.101}, 10.99, "14.6"},
		{"0.1 and 0.3 M buffer", figures.Liquor{Base: 0.3, Acids: []figures.Dissolved{{acetic, 0.4}}}, 5.222, "14.6"},
		{"nitric acid and base, 15 mL", figures.Liquor{Base: (0.003 - 0.005) / 0.065}, 1.511, "14.7"},
		{"nitric acid and base, 40 mL", figures.Liquor{Base: (0.008 - 0.005) / 0.090}, 12.523, "14.7"},
		{"formic acid", figures.Liquor{Acids: []figures.Dissolved{{formic, 0.1}}}, 2.37, "14.7"},
		{"formic acid and 15 mL", figures.Liquor{Base: 0.003 / 0.065, Acids: []figures.Dissolved{{formic, 0.005 / 0.065}}}, 3.92, "14.7"},
		{"formic acid and 25 mL", figures.Liquor{Base: 0.005 / 0.075, Acids: []figures.Dissolved{{formic, 0.005 / 0.075}}}, 8.29, "14.7"},
		{"formic acid and 30 mL", figures.Liquor{Base: 0.006 / 0.080, Acids: []figures.Dissolved{{formic, 0.005 / 0.080}}}, 12.097, "14.7"},
		{"barbituric acid", figures.Liquor{Acids: []figures.Dissolved{{barbituric, 0.1}}}, 2.50, "14.7"},
		{"barbituric acid and 39 mL", figures.Liquor{Base: 0.0039 / 0.079, Acids: []figures.Dissolved{{barbituric, 0.004 / 0.079}}}, 5.60, "14.7"},
		{"barbituric acid and 41 mL", figures.Liquor{Base: 0.0041 / 0.081, Acids: []figures.Dissolved{{barbituric, 0.004 / 0.081}}}, 11.08, "14.7"},
	} {
		pH, err := figures.PHOf(test.liquor, 25)
		near(t, test.name+" (OpenStax Chemistry 2e "+test.source+")", pH, err, test.want, 0.013)
	}
}

// 25 mL of 0.1 M acetic acid with 0.1 M base: OpenStax Chemistry 2e 14.7, Ka 1.8e-5. 0.4 % too much base moves the pH by
// more than a unit.
func TestTitrationOfTheTextbook(t *testing.T) {
	for _, test := range []struct{ base, want float64 }{
		{0, 2.87}, {5, 4.14}, {10, 4.57}, {12.5, 4.74}, {20, 5.35}, {24.9, 7.14}, {25, 8.72}, {25.1, 10.30}, {37.5, 12.30}, {50, 12.52},
	} {
		pH, err := figures.Titrate(0.1, figures.Litre(test.base/1000), weak(1.8e-5), 0.1, 0.025)
		near(t, fmt.Sprint(test.base, " mL"), pH, err, test.want, 0.006)
	}
}

func TestNeutralisingAgainstTheTable(t *testing.T) {
	acids := map[string]figures.Acid{"1": figures.Acetic, "3": figures.Citric}
	for _, r := range table(t, "neutraliser-titration.csv", 240) {
		acid, base, strength := acids[r["eq_per_mol"]], figures.MolPerLitre(r.num(t, "base_eq_per_L")), figures.MolPerLitre(r.num(t, "acid_mol_per_L"))
		volume, err := figures.NeutraliserVolume(figures.Equivalent(base), acid, strength)
		near(t, fmt.Sprint("acid for a litre of ", r), volume, err, r.num(t, "acid_volume_per_L_base_at_equivalence_L"), 6e-6+1e-4*float64(volume))
		pH, err := figures.Titrate(base, 1, acid, strength, volume*figures.Litre(r.num(t, "fraction_of_equivalence")))
		near(t, fmt.Sprint("pH of ", r), pH, err, r.num(t, "pH_pKa_LibreTexts_25C"), 0.01)
	}
}

// At equivalence a weak acid leaves an alkaline liquor, and twice the acid leaves the pKa.
func TestEquivalenceIsNotSeven(t *testing.T) {
	for _, acid := range []figures.Acid{figures.Acetic, figures.Citric} {
		volume, err := figures.NeutraliserVolume(0.1, acid, 0.5)
		if err != nil {
			t.Fatal(err)
		}
		if pH, err := figures.Titrate(0.1, 1, acid, 0.5, volume); err != nil || pH < 8.6 || pH > 9.5 {
			t.Errorf("%s at equivalence leaves pH %g (%v)", acid.Name, pH, err)
		}
	}
	pH, err := figures.Titrate(0.1, 1, figures.Acetic, 0.8385, 2*0.11926)
	near(t, "twice the acetic acid", pH, err, 4.76, 0.01)
}

func TestStrengths(t *testing.T) {
	vinegar, err := figures.Strength(5, 1007, 60.05)
	near(t, "white vinegar (OpenStax Chemistry 2e 3.3)", vinegar, err, 0.839, 0.001)
	oneKg, err := figures.AlkaliOf(1, figures.SodiumHydroxide)
	near(t, "equivalents of 1 kg of sodium hydroxide", oneKg, err, 25, 0.01)
	acetic, err := figures.NeutraliserMass(oneKg, figures.Acetic)
	near(t, "acetic acid for it", acetic, err, 1.50, 0.005)
	citric, err := figures.NeutraliserMass(oneKg, figures.Citric)
	near(t, "citric acid for it", citric, err, 1.60, 0.005)
	litres, err := figures.NeutraliserVolume(oneKg, figures.Acetic, vinegar)
	near(t, "vinegar for it", litres, err, 29.8, 0.05)
}

// The paste of NIOSH ECTB 183-17a; equivalents and vinegar computed independently of this package.
func TestAlkaliOfAPublishedPaste(t *testing.T) {
	sodium := figures.AlkaliShare{Alkali: figures.SodiumHydroxide, Share: 9}
	calcium := figures.AlkaliShare{Alkali: figures.CalciumHydroxide, Share: 21}
	magnesium := figures.AlkaliShare{Alkali: figures.MagnesiumHydroxide, Share: 16}
	for _, test := range []struct {
		share figures.AlkaliShare
		want  float64
	}{{sodium, 2.25}, {calcium, 5.67}, {magnesium, 5.49}} {
		got, err := figures.AlkaliPerKg(test.share)
		near(t, test.share.Alkali.Name, got, err, test.want, 0.005)
	}
	all, err := figures.AlkaliPerKg(sodium, calcium, magnesium)
	near(t, "the paste", all, err, 13.4, 0.05)
	left, err := figures.ResidualAlkali(1, 0.1, all, 0)
	if err != nil {
		t.Fatal(err)
	}
	vinegar, err := figures.NeutraliserVolume(left, figures.Acetic, 0.8385)
	near(t, "vinegar for 0.1 kg of it left on a square metre", vinegar, err, 1.6, 0.01)
	if _, err := figures.AlkaliPerKg(figures.AlkaliShare{Alkali: figures.SodiumHydroxide, Share: 60}, figures.AlkaliShare{Alkali: figures.CalciumHydroxide, Share: 60}); err == nil {
		t.Error("a paste is more than all alkali")
	}
}

func TestDilutionNeverPassesNeutral(t *testing.T) {
	for _, r := range table(t, "dilution-strong-base.csv", 10) {
		pH, err := figures.PHOf(figures.Liquor{Base: figures.MolPerLitre(r.num(t, "strong_base_mol_per_L"))}, 25)
		near(t, fmt.Sprint("pH of ", r), pH, err, r.num(t, "pH_25C_exact"), 1e-4)
	}
	before := figures.PH(20)
	for base := figures.MolPerLitre(1); base > 1e-12; base /= 2 {
		pH, err := figures.PHOf(figures.Liquor{Base: base}, 25)
		if err != nil || pH < 7 || pH >= before+1e-9 {
			t.Fatalf("at %g mol/L the pH is %g after %g (%v)", base, pH, before, err)
		}
		before = pH
	}
}

// Single values of OpenStax Chemistry 2e, appendix E.
func TestIonProduct(t *testing.T) {
	for celsius, want := range map[figures.Celsius]float64{0: 14.95, 20: 14.17, 25: 14.00, 30: 13.84, 40: 13.55} {
		pKw, err := figures.IonProduct(celsius)
		near(t, fmt.Sprint(celsius), pKw, err, want, 0.005)
	}
	cold, err := figures.PHOf(figures.Liquor{Base: 0.01}, 10)
	near(t, "0.01 M base at 10 °C", cold, err, 12.54, 0.005)
	if _, err := figures.IonProduct(51); err == nil {
		t.Error("51 °C is answered")
	}
}

func TestSerialRinsesAgainstTheTable(t *testing.T) {
	for _, r := range table(t, "serial-rinse.csv", 54) {
		film, rinse, n := figures.LitrePerM2(r.num(t, "film_L_per_m2")), figures.LitrePerM2(r.num(t, "rinse_L_per_m2")), int(r.num(t, "n"))
		kept, err := figures.Retained(film, rinse, n)
		want := r.num(t, "retained_fraction")
		near(t, fmt.Sprint("retained of ", r), kept, err, want, 1e-5*want)
		start, err := figures.PHOf(figures.Liquor{Base: figures.MolPerLitre(r.num(t, "C0_mol_L"))}, 25)
		if err != nil {
			t.Fatal(err)
		}
		readings, err := figures.AfterRinses(start, figures.RinseWater{PH: 7, Temperature: 25}, film, rinse, n)
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprint("pH of ", r), readings[n], nil, r.num(t, "pH_pure_water_25C"), 0.002)
	}
	kept, err := figures.Retained(1, 999, 1)
	near(t, "1 part and 999 of water (Surface Finishing Guidebook 2011-12 p. 81)", kept, err, 0.001, 1e-15)
}

// Hard water, 2.5 meq/L of bicarbonate at pH 7.8, with base stirred in; computed independently of this package, with a
// pKa of 6.37 for 6.35, which moves the first by 0.02.
func TestHardWaterBringsThePHDownSooner(t *testing.T) {
	water := figures.RinseWater{PH: 7.8, Bicarbonate: 0.0025, Temperature: 25}
	for _, test := range []struct{ base, want float64 }{{1e-4, 8.46}, {5e-4, 9.57}, {1e-3, 9.99}, {5e-3, 11.40}} {
		const film, rinse = 0.001, 0.999 // so little film that the water hardly changes
		reading, err := figures.PHOf(figures.Liquor{Base: figures.MolPerLitre(test.base / film)}, 25)
		if err != nil {
			t.Fatal(err)
		}
		mixed, err := figures.AfterRinses(reading, water, film, rinse, 1)
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprint(test.base, " mol/L"), mixed[1], nil, test.want, 0.025)
	}
}

// 2.5 M caustic in 0.1 L/m² of film, rinsed with 2 L/m²: 13.08, 11.75, 10.43, 9.11 (computed independently).
func TestRinsesNeeded(t *testing.T) {
	n, readings, err := figures.RinsesNeeded(14.398, figures.RinseWater{PH: 7, Temperature: 25}, 0.1, 2, 1)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{14.40, 13.08, 11.75, 10.43, 9.11} {
		near(t, fmt.Sprint("reading ", i), readings[i], nil, want, 0.006)
	}
	if n != 5 || len(readings) != 6 || readings[4] <= 8 || readings[5] > 8 {
		t.Errorf("%d rinses: %v", n, readings)
	}
	if _, _, err := figures.RinsesNeeded(14, figures.RinseWater{PH: 7, Temperature: 25}, 1, 0.001, 1); err == nil {
		t.Error("a rinse of a teaspoon is enough")
	}
	if n, _, err := figures.RinsesNeeded(7.5, figures.RinseWater{PH: 7, Temperature: 25}, 0.1, 2, 1); n != 0 || err != nil {
		t.Errorf("a rinsed surface needs %d rinses (%v)", n, err)
	}
}

func TestWhatAStripCanShow(t *testing.T) {
	whole, err := figures.PHStrip(1)
	if err != nil {
		t.Fatal(err)
	}
	half, _ := figures.PHStrip(0.5)
	if !whole.CanShow(1) || whole.CanShow(0.3) || !figures.PHMeter.CanShow(0.3) {
		t.Error("a strip of whole units proves 0.3, or a meter does not")
	}
	for _, test := range []struct {
		instrument       figures.PHInstrument
		surface, control figures.PH
		want             figures.Comparison
	}{
		{whole, 7, 7, figures.CannotTell}, // either may be one off
		{half, 7, 7, figures.WithinLimit},
		{half, 7.5, 7, figures.CannotTell},
		{half, 9.5, 7, figures.BeyondLimit},
		{half, 9, 7, figures.CannotTell},
		{figures.PHMeter, 7.6, 7, figures.WithinLimit},
		{figures.PHMeter, 7.7, 7, figures.CannotTell},
		{figures.PHMeter, 8.5, 7, figures.BeyondLimit},
		{figures.PHMeter, 6, 8, figures.WithinLimit},
	} {
		_, got, err := test.instrument.AboveControl(test.surface, test.control, 1)
		if err != nil || got != test.want {
			t.Errorf("%s reads %g against %g: %s (%v), not %s", test.instrument.Name, test.surface, test.control, got, err, test.want)
		}
	}
	for surface, want := range map[figures.PH]figures.Comparison{7.6: figures.WithinLimit, 6.4: figures.WithinLimit, 6.3: figures.CannotTell, 5.5: figures.BeyondLimit, 8.5: figures.BeyondLimit} {
		if _, got, err := figures.PHMeter.NearControl(surface, 7, 1); err != nil || got != want {
			t.Errorf("after acid, a meter reads %g against 7: %s (%v), not %s", surface, got, err, want)
		}
	}
	if _, err := figures.PHStrip(0); err == nil {
		t.Error("a strip has no steps")
	}
}

// 40 CFR 261.22; the caustic is computed independently: 0.0316 mol/L.
func TestCorrosiveWaste(t *testing.T) {
	for pH, want := range map[figures.PH]bool{12.49: false, 12.5: true, 2: true, 2.01: false, 7: false} {
		if got, err := figures.Corrosive(pH); err != nil || got != want {
			t.Errorf("pH %g: %v (%v)", pH, got, err)
		}
	}
	base, err := figures.BaseFor(12.5, 25)
	near(t, "base of pH 12.5", base, err, 0.0316, 5e-5)
}
