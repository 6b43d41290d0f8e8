package patches

import (
	"cmp"
	"math"
	"slices"
)

// Bracket is what the patches say of the dwell at one thickness and number of applications: some coats left at NotYet,
// none at CleanBy. Thicker, more often and longer never do worse, so a patch speaks for others too. Minutes at the
// reference temperature, over all applications.
type Bracket struct {
	Thickness float64 `json:"thickness_mm"`
	Passes    int     `json:"applications"`
	NotYet    float64 `json:"not_yet_minutes"`
	CleanBy   float64 `json:"-"`
}

// Contradiction is a pair of looks that cannot both hold on the same build-up: some coats left although the paste was no
// thinner, was put on no less often and lay no shorter than where it came clean.
type Contradiction struct {
	Left, Gone           *Patch
	LeftEntry, GoneEntry int
	LeftMinutes          float64
	GoneMinutes          float64
}

// Dwell is the advised time and thickness.
type Dwell struct {
	Thickness float64 // mm; 0: no paste
	Passes    int     // applications
	Minutes   float64 // take it off then
	From      float64 // begin to look then; the true time lies between
	// For the surface temperature that the job tells, where it differs from the reference: the temperature and the time.
	JobSurface, JobMinutes float64
	Elsewhere              bool
}

// brackets sets the bracket of each thickness and number of applications, and lists what contradicts. Nothing is averaged:
// where looks contradict, the dwell is the time after which no look found coats left.
func (c *Candidate) brackets(points []point) {
	for _, t := range c.Tests {
		c.bracket(t.Thickness, 1, points)
	}
	for _, p := range points {
		c.bracket(p.test.Thickness, p.passes, points)
	}
	slices.SortFunc(c.Brackets, func(a, b Bracket) int {
		return cmp.Or(cmp.Compare(a.Passes, b.Passes), cmp.Compare(a.Thickness, b.Thickness))
	})
	for _, left := range points {
		for _, gone := range points {
			if !left.clean && gone.clean && left.atLeast(gone.test.Thickness, gone.passes) && left.minutes >= gone.minutes {
				c.Contradictions = append(c.Contradictions, Contradiction{left.test.Patch, gone.test.Patch, left.entry, gone.entry, left.minutes, gone.minutes})
			}
		}
	}
}

// atLeast reports whether the paste was as thick, and was put on as often.
func (p point) atLeast(mm float64, passes int) bool {
	return p.test.Thickness >= mm && p.passes >= passes
}

func (c *Candidate) bracket(mm float64, passes int, points []point) {
	if slices.ContainsFunc(c.Brackets, func(b Bracket) bool { return b.Thickness == mm && b.Passes == passes }) {
		return
	}
	b := Bracket{Thickness: mm, Passes: passes, CleanBy: math.Inf(1)}
	for _, p := range points {
		if !p.clean && p.atLeast(mm, passes) {
			b.NotYet = max(b.NotYet, p.minutes)
		}
	}
	for _, p := range points {
		if p.clean && p.test.Thickness <= mm && p.passes <= passes && p.minutes > b.NotYet {
			b.CleanBy = min(b.CleanBy, p.minutes)
		}
	}
	c.Brackets = append(c.Brackets, b)
}

// dwell advises the fewest applications that came clean, and of those the thinnest paste. It is left on until the time at
// which the patches were clean, and looked at from the time at which they were not: the stretch between is the margin.
func (c *Candidate) dwell() *Dwell {
	for _, b := range c.Brackets {
		if !math.IsInf(b.CleanBy, 1) {
			return &Dwell{Thickness: b.Thickness, Passes: b.Passes, Minutes: b.CleanBy, From: b.NotYet}
		}
	}
	return nil
}

// asMuch reports whether a patch had at least the paste that is advised: one with less, where more came clean, says nothing
// against the method.
func (c *Candidate) asMuch(t *Test) bool {
	return c.Dwell == nil || t.Thickness >= c.Dwell.Thickness && t.Passes >= c.Dwell.Passes
}
