package patches

import (
	"cmp"
	"math"
	"slices"
	"time"
)

// Test is a patch with what it shows.
type Test struct {
	*Patch
	State       State
	NotYet      float64 // minutes at the reference temperature: some coats were left until then
	CleanBy     float64 // and none from then on; +Inf: not yet
	Passes      int     // applications until then; at least 1
	Harm        string
	HarmMinutes float64
	Dry         bool     // a look a day or more after it was clean found no harm
	PH          *float64 // last read
	points      []point
	moved       bool      // at the last count some coats had gone, or lifted
	dried       bool      // the edges of the paste dried before it was clean
	overdue     bool      // the record holds the paste on it, not clean, past its stop
	ended       bool      // the paste was taken off for good
	renewed     float64   // the dose at which the last application began
	renewedAt   time.Time // and when
}

// point is a count of coats at one time.
type point struct {
	test    *Test
	minutes float64
	passes  int
	clean   bool
	entry   int
}

// day is how long a patch dries before it is judged again: common practice.
const day = 24 * 60

// reference is the temperature that the times of a method are told at. A clean patch holds for its temperature and
// warmer, so it is that of the coldest patch that came clean; where none did it is the first reading there is.
func reference(tests []*Test) *float64 {
	read := func(t *Test) *float64 { return t.surfaceBefore(len(t.Looks)) }
	first := func(t *Test) *float64 {
		if t.Surface != nil {
			return t.Surface
		}
		if i := slices.IndexFunc(t.Looks, func(l Look) bool { return l.Surface != nil }); i >= 0 {
			return t.Looks[i].Surface
		}
		return nil
	}
	clean := slices.DeleteFunc(slices.Clone(tests), func(t *Test) bool { return read(t) == nil || !slices.ContainsFunc(t.Looks, Look.Clean) })
	if len(clean) > 0 {
		return first(slices.MinFunc(clean, func(a, b *Test) int { return cmp.Compare(*first(a), *first(b)) }))
	}
	for _, t := range tests {
		if r := first(t); r != nil {
			return r
		}
	}
	return nil
}

// read judges a patch. layers is how many coats there were; 0: not known.
func (t *Test) read(f *Figures, c *Candidate, layers float64) {
	t.CleanBy, t.Passes = math.Inf(1), 1
	ended := false
	var cleanAt float64
	most := layers
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
		if ended {
			continue
		}
		if l.Passes > t.Passes {
			t.renew(l.Passes, k, c, f.Warmth)
		}
		t.dried = t.dried || l.Edges == EdgesDry && !l.Clean()
		if l.LayersLeft != nil && (l.Clean() || !t.dried) {
			dose := t.doseAt(k, c, f.Warmth)
			t.points = append(t.points, point{t, dose, t.Passes, l.Clean(), l.Entry.ID})
			t.moved = *l.LayersLeft < most || l.Lifts == Easily || l.Lifts == WithWork
			most = max(most, *l.LayersLeft)
			switch {
			case l.NotClean(): // after a clean look it contradicts it, and the slower counts
				t.NotYet, t.CleanBy, t.Dry = dose, math.Inf(1), false
			case math.IsInf(t.CleanBy, 1):
				t.CleanBy, cleanAt = dose, elapsed
			}
		}
		ended = l.Off
	}
	t.judge(f, c, ended)
}

// renew notes that the paste was put on again after look k-1, or at once where it was not looked at before.
func (t *Test) renew(passes, k int, c *Candidate, w Warmth) {
	t.Passes, t.dried, t.renewed, t.renewedAt = passes, false, 0, t.Put.At
	if k > 0 {
		t.renewed, t.renewedAt = t.doseAt(k-1, c, w), t.Looks[k-1].Entry.At
	}
}

func (t *Test) doseAt(k int, c *Candidate, w Warmth) float64 {
	if c.Reference == nil {
		return t.Looks[k].Entry.At.Sub(t.Put.At).Minutes()
	}
	dose, _ := t.dose(k, *c.Reference, w)
	return dose
}

// judge sets the state of a patch. One that took some coats and not all is given another application before it is dead.
func (t *Test) judge(f *Figures, c *Candidate, ended bool) {
	look := c.atReference(f.Warmth)
	over := len(look) > 0 && len(t.points) > 0 && t.NotYet-t.renewed >= slices.Max(look)
	clean := !math.IsInf(t.CleanBy, 1)
	switch {
	case t.Harm != "":
		t.State = Harmed
	case clean && t.Dry:
		t.State = Proven
	case clean:
		t.State = Clean
	case t.dried:
		t.State = Spoilt
	case (ended || over) && t.moved && t.Passes < c.applications(f.Layout):
		t.State = Short
	case ended || over:
		t.State = Dead
	default:
		t.State = Open
	}
	t.ended = ended
}

// Overdue reports whether the paste should be off a patch by now: it has a stop, and the record does not say that it was
// taken off or that it came clean.
func (t *Test) Overdue() bool { return t.overdue }

// heedStop notes whether paste has lain until its stop: at the last look, or by now where that is known.
func (t *Test) heedStop(c *Candidate, now time.Time) {
	stop := c.stop(t)
	if n := len(t.Looks); n > 0 && t.Looks[n-1].Entry.At.After(now) {
		now = t.Looks[n-1].Entry.At
	}
	t.overdue = !stop.IsZero() && !t.ended && math.IsInf(t.CleanBy, 1) && !now.Before(stop)
}

// applications is how often paste is put on before a method is given up; without paste work goes on until it ends.
func (c *Candidate) applications(l Layout) int {
	switch {
	case c.Range.Thin == 0:
		return 1
	case c.Range.Passes > 0:
		return c.Range.Passes
	}
	return l.Applications
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
