package diary

import (
	"fmt"
	"math"
	"time"

	"patchfirst/interview/patches"
	"patchfirst/rules"
)

// layersLeft is the last count of coats; nil: none were counted.
func (b *Batch) layersLeft() (left *float64) {
	var at time.Time
	for _, l := range b.Looks {
		if l.LayersLeft != nil {
			left, at = l.LayersLeft, l.Entry.At
		}
	}
	for _, r := range b.Removals {
		if r.LayersLeft != nil && !r.Entry.At.Before(at) {
			left, at = r.LayersLeft, r.Entry.At
		}
	}
	return left
}

// harm is what was seen of harm; empty: none.
func (b *Batch) harm() string {
	for _, l := range b.Looks {
		if l.Harm != "" && l.Harm != patches.NoHarm {
			return l.Harm
		}
	}
	for _, r := range b.Removals {
		if r.Harm != "" && r.Harm != patches.NoHarm {
			return r.Harm
		}
	}
	return ""
}

// look is the next look under the cover.
func (j *judge) look(b *Batch) Action {
	a := Action{Do: ToLook, Batch: b, Paste: true}
	d := j.dwell()
	done, edges := 0., ""
	for _, l := range b.Looks {
		done = j.dose(d, b, l.Entry.At)
		if l.Edges != "" {
			edges = l.Edges
		}
	}
	times := d.look
	if d.off > 0 {
		times = []float64{d.from, (d.from + d.off) / 2, d.off, math.Max(d.off, d.longest)}
	}
	for _, t := range times {
		if t > done && t > 0 {
			a.From = j.when(d, b, t)
			break
		}
	}
	if edges != "" {
		dry := 0.
		if edges != EdgesWet {
			dry, a.From = 1, time.Time{}
		}
		j.alarm(&a, "dry_edges", "check", &dry, "the edges were "+edges+" at the last look")
	}
	if overdue := j.Now.Sub(a.From).Hours(); !a.From.IsZero() && overdue > 0 {
		j.alarm(&a, "look_overdue", "check", &overdue, "a look was due "+ago(overdue)+" ago")
	}
	j.weatherAlarms(&a, "check")
	switch {
	case d.off > 0 && !a.From.IsZero():
		words := fmt.Sprintf("On the patches some coats were left after %s and none after %s%s.", patches.Duration(d.from), patches.Duration(d.off), j.at(d))
		a.Says = append(a.Says, Say{words, j.Figures.Warmth.SourceNames})
	case len(times) == 0:
		a.Says = append(a.Says, Say{"No patch says when. Look early, and often.", []string{rules.CommonPractice}})
	}
	return a
}

// alarm holds a reading against the limits of a stage that cannot wait: what is not kept is overdue.
func (j *judge) alarm(a *Action, reading, stage string, value *float64, words string) {
	held := Action{}
	j.limits(&held, reading, stage, value, words)
	a.Late = append(a.Late, held.Waits...)
}

// weatherAlarms holds the forecast against what is on the wall already.
func (j *judge) weatherAlarms(a *Action, stage string) {
	w, _ := j.weather()
	if until, words := j.untilRain(w); until != nil {
		j.alarm(a, "rain_in", stage, until, words)
	}
	if w.Low != nil {
		j.alarm(a, "forecast_low", stage, w.Low, "lowest temperature forecast for the week: "+temperature(w.Low))
	}
}

// at says the temperature that times are told for.
func (j *judge) at(d dwell) string {
	if d.reference == nil {
		return ""
	}
	return ", at a surface of " + temperature(d.reference)
}

// remove is taking the paste off: not before it has worked, and not after the longest that a patch bore without harm.
func (j *judge) remove(b *Batch) Action {
	a := Action{Do: ToRemove, Batch: b, Paste: true}
	if off, _ := b.Removed(); off > 0 && b.Area != nil {
		a.Says = append(a.Says, Say{fmt.Sprintf("%s of %s m² are off.", number(off), number(*b.Area)), nil})
	}
	d := j.dwell()
	worked := j.dose(d, b, j.Now)
	if harm := b.harm(); harm != "" {
		a.Late = append(a.Late, Finding{
			ID: "harm", Reading: "harm seen: " + harm, Limit: "none", Say: "Take it off now and rinse.", Sources: []string{rules.CommonPractice},
		})
	}
	if d.longest > 0 {
		over := math.Max(0, worked-d.longest) * j.slower(d, b) / 60
		j.alarm(&a, "over_patch", "remove", &over, fmt.Sprintf("worked for %s%s; %s lay for %s and came to no harm",
			patches.Duration(worked), j.at(d), d.label, patches.Duration(d.longest)))
		a.By = j.when(d, b, d.longest)
	}
	left := b.layersLeft()
	if left != nil && *left == 0 || len(a.Late) > 0 || d.off == 0 {
		return a
	}
	if short := (d.off - worked) * j.slower(d, b) / 60; short > 0 {
		a.From = j.when(d, b, d.off)
		j.limits(&a, "short_of_dwell", "remove", &short, fmt.Sprintf("it still lacks %s: the patches had coats left after %s and none after %s%s",
			ago(short), patches.Duration(d.from), patches.Duration(d.off), j.at(d)))
	}
	return a
}
