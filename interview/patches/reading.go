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
	entries    []job.Entry
	layers     float64 // coats that the patches are to take; 0: not known
}

// State is what the patches of a method have shown so far.
type State string

// The states of a method and of a patch. A patch is never Refused or Partly, a method never Short or Spoilt.
const (
	Open    State = "open"    // some coats left, and the planned time is not over
	Clean   State = "clean"   // clean, and not yet judged dry
	Proven  State = "proven"  // clean, and no harm when dry
	Partly  State = "partly"  // clean on one patch and not on another, or not tried on the worst area
	Short   State = "short"   // of a patch: took some coats and not all, and may be given another application
	Spoilt  State = "spoilt"  // of a patch: its edges dried, which says nothing of the method
	Dead    State = "failed"  // nothing lifted at the end, or coats were left after the last application
	Harmed  State = "harmed"  // harm was seen
	Refused State = "refused" // the rules allow no patch of it here
)

// Words say a state to people.
func (s State) Words() string {
	return map[State]string{
		Open: "not settled", Clean: "came clean; not judged dry yet", Proven: "proven: clean, and no harm when dry",
		Partly: "clean on some of it only", Short: "took some coats, not all", Spoilt: "its edges dried: the patch failed, not the method", Dead: "failed", Harmed: "harm seen: stopped", Refused: "the rules allow no patch of it here; what it shows lifts no refusal",
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
	Colder         []*rules.Limit        // the job tells of a surface so much colder than the patches that these are not kept
}

// Read reads the record of a part. The decision may be nil: then nothing is known of what is offered.
func Read(f *Figures, b *rules.Base, r *Record, answers rules.Answers, s Site) *Reading {
	reading := &Reading{Questions: r.Questions(s), entries: r.Entries, layers: s.Layers}
	if s.Decision != nil {
		if _, stage := offers(s.Decision); stage != nil {
			reading.layers = 0 // the patches of a stage are to take its coats only
		}
	}
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
		c.read(f, reading.layers)
		for _, t := range c.Tests {
			t.heedStop(c, s.Now)
		}
		c.elsewhere(f, b, answers)
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

// elsewhere compares the patches with the surface temperature that the job tells.
func (c *Candidate) elsewhere(f *Figures, b *rules.Base, answers rules.Answers) {
	t, ok := answers["surface_temp"]
	if !ok || t.Lo != t.Hi || c.Dwell == nil || c.Reference == nil || t.Lo == *c.Reference {
		return
	}
	c.Dwell.JobSurface, c.Dwell.JobMinutes, c.Dwell.Elsewhere = t.Lo, c.Dwell.Minutes*f.Warmth.Factor(*c.Reference, t.Lo), true
	for _, l := range b.LimitsOn("colder_than_patch", "apply", c.Method, answers) {
		if !l.Keeps(*c.Reference - t.Lo) {
			c.Colder = append(c.Colder, l)
		}
	}
}

func (c *Candidate) read(f *Figures, layers float64) {
	c.Reference = reference(c.Tests)
	var points []point
	for _, t := range c.Tests {
		t.read(f, c, layers)
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

// atReference returns the planned looking times at the reference temperature.
func (c *Candidate) atReference(w Warmth) []float64 {
	if c.Reference == nil {
		return c.Range.Look
	}
	return c.Range.looks(*c.Reference, w)
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
		judged := clean || t.State == Dead || t.State == Short || t.State == Harmed
		if judged {
			byThickness = append(byThickness, statistics.Status{At: t.Thickness, Happened: clean})
		}
		if !c.asMuch(t) {
			continue
		}
		if clean {
			c.Clean++
		}
		if judged {
			c.Judged++
		}
		if c.Dwell != nil && t.Thickness == c.Dwell.Thickness && t.Passes == c.Dwell.Passes && len(t.points) > 0 && t.NotYet < t.CleanBy {
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

// count returns how many patches have a state, of those with at least the paste that is advised.
func (c *Candidate) count(s State) (n int) {
	for _, t := range c.Tests {
		if t.State == s && c.asMuch(t) {
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
	case clean > 0 && c.count(Dead)+c.count(Short) > 0:
		return Partly
	case c.count(Open) > 0:
		return Open
	case clean == 0 && c.count(Dead) >= l.Dead:
		return Dead
	case clean == 0 || c.Dwell == nil:
		return Open // one dead patch does not end a method, nor one that took some coats
	case slices.ContainsFunc(c.Tests, func(t *Test) bool {
		return t.State == Clean && t.Thickness == c.Dwell.Thickness && t.Passes == c.Dwell.Passes
	}):
		return Clean
	case !slices.ContainsFunc(c.Tests, func(t *Test) bool { return t.State == Proven && t.Area != Soundest }):
		return Partly // the worst area was not tried
	}
	return Proven
}
