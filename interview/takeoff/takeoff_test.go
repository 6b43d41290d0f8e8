package takeoff

import (
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"patchfirst/interview/job"
	"patchfirst/knowledge"
	"patchfirst/knowledge/figures"
	"patchfirst/rules"
)

// loaded is read once: every test asks it, and none changes it.
var loaded = sync.OnceValues(func() (*rules.Base, error) { return knowledge.Load("") })

func base(t testing.TB) *rules.Base {
	t.Helper()
	b, err := loaded()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// caseOf decides the first part of a job.
func caseOf(t testing.TB, b *rules.Base, text string) *Case {
	t.Helper()
	j, err := job.Parse(b, "job.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	answers := knowledge.WithFigures(b, Facts(b, j, j.Elements[0]))
	d, contradiction, err := b.Decide(answers)
	if err != nil || contradiction != nil {
		t.Fatal(err, contradiction)
	}
	c, err := NewCase(b, "job.yaml", j, j.Elements[0])
	if err != nil {
		t.Fatal(err)
	}
	c.Decide(answers, d)
	return c
}

const door = `
job: A house
site: {jurisdiction: uk, built: 1911, worker: trade, surface_temp: 12}
elements:
  - name: door
    part: door
    profile: moulded
    substrate: softwood
    place: outside
    coatings: [alkyd, oil_paint]
    layers: 9
    takeoff:
      width: 2.4 m
      height: 2.7 m
      wage: 28 GBP/h
      prices: {solvent_paste: 16 GBP/L, cover: 0.40 GBP/m2}
      containers: {solvent_paste: [1 L, 5 L, 20 L]}
`

func sum(t testing.TB, c *Case, method string) *Sums {
	t.Helper()
	s, err := c.Sum(c.Base.Method(method))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func check(t testing.TB, s *Sums, id string, low, point, high float64) {
	t.Helper()
	l := s.Line(id)
	if l == nil {
		t.Errorf("%s: there is no figure %s", s.Method.ID, id)
		return
	}
	r := l.Result.Range
	for _, pair := range [][2]float64{{r.Low, low}, {r.Point, point}, {r.High, high}} {
		if math.Abs(pair[0]-pair[1]) > 1e-6*math.Max(1, math.Abs(pair[1])) {
			t.Errorf("%s: %s is %g (%g to %g), not %g (%g to %g)", s.Method.ID, id, r.Point, r.Low, r.High, point, low,
				high)
			return
		}
	}
}

// A door of 2.4 × 2.7 m with nine coats, on paper. The factors of a panelled door are those of four books, the pace 15 to 80
// square feet an hour (PDCA, as quoted in PaintPRO 9(5)), the wait that of the trade for 9 to 15 coats.
func TestDoorOnPaper(t *testing.T) {
	s := sum(t, caseOf(t, base(t), door), "solvent_covered")
	const face = 2.4 * 2.7
	check(t, s, "area", face*1.1, face*1.3, face*2)
	check(t, s, "film", 9*51, 9*51, 9*51)
	check(t, s, "passes", 1, 1, 1)
	check(t, s, "paste", face*1.1*3*1.10, face*1.3*4*1.175, face*2*5*1.25)
	check(t, s, "paste_bought", 24, 40, 81)
	check(t, s, "cover", 11.6, 11.6, 11.6) // 2.6 m and a lap of 0.1 take two strips of 2 m, 2.9 m long
	pace := func(sqft float64) float64 { return 1 / (sqft * 0.09290304) }
	const printed = 2e-4 // 0.1345 and 0.7176 stand rounded in the base
	if got := s.Line("strip").Result.Range; math.Abs(got.Low/(face*1.1*1.2*pace(80))-1) > 3*printed || math.Abs(got.High/(face*2*1.8*pace(15))-1) > 3*printed {
		t.Errorf("stripping takes %v h", got)
	}
	warmer := math.Exp2(0.3) // 3 °C below 15 °C
	check(t, s, "wait", 16*warmer, 24*warmer, 48*warmer)
	hours := s.Line("hours").Result
	check(t, s, "wages", 28*s.Line("paid_hours").Result.Low, 28*s.Line("paid_hours").Result.Point,
		28*s.Line("paid_hours").Result.High)
	if hours.Point <= s.Line("strip").Result.Point {
		t.Errorf("%v h in all, of which %v for stripping", hours, s.Line("strip").Result)
	}
	check(t, s, "solvent_paste_cost", 24*16, 40*16, 81*16)
	check(t, s, "cover_cost", 4.64, 4.64, 4.64)
	check(t, s, "old_paint", face*1.1*459e-6*1200, face*1.3*459e-6*1600, face*2*459e-6*2000)
}

// The brushed gel takes one to three coats a pass, so nine coats take three to nine passes.
func TestGelGoesOverAgainAndAgain(t *testing.T) {
	c := caseOf(t, base(t), door)
	gel, covered := sum(t, c, "solvent_brushed"), sum(t, c, "solvent_covered")
	check(t, gel, "passes", 3, 5, 9)
	if gel.Line("wait").Result.Point >= covered.Line("wait").Result.Point || gel.Line("hours").Result.Point <= covered.Line("hours").Result.Point {
		t.Errorf("gel: %v, %v h; covered: %v, %v h", gel.Line("wait").Result, gel.Line("hours").Result,
			covered.Line("wait").Result, covered.Line("hours").Result)
	}
}

// strippers are the methods that have sums of their own and take paint off.
var strippers = []string{"wash_off", "steam", "spirit_rub", "wet_scrape", "dry_scrape", "poultice", "solvent_covered",
	"solvent_brushed", "alkaline_covered", "alkaline_brushed",
	"wet_abrade", "hot_steam", "infrared", "hot_air", "extracted_sanding", "soft_abrasive", "laser", "water_jet", "grit_blast", "power_tool", "dry_sanding"}

// All methods have sums, whatever the rules say of them: a person may ask what a refused one would have cost.
func TestEveryMethodHasSums(t *testing.T) {
	c := caseOf(t, base(t), door)
	for _, id := range append([]string{"leave", "tank_dip", "acid"}, strippers...) {
		s := sum(t, c, id)
		for _, want := range []string{"area", "hours", "cost", "days"} {
			if s.Line(want) == nil {
				t.Errorf("%s has no %s", id, want)
			}
		}
		seen := map[string]bool{}
		for _, l := range s.Lines {
			if seen[l.ID] {
				t.Errorf("%s: the figure %s stands twice", id, l.ID)
			}
			seen[l.ID] = true
			if l.Result.Check() != nil {
				t.Errorf("%s: %s is %v", id, l.ID, l.Result)
			}
			if l.Formula.Words == "" || l.Formula.Source == "" || len(l.Inputs) == 0 {
				t.Errorf("%s: %s has no working: %+v", id, l.ID, l.Formula)
			}
			for _, in := range l.Inputs {
				if used := l.Uses[in.Name]; in.From == "" || used != "" && !seen[used] {
					t.Errorf("%s: %s does not say where %s comes from (%s)", id, l.ID, in.Name, in.From)
				}
			}
		}
		for _, l := range s.Leaves {
			if l.From == "" || l.Kind == "" {
				t.Errorf("%s: the input %s comes from nowhere", id, l.ID)
			}
		}
	}
}

func method(t *rapid.T, b *rules.Base) *rules.Method {
	return b.Method(rapid.SampledFrom(strippers).Draw(t, "method"))
}

func with(c *Case, id string, a rules.Answer) *Case {
	out := *c
	out.Answers = c.Answers.With(id, a)
	return &out
}

// More layers are never cheaper, nor less work.
func TestMoreLayersAreNeverCheaper(t *testing.T) {
	c := caseOf(t, base(t), door)
	rapid.Check(t, func(t *rapid.T) {
		m := method(t, c.Base)
		few := rapid.IntRange(1, 39).Draw(t, "coats")
		more := rapid.IntRange(few+1, 40).Draw(t, "more coats")
		var sums [2]*Sums
		for i, coats := range []int{few, more} {
			s, err := with(c, "layers", rules.Answer{Lo: float64(coats), Hi: float64(coats)}).Sum(m)
			if err != nil {
				t.Fatal(err)
			}
			sums[i] = s
		}
		for _, id := range []string{"passes", "hours", "paid_hours", "cost", "old_paint", "paste", "wait"} {
			a, b := sums[0].Line(id), sums[1].Line(id)
			if a == nil || b == nil {
				continue
			}
			const rounding = 1 - 1e-12
			if b.Result.Low < a.Result.Low*rounding || b.Result.Point < a.Result.Point*rounding || b.Result.High < a.Result.High*rounding {
				t.Fatalf("%s: %s of %d coats is %v, of %d coats %v", m.ID, id, few, a.Result, more, b.Result)
			}
		}
	})
}

// No area needs nothing and costs nothing.
func TestNoAreaCostsNothing(t *testing.T) {
	b := base(t)
	c := caseOf(t, b, strings.NewReplacer("width: 2.4 m", "area: 0 m2", "height: 2.7 m", "sure: true").Replace(door))
	for _, id := range append([]string{"leave"}, strippers...) {
		s := sum(t, c, id)
		for _, figure := range []string{"area", "paste", "paste_bought", "hours", "paid_hours", "old_paint", "waste",
			"bags", "runoff", "drums", "media", "abrasives", "hire", "lead", "cost"} {
			if l := s.Line(figure); l != nil && (l.Result.Low != 0 || l.Result.High != 0) {
				t.Errorf("%s: %s of no area is %v", id, figure, l.Result)
			}
		}
	}
}

// The bounds hold for every draw of the inputs: whatever they are in their ranges, each figure lies in its own.
func TestBoundsHoldForEveryDraw(t *testing.T) {
	b := base(t)
	inside := caseOf(t, b, strings.NewReplacer("place: outside", "place: inside\n    airflow: limited", "wage: 28 GBP/h",
		"wage: 25 to 32 GBP/h\n      room: 40 m3").Replace(door))
	cases := []*Case{caseOf(t, b, door), inside}
	full := map[string]*Sums{}
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(0, 1).Draw(t, "case")
		m := method(t, b)
		key := fmt.Sprint(k, m.ID)
		if full[key] == nil {
			s, err := cases[k].Sum(m)
			if err != nil {
				t.Fatal(err)
			}
			full[key] = s
		}
		s := full[key]
		pins := map[string]float64{}
		for _, l := range s.Leaves {
			pins[l.ID] = figures.Triangular(l.Range, rapid.Float64Range(0, 1).Draw(t, l.ID))
		}
		drawn, err := cases[k].at(m, pins)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range drawn.Lines {
			r := s.Line(l.ID).Result.Range
			slack := 1e-9 * (1 + math.Abs(r.High))
			if v := l.Result.Point; v < r.Low-slack || v > r.High+slack {
				t.Fatalf("%s: %s is %g in a draw, and %v in all", m.ID, l.ID, v, r)
			}
		}
	})
}

// What is told wins over what is planned.
func TestOwnRateWins(t *testing.T) {
	b := base(t)
	c := caseOf(t, b, strings.Replace(door, "wage: 28 GBP/h", "wage: 28 GBP/h\n      rates: {solvent_covered: 0.6 h/m2}",
		1))
	s := sum(t, c, "solvent_covered")
	for _, l := range s.Leaves {
		if l.ID == "pace" {
			t.Errorf("the planned pace is used: %+v", l)
		}
		if l.ID == "rate of solvent_covered" && (l.Kind != Told || l.Point != 0.6 || !strings.Contains(l.From,
			"told in line")) {
			t.Errorf("the rate is %+v", l)
		}
	}
}

// Sizes that are told in gallons are bought in gallons.
func TestContainersInTheirUnit(t *testing.T) {
	c := caseOf(t, base(t), strings.Replace(door, "[1 L, 5 L, 20 L]", "[1 US gal, 5 US gal]", 1))
	l := sum(t, c, "solvent_covered").Line("paste_bought")
	if l.Result.Unit.Symbol != "US gal" || l.Result.Point != 11 || l.Note != "2 × 5 US gal and 1 × 1 US gal" { // 39.6 L are 10.46 gallons
		t.Errorf("%v: %s", l.Result, l.Note)
	}
}
