package figures_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"patchfirst/knowledge/figures"
)

func TestDewPointAgainstTheTable(t *testing.T) {
	f, err := os.Open("testdata/dew-point.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	const least, tolerance = 100, 0.05
	if len(rows)-1 < least {
		t.Fatalf("only %d rows", len(rows)-1)
	}
	for _, row := range rows[1:] {
		var n [3]float64
		for i := range n {
			if n[i], err = strconv.ParseFloat(row[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		got, ok := figures.DewPoint(n[0], n[1])
		if !ok || math.Abs(got-n[2]) > tolerance {
			t.Errorf("at %g °C and %g %% the dew point is %.3f °C (%v), and in the table %.3f °C", n[0], n[1], got, ok, n[2])
		}
	}
}

// Saturated air has its own temperature as its dew point, and drier or colder air a lower one.
func TestDewPointFollowsTheAir(t *testing.T) {
	for air := -40.0; air <= 60; air += 5 {
		dew, ok := figures.DewPoint(air, 100)
		if !ok || math.Abs(dew-air) > 1e-9 {
			t.Errorf("saturated air of %g °C has a dew point of %g °C", air, dew)
		}
		before := math.Inf(-1)
		for humidity := 1.0; humidity <= 100; humidity++ {
			dew, ok := figures.DewPoint(air, humidity)
			if !ok || dew <= before {
				t.Fatalf("at %g °C the dew point does not rise to %g %%: %g after %g", air, humidity, dew, before)
			}
			before = dew
		}
	}
}

func TestComputeHasNoValueWhereThereIsNone(t *testing.T) {
	for name, inputs := range map[string][]float64{"dew_margin": {10, 20, 0}, "no such figure": {1, 2, 3}} {
		if v, ok := figures.Compute(name, inputs); ok {
			t.Errorf("%s%v is %g", name, inputs, v)
		}
	}
	if _, ok := figures.Compute("dew_margin", []float64{10, 20}); ok {
		t.Error("a figure is computed from too few inputs")
	}
}
