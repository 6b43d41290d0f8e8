package diary

import (
	"fmt"
	"math"
	"slices"

	"patchfirst/knowledge/figures"
	"patchfirst/rules"
)

// alkaline reports whether the base bounds the pH after the method.
func (j *judge) alkaline() bool {
	return len(j.Base.LimitsOn("ph_above_water", "neutralise", j.method, j.Answers)) > 0
}

// rinse is the next rinse; nil where the surface needs none.
func (j *judge) rinse(b *Batch) *Action {
	a := &Action{Do: ToRinse, Batch: b}
	if !j.alkaline() {
		if len(b.Rinses) > 0 {
			return nil
		}
		a.Says = j.steps("clean")
		return a
	}
	if len(b.Acids) > 0 {
		return j.rinseAcid(b)
	}
	gate := Action{}
	j.rinsed(&gate, b)
	if len(gate.Waits) == 0 {
		return nil
	}
	a.Says = append(j.steps("clean"), j.predict(b)...)
	for _, f := range gate.Waits {
		a.Says = append(a.Says, Say{fmt.Sprintf("Until it is kept: %s; needed: %s.", f.Reading, f.Limit), f.Sources})
	}
	return a
}

// rinseAcid is the rinse after the acid.
func (j *judge) rinseAcid(b *Batch) *Action {
	last := b.Acids[len(b.Acids)-1].Entry.At
	if slices.ContainsFunc(b.Rinses, func(r Rinse) bool { return !r.Entry.At.Before(last) }) {
		return nil
	}
	return &Action{Do: ToRinse, Batch: b, Says: []Say{{"Rinse the acid off, and let the surface dry.", []string{rules.CommonPractice}}}}
}

// steps are the steps of the advice for a stage.
func (j *judge) steps(stage string) (says []Say) {
	if j.outcome == nil {
		return nil
	}
	for _, n := range j.outcome.Notes {
		if n.Note.Kind == rules.Step && n.Note.Stage == stage && n.Sure {
			says = append(says, Say{n.Note.Say, n.Note.Sources})
		}
	}
	return says
}

// water is the last reading of the rinse water; nil: none.
func (j *judge) water() *PH { return j.last(OfWater) }

func (j *judge) last(spot string) *PH {
	for _, r := range slices.Backward(j.d.Readings) {
		if r.Spot == spot {
			return &r
		}
	}
	return nil
}

// wet is the last reading of the wet surface since the last rinse; nil: none.
func (b *Batch) wet() *PH {
	for _, r := range slices.Backward(b.PH) {
		if !r.Dry && !r.Entry.At.Before(b.Wetted()) {
			return &r
		}
	}
	return nil
}

// rinsed holds the wet surface against the rinse water.
func (j *judge) rinsed(a *Action, b *Batch) {
	wet, water := b.wet(), j.water()
	var above *float64
	var words string
	switch {
	case wet == nil:
		words = "the wet surface was not read since the last rinse"
	case water == nil:
		words = fmt.Sprintf("surface pH %s; the rinse water was not read", number(wet.Value))
	default:
		above, words = difference(*wet, *water, "rinse water")
	}
	proved, words := above, words
	if above != nil {
		proved, words = j.shown("ph_above_water", "neutralise", above, words, coarser(*wet, *water))
	}
	j.limits(a, "ph_above_water", "neutralise", proved, words)
	if above != nil {
		step, words := paper(*wet, *water)
		j.limits(a, "ph_step", "neutralise", step, words)
	}
}

// shown takes away a difference that the instruments cannot show: a strip read to one unit proves nothing of 0.3.
func (j *judge) shown(reading, stage string, value *float64, words string, i figures.PHInstrument) (*float64, string) {
	if most, limit := j.bound(reading, stage); limit != nil && !i.CanShow(figures.PH(most)) {
		return nil, fmt.Sprintf("%s; a %s in steps of %s cannot show %s", words, i.Name, number(float64(i.Error)), number(most))
	}
	return value, words
}

// difference is the surface less another reading, with what the instruments leave open.
func difference(surface, other PH, of string) (*float64, string) {
	d := exact(surface.Value - other.Value)
	words := fmt.Sprintf("surface pH %s, %s %s: %s apart", number(surface.Value), of, number(other.Value), number(d))
	i := coarser(surface, other)
	if r, _, err := i.AboveControl(figures.PH(surface.Value), figures.PH(other.Value), 1); err == nil {
		words += fmt.Sprintf(", and by these instruments perhaps %s to %s", number(r.Low), number(r.High))
	}
	return &d, words
}

// coarser is the coarser of two instruments.
func coarser(a, b PH) figures.PHInstrument {
	x, y := a.instrument(), b.instrument()
	if x.Error > y.Error {
		return x
	}
	return y
}

func (r PH) instrument() figures.PHInstrument {
	if r.Strip == nil {
		return figures.PHMeter
	}
	i, err := figures.PHStrip(figures.PH(*r.Strip))
	if err != nil {
		return figures.PHInstrument{Name: "pH strip", Error: figures.PH(*r.Strip)}
	}
	return i
}

// paper is the coarsest step of the readings; a meter has none.
func paper(readings ...PH) (*float64, string) {
	step := 0.
	for _, r := range readings {
		if r.Strip != nil {
			step = math.Max(step, *r.Strip)
		}
	}
	if step == 0 {
		return &step, "read with a meter"
	}
	return &step, "read with paper in steps of " + number(step)
}

// neutralise is the acid after the rinse; nil where it is done, or no alkali was used.
func (j *judge) neutralise(b *Batch) *Action {
	if !j.alkaline() || len(b.Acids) > 0 {
		return nil
	}
	a := &Action{Do: ToNeutralise, Batch: b}
	if j.outcome != nil && !j.outcome.Has(rules.Step, acidStep) {
		return nil // the steps of the rinse say why there is no acid
	}
	j.rinsed(a, b)
	j.holds(a, "neutralise")
	a.Says = j.steps("neutralise")
	return a
}

// acidStep is the step of the base that asks for acid. Where it is not attached, acid is not to be used.
const acidStep = "neutralise"
