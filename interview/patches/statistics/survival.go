package statistics

import (
	"math"
	"slices"
)

// Span is how long one thing was watched: until the event, or until the watching ended without it.
type Span struct {
	Time  float64
	Event bool
}

// Survival is the estimated share still without the event after a time at which one happened.
type Survival struct {
	Time   float64
	AtRisk int // watched until then, and without the event
	Events int
	Share  float64
	SE     float64 // standard error by Greenwood's formula
}

// KaplanMeier returns the product-limit estimate (Kaplan and Meier 1958), one step for each time with an event. What was
// watched until just then counts as at risk.
func KaplanMeier(spans []Span) []Survival {
	var times []float64
	for _, s := range spans {
		if s.Event {
			times = append(times, s.Time)
		}
	}
	slices.Sort(times)
	share, variance := 1.0, 0.0
	var steps []Survival
	for _, t := range slices.Compact(times) {
		step := Survival{Time: t}
		for _, s := range spans {
			if s.Time >= t {
				step.AtRisk++
			}
			if s.Event && s.Time == t {
				step.Events++
			}
		}
		n, d := float64(step.AtRisk), float64(step.Events)
		share *= 1 - d/n
		step.Share = share
		if share > 0 {
			variance += d / (n * (n - d))
			step.SE = share * math.Sqrt(variance)
		}
		steps = append(steps, step)
	}
	return steps
}
