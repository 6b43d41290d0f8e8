package statistics_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"patchfirst/interview/patches/statistics"
)

func TestIsotonic(t *testing.T) {
	for _, test := range []struct {
		name       string
		y, w, want []float64
	}{
		{"R help of isoreg; scikit-learn 1.2.1 gives the same", []float64{1, 0, 4, 3, 3, 5, 4, 2, 0}, nil, []float64{.5, .5, 3, 3, 3, 3, 3, 3, 3}},
		{"0, 2, 1 and 3 of three clean", []float64{0, 2. / 3, 1. / 3, 1}, []float64{3, 3, 3, 3}, []float64{0, .5, .5, 1}},
		{"nothing", nil, nil, nil},
	} {
		got := statistics.Isotonic(test.y, test.w)
		if !slices.EqualFunc(got, test.want, func(a, b float64) bool { return near(a, b, 1e-12) }) {
			t.Errorf("%s: %v, want %v", test.name, got, test.want)
		}
	}
}

// The fit never falls, keeps the weighted mean, and no never-falling values are nearer: the slack of every partial sum
// is not negative, and is nil where the fit rises.
func TestIsotonicIsNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y := rapid.SliceOfN(rapid.Float64Range(0, 1), 1, 15).Draw(t, "y")
		w := rapid.SliceOfN(rapid.Float64Range(0.5, 5), len(y), len(y)).Draw(t, "w")
		fit := statistics.Isotonic(y, w)
		slack := 0.0
		for i := range y {
			slack += w[i] * (y[i] - fit[i])
			rises := i+1 == len(y) || fit[i+1] > fit[i]+1e-12
			if slack < -1e-9 || rises && math.Abs(slack) > 1e-9 {
				t.Fatalf("%v of %v: slack %v at %d", fit, y, slack, i)
			}
			if i > 0 && fit[i] < fit[i-1] {
				t.Fatalf("%v falls", fit)
			}
		}
	})
}

// Source: lung tumours in mice (Hoel and Walburg 1972).
func TestCurrentStatusAgainstMice(t *testing.T) {
	looks := map[string][]statistics.Status{}
	for _, r := range original(t, "current_status_mice_input.csv") {
		s := statistics.Status{At: r.number(t, "u"), Happened: r.number(t, "l") == 0}
		if !s.Happened || math.IsInf(s.At, 1) {
			s = statistics.Status{At: r.number(t, "l")}
		}
		looks[r["grp"]], looks["all"] = append(looks[r["grp"]], s), append(looks["all"], s)
	}
	checkMice(t, looks)
}

// The same with observations made up from the counts of the published table, so that it runs everywhere: within a step
// those with the event come first, as they may.
func TestCurrentStatusAgainstCountsOfMice(t *testing.T) {
	looks := map[string][]statistics.Status{}
	for _, r := range table(t, "testdata/current_status_mice_expected_pava.csv") {
		for i := range r.count(t, "n") {
			s := statistics.Status{At: r.number(t, "time_to")}
			if i < r.count(t, "events") {
				s = statistics.Status{At: r.number(t, "time_from"), Happened: true}
			}
			looks[r["group"]] = append(looks[r["group"]], s)
		}
	}
	checkMice(t, looks)
}

func checkMice(t *testing.T, looks map[string][]statistics.Status) {
	t.Helper()
	for _, r := range table(t, "testdata/current_status_mice_expected_pava.csv") {
		seen := 0
		for _, l := range statistics.CurrentStatus(looks[r["group"]]) {
			if l.At < r.number(t, "time_from") || l.At > r.number(t, "time_to") {
				continue
			}
			seen++
			if !near(l.Share, r.number(t, "F_hat"), 1e-6) {
				t.Errorf("%s at %v: %v, want %s", r["group"], l.At, l.Share, r["F_hat"])
			}
		}
		if seen == 0 {
			t.Errorf("%s: no step from %s to %s", r["group"], r["time_from"], r["time_to"])
		}
	}
}

// Source: testdata/km_aml_expected.csv, R survival.
func TestKaplanMeierAgainstAML(t *testing.T) {
	for _, group := range []string{"Maintained", "Nonmaintained"} {
		var spans []statistics.Span
		for _, r := range table(t, "testdata/km_aml_input.csv") {
			if r["x"] == group {
				spans = append(spans, statistics.Span{Time: r.number(t, "time"), Event: r["status"] == "1"})
			}
		}
		var want []row
		for _, r := range table(t, "testdata/km_aml_expected.csv") {
			if r["strata"] == "x="+group {
				want = append(want, r)
			}
		}
		checkSurvival(t, statistics.KaplanMeier(spans), want, "se")
	}
}

// Source: 6-mercaptopurine, n = 21 (Freireich and others 1963). The observations follow from the table's counts: who
// left between two events was at risk at the first and not at the second.
func TestKaplanMeierAgainst6MP(t *testing.T) {
	want := table(t, "testdata/km_6mp_expected.csv")
	var spans []statistics.Span
	for i, r := range want {
		for range r.count(t, "n_event") {
			spans = append(spans, statistics.Span{Time: r.number(t, "time"), Event: true})
		}
		left := r.count(t, "n_risk") - r.count(t, "n_event")
		if i+1 < len(want) {
			left -= want[i+1].count(t, "n_risk")
		}
		for range left {
			spans = append(spans, statistics.Span{Time: r.number(t, "time") + 0.5})
		}
	}
	if len(spans) != 21 {
		t.Fatalf("%d observations, want 21", len(spans))
	}
	checkSurvival(t, statistics.KaplanMeier(spans), want, "greenwood_se")
}

func checkSurvival(t *testing.T, got []statistics.Survival, want []row, se string) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%d steps, want %d", len(got), len(want))
	}
	for i, s := range got {
		w := want[i]
		if s.Time != w.number(t, "time") || s.AtRisk != w.count(t, "n_risk") || s.Events != w.count(t, "n_event") || !near(s.Share, w.number(t, "surv"), 1e-12) {
			t.Errorf("%v, want %v", s, w)
		}
		if w[se] != "NA" && !near(s.SE, w.number(t, se), 1e-12) {
			t.Errorf("standard error %v, want %s", s.SE, w[se])
		}
	}
}
