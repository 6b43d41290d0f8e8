package statistics

import (
	"math"
	"slices"
)

// Interval is what is known of one time: after After, and by By at the latest. By is +Inf if it had not come at the last
// look. After == By is a time known to the point.
type Interval struct{ After, By float64 }

// Mass is a share of the times that lie after After and by By at the latest. Where between the two is not known.
type Mass struct{ After, By, Share float64 }

// Turnbull returns the nonparametric maximum-likelihood estimate of the distribution of times of which only intervals
// are known (Turnbull 1976): the innermost intervals that hold any mass, from the earliest on. Intervals that hold no
// time (By < After, or NaN) are left out; none gives none.
//
// Mass can lie only in innermost intervals: from a left end to the next right end with no other end between. Expectation
// and maximisation in turn spread it among them until the likelihood is at its maximum: there the sum over the
// observations of 1/P(observation) is n for every interval with mass, and at most n for the others (Gentleman and Geyer
// 1994). The gap of the log-likelihood to its maximum is at most the excess of that sum over n.
func Turnbull(observed []Interval) []Mass {
	observed = slices.DeleteFunc(slices.Clone(observed), func(i Interval) bool { return !(i.After <= i.By) })
	masses, holds := innermost(observed)
	if len(masses) == 0 {
		return nil
	}
	n := float64(len(observed))
	share := make([]float64, len(masses))
	for j := range share {
		share[j] = 1 / float64(len(share))
	}
	const gap, rounds = 1e-10, 200_000
	for range rounds {
		sums := make([]float64, len(share))
		for _, inside := range holds {
			p := 0.0
			for _, j := range inside {
				p += share[j]
			}
			for _, j := range inside {
				sums[j] += 1 / p
			}
		}
		worst := 0.0
		for j := range share {
			share[j] *= sums[j] / n
			worst = math.Max(worst, sums[j]/n-1)
		}
		if worst < gap {
			break
		}
	}
	const nothing = 1e-9
	kept := masses[:0]
	for j, m := range masses {
		if share[j] > nothing {
			m.Share = share[j]
			kept = append(kept, m)
		}
	}
	return kept
}

// end is one end of an observed interval. At the same time a closed left end comes before a right end, and that before
// an open left end: (1,2] and (2,3] share no time, [2,2] and (1,2] do.
type end struct {
	at   float64
	kind int // 0 closed left, 1 right, 2 open left
}

func (e end) compare(o end) int {
	switch {
	case e.at < o.at:
		return -1
	case e.at > o.at:
		return 1
	}
	return e.kind - o.kind
}

func (i Interval) left() end {
	if i.After == i.By {
		return end{i.After, 0}
	}
	return end{i.After, 2}
}

func (i Interval) right() end { return end{i.By, 1} }

// innermost returns the innermost intervals, and for each observation which of them lie in it.
func innermost(observed []Interval) (masses []Mass, holds [][]int) {
	var ends []end
	for _, i := range observed {
		ends = append(ends, i.left(), i.right())
	}
	slices.SortFunc(ends, end.compare)
	var lefts, rights []end
	for k := 1; k < len(ends); k++ {
		if ends[k-1].kind != 1 && ends[k].kind == 1 {
			masses = append(masses, Mass{After: ends[k-1].at, By: ends[k].at})
			lefts, rights = append(lefts, ends[k-1]), append(rights, ends[k])
		}
	}
	for _, i := range observed {
		var inside []int
		for j := range masses {
			if i.left().compare(lefts[j]) <= 0 && rights[j].compare(i.right()) <= 0 {
				inside = append(inside, j)
			}
		}
		holds = append(holds, inside)
	}
	return masses, holds
}

// ShareBy returns the share of times up to t: between lo and hi, since mass inside an interval has no known place.
func ShareBy(masses []Mass, t float64) (lo, hi float64) {
	for _, m := range masses {
		if m.By <= t {
			lo += m.Share
		}
		if m.After < t || m.After == m.By && m.By <= t {
			hi += m.Share
		}
	}
	return math.Min(lo, 1), math.Min(hi, 1)
}
