package patches

import (
	"fmt"
	"math"
	"strconv"
	"time"
)

// Warmth is how the action of pastes goes with the temperature of the surface. The rule and its source stand in
// figures.yaml.
type Warmth struct {
	DoublesPer  float64  `json:"doubles_per_c"` // °C colder that double the time
	From        float64  `json:"from_c"`        // planning times hold from here
	To          float64  `json:"to_c"`          // to here
	NoneBelow   float64  `json:"none_below_c"`
	DriesAbove  float64  `json:"dries_above_c"`
	Say         string   `json:"say"`
	SayBelow    string   `json:"say_below"`
	SayAbove    string   `json:"say_above"`
	SourceNames []string `json:"sources"`
}

// Factor returns what a time at from °C is multiplied by to have the same effect at to °C.
func (w Warmth) Factor(from, to float64) float64 { return math.Exp2((from - to) / w.DoublesPer) }

// Planned returns a planning time at a surface of t °C: as it is within the range in which it holds, longer or shorter
// outside.
func (w Warmth) Planned(minutes, t float64) float64 {
	return minutes * w.Factor(min(max(t, w.From), w.To), t)
}

// Spell is a moment at which paste lay on a surface, with the temperature of the surface in °C if it was read.
type Spell struct {
	At      time.Time
	Surface *float64
}

// Dose returns the minutes at reference °C that had the same effect as the time from the first of some moments to the
// last, summed over the stretches between, each at the mean of its two ends. A temperature that was not read is that of
// the next reading, or of the last. Without any reading it is the time itself, and known is false.
func (w Warmth) Dose(reference float64, spells []Spell) (minutes float64, known bool) {
	next := func(from int) *float64 {
		for _, s := range spells[from:] {
			if s.Surface != nil {
				return s.Surface
			}
		}
		return nil
	}
	was := next(0)
	if was == nil {
		return spells[len(spells)-1].At.Sub(spells[0].At).Minutes(), false
	}
	for i, s := range spells[1:] {
		now := was
		if later := next(i + 1); later != nil {
			now = later
		}
		minutes += s.At.Sub(spells[i].At).Minutes() * w.Factor((*was+*now)/2, reference)
		was = now
	}
	return minutes, true
}

// Spells are the moments of a patch until look k.
func (p *Patch) Spells(k int) []Spell {
	spells := []Spell{{p.Put.At, p.Surface}}
	for _, l := range p.Looks[:k+1] {
		spells = append(spells, Spell{l.Entry.At, l.Surface})
	}
	return spells
}

// dose is the dose until look k. A reading after it tells the temperature of the last stretch too.
func (p *Patch) dose(k int, reference float64, w Warmth) (minutes float64, known bool) {
	spells := p.Spells(k)
	last := &spells[len(spells)-1]
	for _, l := range p.Looks[k+1:] {
		if last.Surface == nil {
			last.Surface = l.Surface
		}
	}
	return w.Dose(reference, spells)
}

// Duration puts minutes into words, in the largest unit that fits: "40 min", "6 h", "7 days".
func Duration(minutes float64) string {
	const hour, day = 60, 24 * 60
	switch {
	case math.IsInf(minutes, 1):
		return "never"
	case minutes < 1.5:
		return fmt.Sprintf("%.0f s", minutes*60)
	case minutes < 100 && !whole(minutes/hour):
		return fmt.Sprintf("%.0f min", minutes)
	case minutes < 3*day:
		return rounded(minutes/hour) + " h"
	}
	return rounded(minutes/day) + " days"
}

func whole(v float64) bool { return math.Abs(v-math.Round(v)) < 1e-9 }

func rounded(v float64) string {
	if v >= 10 {
		v = math.Round(v)
	}
	return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
}
