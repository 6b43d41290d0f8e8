package takeoff

import (
	"math"
	"os"
	"strings"
	"testing"

	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/knowledge"
	"patchfirst/rules/cases"
)

// Every published case has sums for all its methods, whatever was told and was not; bounds stand in order around the point.
func TestSumsOfThePublishedCases(t *testing.T) {
	b := base(t)
	all, err := cases.ReadFS(b, os.DirFS("../../testdata/cases"), "testdata/cases")
	if err != nil {
		t.Fatal(err)
	}
	plans, err := patches.LoadFigures(b)
	if err != nil {
		t.Fatal(err)
	}
	each := 8
	if testing.Short() {
		each = 40
	}
	tried := 0
	for i, one := range all {
		if i%each != 0 {
			continue
		}
		answers := knowledge.WithFigures(b, one.Given)
		d, contradiction, err := b.Decide(answers)
		if err != nil || contradiction != nil {
			t.Fatal(err, contradiction)
		}
		given := &Given{values: map[string]told{}, words: map[string]told{}, sizes: map[string]sizes{}}
		c := &Case{Base: b, Element: job.NewElement(one.Title), Answers: answers, Decision: d, Given: given, Plans: plans}
		for _, m := range b.Methods {
			s, err := c.Sum(m)
			if err != nil {
				t.Errorf("%s: %v", one.Title, err)
				continue
			}
			tried++
			for _, l := range s.Lines {
				if l.Result.Check() != nil {
					t.Errorf("%s: %s: %s is %v", one.Title, m.ID, l.ID, l.Result)
				}
			}
		}
	}
	if least := len(all) / each * len(b.Methods); tried < least {
		t.Errorf("%d sums, fewer than %d", tried, least)
	}
}

// A published job lies in the range of the sums: alkaline paste on 30,000 ft² of a steel overbridge took 3,800 worker-hours in
// all, with containment, scraping, rinsing and blasting after (NIOSH ECTB 183-17a), 1.36 h/m².
func TestBridgeOfNIOSH(t *testing.T) {
	b := base(t)
	s := sum(t, caseOf(t, b, strings.NewReplacer("substrate: softwood", "substrate: mild_steel", "part: door", "part: structural_steel", "profile: moulded", "profile: flat",
		"width: 2.4 m", "area: 30000 sq ft", "      height: 2.7 m\n", "", "layers: 9", "layers: 5").Replace(door)), "alkaline_covered")
	const published = 3800 / (30_000 * 0.09290304)
	hours, area := s.Line("hours").Result, s.Line("area").Result.Point
	if low, high := hours.Low/area, hours.High/area; published < low || published > high {
		t.Errorf("%.3g to %.3g h/m², and %.3g in the published job", low, high, published)
	}
}

// The paces of the base are those published, in the units they were printed in.
func TestPublishedPaces(t *testing.T) {
	b := base(t)
	perHour := func(sqft float64) float64 { return 1 / (sqft * 0.09290304) }
	c := caseOf(t, b, door)
	for _, test := range []struct {
		method    string
		low, high float64 // h/m²
		within    float64
		source    string
	}{
		{"solvent_covered", perHour(80), perHour(15), 0.0005, "PDCA as quoted in PaintPRO 9(5): 15 to 80 ft²/h for an application"},
		{"hot_air", perHour(5.88), perHour(1), 0.05, "USACERL TR FM-93/08: 1.00 to 5.88 ft²/h"},
		{"hot_steam", 1. / 60 / 0.09290304, math.NaN(), 0.001, "NAVFAC MO-913 4.4.1: 1 min/ft²"},
	} {
		s := sum(t, c, test.method)
		for _, l := range s.Leaves {
			if l.ID != "pace" {
				continue
			}
			if math.Abs(l.Low-test.low) > test.within || math.Abs(l.High-test.high) > test.within {
				t.Errorf("%s takes %v: %s", test.method, l.Quantity, test.source)
			}
		}
	}
}

// A method without sums says so.
func TestNoSumsAreSaid(t *testing.T) {
	b := base(t)
	for _, id := range []string{"specialist", "replace", "cover_over"} {
		s := sum(t, caseOf(t, b, door), id)
		if s.Line("hours") != nil || !strings.Contains(strings.Join(s.Notes, " "), "no sums") {
			t.Errorf("%s: %v", id, s.Notes)
		}
	}
}

// A factor that counts a railing all over is not doubled for two sides.
func TestAllOverIsNotDoubled(t *testing.T) {
	b := base(t)
	railing := strings.NewReplacer("part: door", "part: railing", "width: 2.4 m", "width: 10 m\n      sides: 2", "height: 2.7 m", "height: 1 m", "softwood", "wrought_iron",
		"profile: moulded", "profile: flat").Replace(door)
	check(t, sum(t, caseOf(t, b, railing), "alkaline_covered"), "area", 10, 10, 10)
	check(t, sum(t, caseOf(t, b, strings.Replace(railing, "sides: 2", "sides: 2\n      kind: flush_door", 1)), "alkaline_covered"), "area", 24, 24, 24)
}
