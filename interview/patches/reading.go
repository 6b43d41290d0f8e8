package patches

import (
	"cmp"
	"math"
	"slices"

	"patchfirst/interview/job"
	"patchfirst/interview/patches/statistics"
	"patchfirst/rules"
)

// Reading is what the record of a part shows.
type Reading struct {
	Candidates []*Candidate // gentlest first
	Questions  []job.Question
	ControlPH  *float64 // of the untouched spot, last read
	Next       Next
}

// State is what the patches of a method have shown so far.
type State string

// The states of a method. A patch has all but Refused and Partly.
const (
	Open    State = "open"    // some coats left, and the planned time is not over
	Clean   State = "clean"   // clean, and not yet judged dry
	Proven  State = "proven"  // clean, and no harm when dry
	Partly  State = "partly"  // clean on one patch and dead on another, or not tried on the worst area
	Dead    State = "failed"  // some coats left at the end
	Harmed  State = "harmed"  // harm was seen
	Refused State = "refused" // the rules allow no patch of it here
)

// Words say a state to people.
func (s State) Words() string {
	return map[State]string{
		Open: "not settled", Clean: "came clean; not judged dry yet", Proven: "proven: clean, and no harm when dry",
		Partly: "clean on some of it only", Dead: "failed", Harmed: "harm seen: stopped", Refused: "the rules allow no patch of it here; what it shows lifts no refusal",
	}[s]
}

// Candidate is a method with what its patches show.
type Candidate struct {
	Method         *rules.Method
	State          State
	Outcome        *rules.Outcome // nil if the part is not decided
	Range          Range
	HasRange       bool
	Reference      *float64 // °C that the times are for; nil: the surface was never read
	Tests          []*Test
	Brackets       []Bracket // by thickness, thinnest first
	Contradictions []Contradiction
	Dwell          *Dwell
	Clean, Judged  int     // patches that came clean, of those that came to an end
	Low, High      float64 // exact interval for the share of such places that come clean, at the confidence of the layout
	Needed         int     // clean patches in a row that would show the share of the layout
	Shares         []statistics.Mass
	ByThickness    []statistics.Level    // share of the patches of each thickness that came clean; thicker is never worse
	Watched        int                   // patches that were looked at for harm
	HarmAtMost     float64               // of such places, where none was seen on those watched
	HarmFree       []statistics.Survival // minutes until harm was seen
}

// Test is a patch with what it shows.
type Test struct {
	*Patch
	State       State
	NotYet      float64 // minutes at the reference temperature: some coats were left until then
	CleanBy     float64 // and none from then on; +Inf: not yet
	Harm        string
	HarmMinutes float64
	Dry         bool     // a look a day or more after it was clean found no harm
	PH          *float64 // last read
	points      []point
}

// point is a count of coats at one time.
type point struct {
	test    *Test
	minutes float64
	clean   bool
	entry   int
}

// Bracket is what the patches say of the dwell at one thickness: some coats left at NotYet, none at CleanBy. Thicker and
// longer never do worse, so a patch speaks for others too. Minutes at the reference temperature.
type Bracket struct {
	Thickness float64 `json:"thickness_mm"`
	NotYet    float64 `json:"not_yet_minutes"`
	CleanBy   float64 `json:"-"`
}

// Contradiction is a pair of looks that cannot both hold on the same build-up: some coats left although the paste was no
// thinner and lay no shorter than where it came clean.
type Contradiction struct {
	Left, Gone           *Patch
	LeftEntry, GoneEntry int
	LeftMinutes          float64
	GoneMinutes          float64
}

// Dwell is the advised time and thickness.
type Dwell struct {
	Thickness float64 // mm; 0: no paste
	Minutes   float64 // take it off then
	From      float64 // begin to look then; the true time lies between
	// For the surface temperature that the job tells, where it differs from the reference: the temperature and the time.
	JobSurface, JobMinutes float64
	Elsewhere              bool
}

// day is how long a patch dries before it is judged again: common practice.
const day = 24 * 60

