package diary

import (
	"fmt"
	"math"
	"time"

	"patchfirst/interview/patches"
)

// dwell is what the patches say of how long paste may lie, in minutes at the reference temperature.
type dwell struct {
	reference *float64 // °C; nil: the surface was never read, and the clock counts
	from, off float64  // not yet clean; clean. Both 0: no patch came clean
	longest   float64  // the longest that came to no harm; 0: none was watched
	label     string   // of the patch or batch that lay so long
	look      []float64
}

func (j *judge) dwell() (d dwell) {
	c := j.candidate()
	if c == nil {
		return d
	}
	d.reference = c.Reference
	if c.Dwell != nil {
		d.from, d.off = c.Dwell.From, c.Dwell.Minutes
	}
	for _, t := range c.Tests {
		if t.Harm == "" {
			d.longer(j.lay(t), t.Label)
		}
	}
	for _, b := range j.d.Batches {
		if at, off := b.Off(); off && b.Method == j.method.ID && b.harmless(at) {
			d.longer(j.dose(d, b, at), b.Label)
		}
	}
	if d.off == 0 {
		d.look = c.Range.Look
	}
	return d
}

func (d *dwell) longer(minutes float64, label string) {
	if minutes > d.longest {
		d.longest, d.label = minutes, label
	}
}

// lay is how long the paste of a patch lay on it and harm was looked for in vain: until it was taken off, or else until
// the last look.
func (j *judge) lay(t *patches.Test) (minutes float64) {
	for k, l := range t.Looks {
		if l.Harm == patches.NoHarm || l.Off {
			spells := t.Spells(k)
			minutes = spells[len(spells)-1].At.Sub(spells[0].At).Minutes()
			if c := j.candidate(); c.Reference != nil {
				minutes, _ = j.Figures.Warmth.Dose(*c.Reference, spells)
			}
		}
		if l.Off {
			break
		}
	}
	return minutes
}

// harmless reports whether a batch was looked at for harm after the paste was off, and none was seen.
func (b *Batch) harmless(off time.Time) bool {
	looked := false
	for _, l := range b.Looks {
		if l.Harm != "" && l.Harm != patches.NoHarm {
			return false
		}
		looked = looked || l.Harm == patches.NoHarm && !l.Entry.At.Before(off)
	}
	for _, r := range b.Removals {
		if r.Harm != "" && r.Harm != patches.NoHarm {
			return false
		}
	}
	return looked
}

// dose is how long the paste of a batch has worked until a time.
func (j *judge) dose(d dwell, b *Batch, until time.Time) float64 {
	if d.reference == nil {
		return until.Sub(b.Put.At).Minutes()
	}
	minutes, _ := j.Figures.Warmth.Dose(*d.reference, append(j.spells(b, until), patches.Spell{At: until}))
	return minutes
}

// spells are the readings of the surface under a batch until a time: its own, and where it has none, those of the weather.
func (j *judge) spells(b *Batch, until time.Time) []patches.Spell {
	start := b.Surface
	for _, w := range j.d.Weather {
		if start == nil && w.Surface != nil && !w.Entry.At.After(b.Put.At) && b.Put.At.Sub(w.Entry.At) < 12*time.Hour {
			start = w.Surface
		}
	}
	spells := []patches.Spell{{At: b.Put.At, Surface: start}}
	for _, l := range b.Looks {
		if l.Surface != nil && l.Entry.At.Before(until) {
			spells = append(spells, patches.Spell{At: l.Entry.At, Surface: l.Surface})
		}
	}
	return spells
}

// when is the moment at which the paste of a batch will have worked so many minutes, if the surface keeps its last
// temperature.
func (j *judge) when(d dwell, b *Batch, minutes float64) time.Time {
	left := (minutes - j.dose(d, b, j.Now)) * j.slower(d, b)
	return j.Now.Add(time.Duration(math.Round(left)) * time.Minute)
}

// slower is how much longer a batch takes than the patch did, at its last temperature.
func (j *judge) slower(d dwell, b *Batch) float64 {
	if d.reference == nil {
		return 1
	}
	var last *float64
	if b != nil {
		for _, s := range j.spells(b, j.Now) {
			if s.Surface != nil {
				last = s.Surface
			}
		}
	} else if w, _ := j.weather(); w.Surface != nil {
		last = w.Surface
	}
	if last == nil {
		return 1
	}
	return j.Figures.Warmth.Factor(*d.reference, *last)
}

// pace is how many m² an hour were taken off so far with the method; 0: it was never timed.
func (j *judge) pace() float64 {
	var area, time float64
	for _, b := range j.d.Batches {
		for _, r := range b.Removals {
			done := r.Area
			if done == nil {
				done = b.Area
			}
			if r.Hours != nil && done != nil && b.Method == j.method.ID {
				area, time = area+*done, time+*r.Hours
			}
		}
	}
	if time == 0 {
		return 0
	}
	return area / time
}

// inTime holds the size of a batch against the time in which it can be taken off. Without an area it says how much can.
func (j *judge) inTime(a *Action, area *float64) {
	if len(j.Base.LimitsOn("removal_over", "apply", j.method, j.Answers)) == 0 {
		return
	}
	d, pace := j.dwell(), j.pace()
	switch {
	case d.off == 0:
		j.limits(a, "removal_over", "apply", nil, "no patch has shown how long the paste takes")
		return
	case pace == 0:
		j.limits(a, "removal_over", "apply", nil, "not known how long a square metre takes: time the confirming patch as it comes off")
		return
	case d.longest <= d.off:
		j.limits(a, "removal_over", "apply", nil, fmt.Sprintf("no patch lay harmless for longer than the %s that it needs: leave one on longer", patches.Duration(d.off)))
		return
	}
	if closed, ok := j.Answers["hours_free"]; ok && area != nil {
		needs := (d.off*j.slower(d, nil))/60 + *area/pace
		over := needs - closed.Lo
		j.limits(a, "beyond_closed", "apply", &over, fmt.Sprintf("it works for %s and takes %s to take off, and the place is closed for %s",
			ago(d.off*j.slower(d, nil)/60), ago(*area/pace), ago(closed.Lo)))
	}
	window := (d.longest - d.off) * j.slower(d, nil) / 60
	if area == nil {
		a.Says = append(a.Says, Say{fmt.Sprintf("At most %s m² at a time: %s m² an hour came off so far. Between clean and the longest harmless dwell lie %s.",
			number(math.Floor(10*pace*window)/10), number(pace), ago(window)), nil})
		return
	}
	over := *area/pace - window
	j.limits(a, "removal_over", "apply", &over, fmt.Sprintf("%s m² takes about %s to take off, and %s are known to be harmless",
		number(*area), ago(*area/pace), ago(window)))
}
