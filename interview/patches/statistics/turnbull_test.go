package statistics_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"patchfirst/interview/patches/statistics"
)

var never = math.Inf(1)

// Source: breast cosmesis data (Finkelstein and Wolfe 1985); masses published by Fay and Shaw 2010, vignette
// intervalCensoring of the R package interval.
func TestTurnbullAgainstPublishedMasses(t *testing.T) {
	observed := map[string][]statistics.Interval{}
	for _, r := range original(t, "turnbull_bcos_input.csv") {
		observed[r["treatment"]] = append(observed[r["treatment"]], statistics.Interval{After: r.number(t, "left"), By: r.number(t, "right")})
	}
	want := map[string][]row{}
	for _, r := range table(t, "testdata/turnbull_bcos_expected.csv") {
		want[r["group"]] = append(want[r["group"]], r)
	}
	for group, intervals := range observed {
		masses := statistics.Turnbull(intervals)
		if len(masses) != len(want[group]) {
			t.Errorf("%s: %d masses, want %d: %v", group, len(masses), len(want[group]), masses)
			continue
		}
		for i, m := range masses {
			w := want[group][i]
			if m.After != w.number(t, "left_open") || m.By != w.number(t, "right_closed") || !near(m.Share, w.number(t, "published_mass"), 5.1e-5) || !near(m.Share, w.number(t, "mass_computed"), 1e-6) {
				t.Errorf("%s: %v, want %v", group, m, w)
			}
		}
	}
}

// Source: lifelines, tests/test_npmle.py. Its intervals are closed; whole numbers allow an open end a half below.
func TestTurnbullSmallCase(t *testing.T) {
	lefts := []float64{1, 8, 8, 7, 7, 17, 37, 46, 46, 45}
	rights := []float64{7, 8, 10, 16, 14, never, 44, never, never, never}
	var observed []statistics.Interval
	for i := range lefts {
		observed = append(observed, statistics.Interval{After: lefts[i] - 0.5, By: rights[i]})
	}
	want := []statistics.Mass{{After: 6.5, By: 7, Share: 1. / 6}, {After: 7.5, By: 8, Share: 1. / 3}, {After: 36.5, By: 44, Share: 1. / 8}, {After: 45.5, By: never, Share: 3. / 8}}
	masses := statistics.Turnbull(observed)
	if len(masses) != len(want) {
		t.Fatalf("%v", masses)
	}
	for i, m := range masses {
		if m.After != want[i].After || m.By != want[i].By || !near(m.Share, want[i].Share, 1e-6) {
			t.Errorf("%v, want %v", m, want[i])
		}
	}
	if lo, hi := statistics.ShareBy(masses, 40); !near(lo, 0.5, 1e-6) || !near(hi, 0.625, 1e-6) {
		t.Errorf("share by 40: %v to %v", lo, hi)
	}
}

func intervals(t *rapid.T) []statistics.Interval {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) statistics.Interval {
		after := float64(rapid.IntRange(0, 12).Draw(t, "after"))
		switch rapid.IntRange(0, 3).Draw(t, "kind") {
		case 0:
			return statistics.Interval{After: after, By: never}
		case 1:
			return statistics.Interval{After: after, By: after}
		}
		return statistics.Interval{After: after, By: after + float64(rapid.IntRange(1, 8).Draw(t, "width"))}
	}), 1, 25).Draw(t, "observed")
}

func inside(m statistics.Mass, i statistics.Interval) bool {
	if i.After == i.By {
		return m.After == i.After && m.By == i.By
	}
	return m.By <= i.By && (m.After >= i.After && m.After < m.By || m.After == m.By && m.After > i.After)
}

// The estimate is a distribution, gives every observation a chance, and keeps the conditions of the maximum (Gentleman
// and Geyer 1994): the sum of 1/P is n on every interval with mass.
func TestTurnbullIsTheMaximum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		observed := intervals(t)
		masses := statistics.Turnbull(observed)
		total := 0.0
		sums := make([]float64, len(masses))
		for _, i := range observed {
			p := 0.0
			for _, m := range masses {
				if inside(m, i) {
					p += m.Share
				}
			}
			if p <= 0 {
				t.Fatalf("%v has no chance under %v", i, masses)
			}
			for j, m := range masses {
				if inside(m, i) {
					sums[j] += 1 / p
				}
			}
		}
		for j, m := range masses {
			total += m.Share
			if m.Share > 1e-4 && !near(sums[j]/float64(len(observed)), 1, 1e-3) {
				t.Fatalf("%v: the sum of 1/P is %v of n", m, sums[j]/float64(len(observed)))
			}
		}
		if !near(total, 1, 1e-6) {
			t.Fatalf("the shares add up to %v", total)
		}
	})
}

// Where every time is known to the point or lies beyond the last look, the estimate is the product-limit estimate.
func TestTurnbullIsProductLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var observed []statistics.Interval
		var spans []statistics.Span
		for range rapid.IntRange(1, 20).Draw(t, "n") {
			at, event := float64(rapid.IntRange(1, 10).Draw(t, "at")), rapid.Bool().Draw(t, "event")
			spans = append(spans, statistics.Span{Time: at, Event: event})
			if event {
				observed = append(observed, statistics.Interval{After: at, By: at})
			} else {
				observed = append(observed, statistics.Interval{After: at, By: never})
			}
		}
		masses := statistics.Turnbull(observed)
		for _, s := range statistics.KaplanMeier(spans) {
			if lo, _ := statistics.ShareBy(masses, s.Time); !near(1-lo, s.Share, 1e-4) {
				t.Fatalf("at %v: %v, product limit %v", s.Time, 1-lo, s.Share)
			}
		}
	})
}

// Where each was looked at once, the estimate is the isotonic regression.
func TestTurnbullIsCurrentStatus(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var observed []statistics.Interval
		var looks []statistics.Status
		for range rapid.IntRange(1, 20).Draw(t, "n") {
			at, happened := float64(rapid.IntRange(1, 10).Draw(t, "at")), rapid.Bool().Draw(t, "happened")
			looks = append(looks, statistics.Status{At: at, Happened: happened})
			if happened {
				observed = append(observed, statistics.Interval{After: 0, By: at})
			} else {
				observed = append(observed, statistics.Interval{After: at, By: never})
			}
		}
		masses := statistics.Turnbull(observed)
		for _, l := range statistics.CurrentStatus(looks) {
			if lo, _ := statistics.ShareBy(masses, l.At); !near(lo, l.Share, 1e-3) {
				t.Fatalf("at %v: %v, isotonic %v", l.At, lo, l.Share)
			}
		}
	})
}

func TestTurnbullOfNothing(t *testing.T) {
	if m := statistics.Turnbull([]statistics.Interval{{After: 2, By: 1}, {After: math.NaN(), By: 1}}); m != nil {
		t.Errorf("%v", m)
	}
}