// Read reads the record of a part. The decision may be nil: then nothing is known of what is offered.
func Read(f *Figures, b *rules.Base, r *Record, answers rules.Answers, s Site) *Reading {
	reading := &Reading{Questions: r.Questions(s)}
	for _, p := range r.Patches {
		i := slices.IndexFunc(reading.Candidates, func(c *Candidate) bool { return c.Method.ID == p.Method })
		if i < 0 {
			i = len(reading.Candidates)
			reading.Candidates = append(reading.Candidates, newCandidate(f, b.Method(p.Method), answers, s.Decision))
		}
		c := reading.Candidates[i]
		c.Tests = append(c.Tests, &Test{Patch: p})
	}
	slices.SortFunc(reading.Candidates, func(a, b *Candidate) int { return cmp.Compare(a.Method.Rank, b.Method.Rank) })
	for _, l := range r.Controls {
		if l.PH != nil {
			reading.ControlPH = l.PH
		}
	}
	for _, c := range reading.Candidates {
		c.read(f)
		if t, ok := answers["surface_temp"]; ok && t.Lo == t.Hi && c.Dwell != nil && c.Reference != nil && t.Lo != *c.Reference {
			c.Dwell.JobSurface, c.Dwell.JobMinutes, c.Dwell.Elsewhere = t.Lo, c.Dwell.Minutes*f.Warmth.Factor(*c.Reference, t.Lo), true
		}
	}
	reading.Next = next(f, reading, answers, s.Decision)
	return reading
}

func newCandidate(f *Figures, m *rules.Method, answers rules.Answers, d *rules.Decision) *Candidate {
	c := &Candidate{Method: m}
	if d == nil {
		return c
	}
	c.Outcome = Outcome(d, m)
	c.Range, c.HasRange = f.Range(m.ID, answers, d)
	return c
}

func (c *Candidate) read(f *Figures) {
	c.Reference = reference(c.Tests)
	var points []point
	for _, t := range c.Tests {
		t.read(f.Warmth, c)
		points = append(points, t.points...)
	}
	c.judge(points, f.Layout)
	c.counts(f.Layout)
}

// judge sets the brackets, the dwell and the state. A method that did harm or is refused has no dwell.
func (c *Candidate) judge(points []point, l Layout) {
	c.brackets(points)
	c.Dwell = c.dwell()
	if c.State = c.state(l); c.State == Harmed || c.State == Refused {
		c.Dwell = nil
	}
}

// reference is the temperature that the times of a method are told at: the first reading there is.
func reference(tests []*Test) *float64 {
	for _, t := range tests {
		if t.Surface != nil {
			return t.Surface
		}
		for _, l := range t.Looks {
			if l.Surface != nil {
				return l.Surface
			}
		}
	}
	return nil
}

func (t *Test) read(w Warmth, c *Candidate) {
	t.CleanBy = math.Inf(1)
	ended := false
	var cleanAt float64
	for k, l := range t.Looks {
		elapsed := l.Entry.At.Sub(t.Put.At).Minutes()
		if l.Harmed() && t.Harm == "" {
			t.Harm, t.HarmMinutes = l.Harm, elapsed
		}
		if l.PH != nil {
			t.PH = l.PH
		}
		if !math.IsInf(t.CleanBy, 1) && elapsed-cleanAt >= day && l.Harm == NoHarm {
			t.Dry = true
		}
		if l.LayersLeft != nil && !ended {
			dose := elapsed
			if c.Reference != nil {
				dose, _ = t.dose(k, *c.Reference, w)
			}
			t.points = append(t.points, point{t, dose, l.Clean(), l.Entry.ID})
			switch {
			case l.NotClean(): // after a clean look it contradicts it, and the slower counts
				t.NotYet, t.CleanBy, t.Dry = dose, math.Inf(1), false
			case math.IsInf(t.CleanBy, 1):
				t.CleanBy, cleanAt = dose, elapsed
			}
		}
		ended = ended || l.Off
	}
	over := c.Range.Look != nil && len(t.points) > 0 && t.NotYet >= slices.Max(c.atReference(w))
	clean := !math.IsInf(t.CleanBy, 1)
	switch {
	case t.Harm != "":
		t.State = Harmed
	case clean && t.Dry:
		t.State = Proven
	case clean:
		t.State = Clean
	case ended || over:
		t.State = Dead
	default:
		t.State = Open
	}
}

// atReference returns the planned looking times at the reference temperature.
func (c *Candidate) atReference(w Warmth) []float64 {
	look := slices.Clone(c.Range.Look)
	for i, t := range look {
		if c.Reference != nil {
			look[i] = c.Range.at(t, *c.Reference, w)
		}
	}
	return slices.Compact(look)
}

// brackets sets the bracket of each thickness, and lists what contradicts. Nothing is averaged: where looks contradict,
// the dwell is the time after which no look found coats left.
func (c *Candidate) brackets(points []point) {
	var thicknesses []float64
	for _, t := range c.Tests {
		thicknesses = append(thicknesses, t.Thickness)
	}
	slices.Sort(thicknesses)
	for _, mm := range slices.Compact(thicknesses) {
		c.Brackets = append(c.Brackets, bracket(mm, points))
	}
	for _, left := range points {
		for _, gone := range points {
			if !left.clean && gone.clean && left.test.Thickness >= gone.test.Thickness && left.minutes >= gone.minutes {
				c.Contradictions = append(c.Contradictions, Contradiction{left.test.Patch, gone.test.Patch, left.entry, gone.entry, left.minutes, gone.minutes})
			}
		}
	}
}

