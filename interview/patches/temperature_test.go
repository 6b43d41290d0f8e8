package patches_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"patchfirst/interview/patches"
)

// Source: OpenStax, Chemistry 2e, section 12.5: a rate that doubles for each 10 °C is 4 times as fast from 25 to 45 °C,
// and 128 times from 25 to 95 °C.
func TestDoublingAgainstWorkedExample(t *testing.T) {
	w := figures(t, load(t)).Warmth
	for _, test := range []struct{ from, to, times float64 }{{45, 25, 4}, {95, 25, 128}, {25, 45, 1. / 4}, {15, 15, 1}} {
		if got := w.Factor(test.from, test.to); math.Abs(got-test.times) > 1e-9 {
			t.Errorf("%v to %v °C: %v, want %v", test.from, test.to, got, test.times)
		}
	}
}

// The rule keeps near the rate law for an activation energy of 51.2 kJ/mol, which doubles near 25 °C. Source:
// testdata/arrhenius_dwell.csv, computed from k = A exp(-Ea/RT).
func TestDoublingAgainstArrhenius(t *testing.T) {
	w := figures(t, load(t)).Warmth
	file, err := os.Open("testdata/arrhenius_dwell.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	in := csv.NewReader(file)
	in.Comment = '#'
	rows, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	checked := 0
	for _, row := range rows[1:] {
		at, err1 := strconv.ParseFloat(row[1], 64)
		want, err2 := strconv.ParseFloat(row[3], 64)
		if err1 != nil || err2 != nil {
			t.Fatal(row)
		}
		if row[0] != "51.2" || at < w.NoneBelow || at > 30 {
			continue
		}
		checked++
		if got := w.Factor(20, at); math.Abs(got/want-1) > 0.1 {
			t.Errorf("%v °C: dwell times %v, rate law %v", at, got, want)
		}
	}
	if checked < 5 {
		t.Errorf("only %d rows", checked)
	}
}

func TestDurationWords(t *testing.T) {
	for minutes, want := range map[float64]string{1. / 3: "20 s", 1: "60 s", 5: "5 min", 40: "40 min", 60: "1 h", 90: "90 min", 150: "2.5 h", 24 * 60: "24 h", 48 * 60: "48 h", 7 * 24 * 60: "7 days", math.Inf(1): "never"} {
		if got := patches.Duration(minutes); got != want {
			t.Errorf("%v: %s, want %s", minutes, got, want)
		}
	}
}

// A surface that cools evenly from 20 to 10 °C over ten hours counts as at 15 °C: 600 / sqrt(2) minutes at 20 °C. The next
// planned look, at 24 h, is what is left of it after that.
func TestCoolingSurface(t *testing.T) {
	b := load(t)
	d := (&diary{}).put(0, "A1", paste, "thickness: 3 mm", "surface_temp: 20 C").look(600, "A1", 2, "surface_temp: 10 C")
	r := read(t, b, d, indoors, "substrate=mild_steel") // softwood would stop it
	dose := 600 / math.Sqrt2
	if got := r.Candidates[0].Brackets[0].NotYet; math.Abs(got-dose) > 1e-6 {
		t.Errorf("counts as %v min, want %v", got, dose)
	}
	at := r.Next.Patches[0].At
	want := 600 + 24*hour - dose
	if got := at[1].Sub(start).Minutes(); len(at) != 4 || math.Abs(got-want) > 0.1 {
		t.Errorf("look after %v min, want %v", got, want)
	}
}

// Ten degrees colder doubles: 10 h at 20 °C and 20 h at 10 °C are the same dwell. It is told for the colder of the two, for
// which a clean patch holds.
func TestColderPatchesCompare(t *testing.T) {
	b := load(t)
	d := &diary{}
	d.put(0, "A1", paste, "thickness: 3 mm", "surface_temp: 20 C").look(6*hour, "A1", 2, "surface_temp: 20 C").look(10*hour, "A1", 0, "surface_temp: 20 C")
	d.put(10*hour, "A2", paste, "thickness: 3 mm", "surface_temp: 10 C").look(26*hour, "A2", 2, "surface_temp: 10 C").look(30*hour, "A2", 0, "surface_temp: 10 C")
	c := read(t, b, d, indoors, "surface_temp=20").Candidates[0]
	br := c.Brackets[0]
	if *c.Reference != 10 || math.Abs(br.NotYet-16*hour) > 1e-6 || math.Abs(br.CleanBy-20*hour) > 1e-6 || len(c.Contradictions) != 0 {
		t.Errorf("%+v %v", br, c.Contradictions)
	}
	if w := c.Dwell; !w.Elsewhere || w.JobSurface != 20 || math.Abs(w.JobMinutes-10*hour) > 1e-6 {
		t.Errorf("%+v", w)
	}
}
