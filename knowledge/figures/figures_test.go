package figures_test

import (
	"math"
	"testing"

	"patchfirst/knowledge/figures"
)

// Expected values computed with PsychroLib 2.5.0 (npm psychrolib 1.1.1), whose saturation pressures are those of ASHRAE
// Fundamentals 2017 chapter 1 table 3; the Magnus form is within 0.05 K of it above freezing.
func TestDewPoint(t *testing.T) {
	for _, test := range []struct{ air, humidity, dew float64 }{
		{20, 80, 16.45}, {10, 80, 6.71}, {30, 50, 18.45}, {5, 85, 2.69},
	} {
		got, ok := figures.DewPoint(test.air, test.humidity)
		if !ok || math.Abs(got-test.dew) > 0.05 {
			t.Errorf("%g °C at %g %%: dew point %.3f, want %.2f", test.air, test.humidity, got, test.dew)
		}
	}
	for _, wrong := range []struct{ air, humidity float64 }{{20, 0}, {20, 101}, {99, 50}} {
		if got, ok := figures.DewPoint(wrong.air, wrong.humidity); ok {
			t.Errorf("%g °C at %g %% gives %g", wrong.air, wrong.humidity, got)
		}
	}
}

func TestCompute(t *testing.T) {
	margin, ok := figures.Compute("dew_margin", []float64{19, 20, 80})
	if !ok || math.Abs(margin-2.55) > 0.05 {
		t.Errorf("margin %g", margin)
	}
	if _, ok := figures.Compute("none", nil); ok {
		t.Error("an unknown figure has a value")
	}
}