func bracket(mm float64, points []point) Bracket {
	b := Bracket{Thickness: mm, CleanBy: math.Inf(1)}
	for _, p := range points {
		if !p.clean && p.test.Thickness >= mm {
			b.NotYet = max(b.NotYet, p.minutes)
		}
	}
	for _, p := range points {
		if p.clean && p.test.Thickness <= mm && p.minutes > b.NotYet {
			b.CleanBy = min(b.CleanBy, p.minutes)
		}
	}
	return b
}

// counts says how much so few patches show: of the advised thickness and more, where one is advised.
func (c *Candidate) counts(l Layout) {
	var intervals []statistics.Interval
	var spans []statistics.Span
	var byThickness []statistics.Status
	for _, t := range c.Tests {
		if t.Harm != "" {
			spans = append(spans, statistics.Span{Time: t.HarmMinutes, Event: true})
		} else if watched := t.watched(); watched > 0 {
			spans = append(spans, statistics.Span{Time: watched})
		}
		clean := !math.IsInf(t.CleanBy, 1)
		judged := clean || t.State == Dead || t.State == Harmed
		if judged {
			byThickness = append(byThickness, statistics.Status{At: t.Thickness, Happened: clean})
		}
		if c.Dwell != nil && t.Thickness < c.Dwell.Thickness {
			continue
		}
		if clean {
			c.Clean++
		}
		if judged {
			c.Judged++
		}
		if c.Dwell != nil && t.Thickness == c.Dwell.Thickness && len(t.points) > 0 && t.NotYet < t.CleanBy {
			intervals = append(intervals, statistics.Interval{After: t.NotYet, By: t.CleanBy})
		}
	}
	c.Low, c.High = statistics.ClopperPearson(c.Clean, c.Judged, l.Confidence)
	c.ByThickness = statistics.CurrentStatus(byThickness)
	c.Watched, c.HarmAtMost = len(spans), statistics.AtMost(0, len(spans), l.Confidence)
	c.Needed = statistics.SuccessRun(l.Share, l.Confidence)
	if len(intervals) > 1 {
		c.Shares = statistics.Turnbull(intervals)
	}
	c.HarmFree = statistics.KaplanMeier(spans)
}

// watched is how long a patch was looked at for harm, and none was found.
func (t *Test) watched() (minutes float64) {
	for _, l := range t.Looks {
		if l.Harm == NoHarm {
			minutes = l.Entry.At.Sub(t.Put.At).Minutes()
		}
	}
	return minutes
}

// count returns how many patches have a state, of those with paste at least as thick as the advised one: thinner ones,
// where a thicker one came clean, say nothing against the method.
func (c *Candidate) count(s State) (n int) {
	for _, t := range c.Tests {
		if t.State == s && (c.Dwell == nil || t.Thickness >= c.Dwell.Thickness) {
			n++
		}
	}
	return n
}

func patchable(o *rules.Outcome) bool {
	ok, _ := Patchable(o)
	return ok
}

func (c *Candidate) state(l Layout) State {
	clean := c.count(Clean) + c.count(Proven)
	harmed := func(t *Test) bool { return t.State == Harmed }
	switch {
	case slices.ContainsFunc(c.Tests, harmed):
		return Harmed
	case c.Outcome != nil && !patchable(c.Outcome):
		return Refused
	case clean > 0 && c.count(Dead) > 0:
		return Partly
	case c.count(Open) > 0:
		return Open
	case clean == 0 && c.count(Dead) >= l.Dead:
		return Dead
	case clean == 0 || c.Dwell == nil:
		return Open // one dead patch does not end a method
	case slices.ContainsFunc(c.Tests, func(t *Test) bool { return t.State == Clean && t.Thickness == c.Dwell.Thickness }):
		return Clean
	case !slices.ContainsFunc(c.Tests, func(t *Test) bool { return t.State == Proven && t.Area != Soundest }):
		return Partly // the worst area was not tried
	}
	return Proven
}

// dwell advises the thinnest paste that came clean. It is left on until the time at which the patches were clean, and
// looked at from the time at which they were not: the stretch between is the margin.
func (c *Candidate) dwell() *Dwell {
	for _, b := range c.Brackets {
		if !math.IsInf(b.CleanBy, 1) {
			return &Dwell{Thickness: b.Thickness, Minutes: b.CleanBy, From: b.NotYet}
		}
	}
	return nil
}
