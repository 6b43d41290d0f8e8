package statistics_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"patchfirst/interview/patches/statistics"
)

// Source: testdata/binomial_intervals.csv, R 4.2.2.
func TestExactIntervalsAgainstR(t *testing.T) {
	rows := table(t, "testdata/binomial_intervals.csv")
	const tolerance = 1e-6 // the one-sided columns are printed to nine digits
	for _, r := range rows {
		x, n := r.count(t, "x"), r.count(t, "n")
		lo, hi := statistics.ClopperPearson(x, n, 0.95)
		if !near(lo, r.number(t, "cp_lo"), tolerance) || !near(hi, r.number(t, "cp_hi"), tolerance) {
			t.Errorf("%d of %d: %v to %v, want %s to %s", x, n, lo, hi, r["cp_lo"], r["cp_hi"])
		}
		// The lower end of a two-sided interval at 90 % is the one-sided limit at 95 %.
		if got, _ := statistics.ClopperPearson(x, n, 0.90); !near(got, r.number(t, "one_sided95_lower_cp"), tolerance) {
			t.Errorf("%d of %d: at least %v, want %s", x, n, got, r["one_sided95_lower_cp"])
		}
		if got := statistics.AtMost(x, n, 0.95); !near(got, r.number(t, "one_sided95_upper_cp"), tolerance) {
			t.Errorf("%d of %d: at most %v, want %s", x, n, got, r["one_sided95_upper_cp"])
		}
	}
}

func TestPublishedIntervals(t *testing.T) {
	for _, test := range []struct {
		name       string
		x, n       int
		confidence float64
		lo, hi     float64
		digits     float64
	}{
		{"NIST/SEMATECH handbook 7.2.4.2, inputs", 4, 20, 0.90, 0.0713539, 0.4010281, 1e-7},
		{"R help of binom.test", 682, 925, 0.95, 0.7076683, 0.7654066, 1e-7},
		{"Newcombe 1998, exact", 81, 263, 0.95, 0.2527, 0.3676, 5e-5},
		{"Newcombe 1998, exact", 15, 148, 0.95, 0.0578, 0.1617, 5e-5},
		{"Newcombe 1998, exact", 0, 20, 0.95, 0, 0.1684, 5e-5},
		{"Newcombe 1998, exact", 1, 29, 0.95, 0.0009, 0.1776, 5e-5},
	} {
		lo, hi := statistics.ClopperPearson(test.x, test.n, test.confidence)
		if !near(lo, test.lo, test.digits) || !near(hi, test.hi, test.digits) {
			t.Errorf("%s, %d of %d: %v to %v, want %v to %v", test.name, test.x, test.n, lo, hi, test.lo, test.hi)
		}
	}
}

// Source: testdata/success_run.csv, R 4.2.2.
func TestSuccessRunAgainstR(t *testing.T) {
	for _, r := range table(t, "testdata/success_run.csv") {
		share, confidence := r.number(t, "reliability"), r.number(t, "confidence")
		n := statistics.SuccessRun(share, confidence)
		if n != r.count(t, "n_ceil") {
			t.Errorf("%v at %v: %d, want %s", share, confidence, n, r["n_ceil"])
		}
		// The run and the exact one-sided limit are the same statement.
		if got, _ := statistics.ClopperPearson(n, n, 2*confidence-1); got < share-1e-9 {
			t.Errorf("%d of %d show %v at %v, want %v", n, n, got, confidence, share)
		}
	}
}

func TestNothingKnown(t *testing.T) {
	for _, test := range []struct{ x, n int }{{0, 0}, {-1, 3}, {4, 3}, {0, -1}} {
		if lo, hi := statistics.ClopperPearson(test.x, test.n, 0.95); lo != 0 || hi != 1 {
			t.Errorf("%d of %d: %v to %v", test.x, test.n, lo, hi)
		}
	}
	for _, share := range []float64{0, 1, -1, 2, math.NaN()} {
		if n := statistics.SuccessRun(share, 0.95); n != 0 {
			t.Errorf("%v: %d", share, n)
		}
	}
}

// More successes never lower a limit, and the interval holds the share that was seen.
func TestExactIntervalProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "n")
		x := rapid.IntRange(0, n).Draw(t, "x")
		confidence := rapid.SampledFrom([]float64{0.8, 0.9, 0.95, 0.99}).Draw(t, "confidence")
		lo, hi := statistics.ClopperPearson(x, n, confidence)
		if share := float64(x) / float64(n); lo > share || hi < share || lo < 0 || hi > 1 {
			t.Fatalf("%d of %d: %v to %v", x, n, lo, hi)
		}
		if x < n {
			if lo2, hi2 := statistics.ClopperPearson(x+1, n, confidence); lo2 < lo || hi2 < hi {
				t.Fatalf("one more than %d of %d lowers a limit", x, n)
			}
		}
		// By definition: so few or fewer are seen with the tail's chance if the share is the upper limit.
		if x < n {
			chance := 0.0
			for k := 0; k <= x; k++ {
				chance += math.Exp(logChoose(n, k)) * math.Pow(hi, float64(k)) * math.Pow(1-hi, float64(n-k))
			}
			if !near(chance, (1-confidence)/2, 1e-8) {
				t.Fatalf("%d of %d: tail %v", x, n, chance)
			}
		}
	})
}

func logChoose(n, k int) float64 {
	lg := func(v int) float64 { g, _ := math.Lgamma(float64(v + 1)); return g }
	return lg(n) - lg(k) - lg(n-k)
}
