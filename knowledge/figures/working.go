package figures

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
)

// Slot is an input that a formula asks for, with the unit and the bounds in which it holds.
type Slot struct {
	Name string // in words, such as "wet thickness"
	Unit string
	Low  float64
	High float64
	// Known slots take no range, since the figure goes up and down with them.
	Known bool
	// With a slot that peaks the figure rises first and falls then.
	Peaks bool
}

// Formula is a figure that can be worked out from ranges and shown. Compute takes the inputs in the order of the slots
// and in their units; it rises or falls with each of them over the whole of its bounds, unless the slot says otherwise, so the
// corners of the ranges bound it.
type Formula struct {
	Name    string // for programs, such as paste_volume
	Title   string // for people
	Words   string // the formula in words
	Slots   []Slot
	Unit    string
	Source  string
	Caution string // what the figure does not say; may be empty
	Compute func([]float64) (float64, error)
}

// Input is a value for a slot, in any unit that fits, and where it came from.
type Input struct {
	Name string
	Quantity
	From string // "tape on the door", "common practice"
}

// Given is an input in the words in which it was measured; see ParseQuantity.
func (f Formula) Given(name, text, from string) (Input, error) {
	slot, err := f.slot(name)
	if err != nil {
		return Input{}, err
	}
	unit, _ := FindUnit(slot.Unit)
	q, err := ParseQuantity(text, unit.Dimension)
	return Input{name, q, from}, err
}

// Is is an input in the slot's own unit.
func (f Formula) Is(name string, r Range, from string) Input {
	slot, _ := f.slot(name)
	unit, _ := FindUnit(slot.Unit)
	return Input{name, Quantity{r, unit}, from}
}

func (f Formula) slot(name string) (Slot, error) {
	for _, s := range f.Slots {
		if s.Name == name {
			return s, nil
		}
	}
	names := make([]string, len(f.Slots))
	for i, s := range f.Slots {
		names[i] = s.Name
	}
	return Slot{}, fmt.Errorf("%s has no input %q. Its inputs are %s.", f.Title, name, strings.Join(names, ", "))
}

// Swing is how far one input alone moves a figure, the others being at their points.
type Swing struct {
	Input string
	By    float64
}

// Working is a figure with all that made it, so that whatever is printed can show how.
type Working struct {
	Formula Formula
	Inputs  []Input // in the order of the slots, in the units as given
	Result  Quantity
	Matters []Swing // the inputs that move the figure, the strongest first
	Draws   int     // 0 for bounds; else the range is the middle nine tenths of so many draws
	Seed    uint64  // with which the draws can be repeated
}

// Work computes a figure from ranges: its point from the points, and its bounds from the corners of the ranges, where a
// formula that rises or falls with each input has its least and its greatest value. It refuses, all at once, inputs that
// are missing, not asked for, of a wrong unit, or out of bounds.
func (f Formula) Work(inputs ...Input) (Working, error) {
	w, values, err := f.prepare(inputs)
	if err != nil {
		return Working{}, err
	}
	at := make([]float64, len(values))
	var open []int // the inputs that are ranges
	for i, v := range values {
		at[i] = v.Point
		if !v.Known() {
			open = append(open, i)
		}
	}
	result := Exactly(w.Result.Point)
	for corner := range 1 << len(open) {
		for bit, i := range open {
			at[i] = values[i].Low
			if corner>>bit&1 == 1 {
				at[i] = values[i].High
			}
		}
		y, err := f.value(at)
		if err != nil {
			return Working{}, err
		}
		result.Low, result.High = min(result.Low, y), max(result.High, y)
		for i, slot := range f.Slots {
			if slot.Peaks {
				if y, err = f.peak(at, i, values[i]); err != nil {
					return Working{}, err
				}
				result.High = max(result.High, y)
			}
		}
	}
	w.Result.Range = result
	return w, nil
}

// Sample computes a figure from draws of the inputs, each triangular between its bounds with the peak at its point, with a
// seeded generator: the range is the middle nine tenths, widened to the point if that lies outside. It is narrower than
// that of Work, since all inputs are seldom at their worst at once.
func (f Formula) Sample(seed uint64, draws int, inputs ...Input) (Working, error) {
	if draws < 100 || draws > 1_000_000 {
		return Working{}, fmt.Errorf("%d draws are asked for. Ask for 100 to 1000000.", draws)
	}
	w, values, err := f.prepare(inputs)
	if err != nil {
		return Working{}, err
	}
	random := rand.New(rand.NewPCG(seed, 0))
	drawn, at := make([]float64, draws), make([]float64, len(values))
	for d := range drawn {
		for i, v := range values {
			at[i] = Triangular(v, random.Float64())
		}
		if drawn[d], err = f.value(at); err != nil {
			return Working{}, err
		}
	}
	slices.Sort(drawn)
	point := w.Result.Point
	w.Result.Range = Range{min(point, drawn[draws/20]), point, max(point, drawn[draws-1-draws/20])}
	w.Draws, w.Seed = draws, seed
	return w, nil
}

// Triangular is the value below which a share p of a triangular distribution lies.
func Triangular(r Range, p float64) float64 {
	width, rise := r.High-r.Low, r.Point-r.Low
	if width == 0 {
		return r.Point
	}
	if p < rise/width {
		return r.Low + math.Sqrt(p*width*rise)
	}
	return r.High - math.Sqrt((1-p)*width*(r.High-r.Point))
}

// peak is the greatest value along one input, the others being fixed, found by thirds.
func (f Formula) peak(at []float64, slot int, r Range) (float64, error) {
	at = slices.Clone(at)
	low, high := r.Low, r.High
	var top float64
	for range 60 {
		var y [2]float64
		third := (high - low) / 3
		for side, x := range []float64{low + third, high - third} {
			at[slot] = x
			var err error
			if y[side], err = f.value(at); err != nil {
				return 0, err
			}
		}
		if y[0] < y[1] {
			low += third
		} else {
			high -= third
		}
		top = max(y[0], y[1])
	}
	return top, nil
}

func (f Formula) value(at []float64) (float64, error) {
	y, err := f.Compute(at)
	if err == nil && (math.IsNaN(y) || math.IsInf(y, 0)) {
		err = fmt.Errorf("%s has no value for these inputs.", f.Title)
	}
	return y, err
}

// prepare checks the inputs and puts them in order; it computes the point and the swings.
func (f Formula) prepare(inputs []Input) (Working, []Range, error) {
	unit, ok := FindUnit(f.Unit)
	if !ok {
		return Working{}, nil, fmt.Errorf("%s has the unit %q, which is not known.", f.Title, f.Unit)
	}
	w := Working{Formula: f, Inputs: make([]Input, len(f.Slots)), Result: Quantity{Unit: unit}}
	values := make([]Range, len(f.Slots))
	var wrong []error
	for _, in := range inputs {
		if _, err := f.slot(in.Name); err != nil {
			wrong = append(wrong, err)
		}
	}
	for i, slot := range f.Slots {
		given := slices.IndexFunc(inputs, func(in Input) bool { return in.Name == slot.Name })
		if given < 0 {
			wrong = append(wrong, fmt.Errorf("%s needs the %s, in %s.", f.Title, slot.Name, slot.Unit))
			continue
		}
		w.Inputs[i] = inputs[given]
		r, err := slot.take(inputs[given])
		values[i], wrong = r, append(wrong, err)
	}
	if err := errors.Join(wrong...); err != nil {
		return Working{}, nil, err
	}
	points := make([]float64, len(values))
	for i, v := range values {
		points[i] = v.Point
	}
	point, err := f.value(points)
	if err != nil {
		return Working{}, nil, err
	}
	w.Result.Range = Exactly(point)
	w.Matters, err = f.swings(values, points)
	return w, values, err
}

// take reads an input in the slot's unit.
func (s Slot) take(in Input) (Range, error) {
	unit, ok := FindUnit(s.Unit)
	if !ok {
		return Range{}, fmt.Errorf("The %s has the unit %q, which is not known.", s.Name, s.Unit)
	}
	q, ok := in.In(unit)
	if !ok {
		return Range{}, fmt.Errorf("The %s is in %q, which measures %s. Give %s, such as %s.", s.Name, in.Unit.Symbol, in.Unit.Dimension, unit.Dimension, unit.Dimension.example())
	}
	if err := q.Check(); err != nil {
		return Range{}, fmt.Errorf("The %s: %w", s.Name, err)
	}
	if s.Known && !q.Range.Known() {
		return Range{}, fmt.Errorf("The %s is given as a range. Give the one that is used.", s.Name)
	}
	r := Range{s.snapped(q.Low), s.snapped(q.Point), s.snapped(q.High)}
	return r, errors.Join(within("The "+s.Name, r.Low, s.Low, s.High, s.Unit), within("The "+s.Name, r.High, s.Low, s.High, s.Unit))
}

// snapped puts a value on a bound that it misses only by the last bits of a conversion.
func (s Slot) snapped(v float64) float64 {
	for _, bound := range []float64{s.Low, s.High} {
		if math.Abs(v-bound) <= 1e-12*math.Abs(bound) {
			return bound
		}
	}
	return v
}

// swings moves one input at a time between its bounds.
func (f Formula) swings(values []Range, points []float64) ([]Swing, error) {
	var swings []Swing
	for i, v := range values {
		if v.Known() {
			continue
		}
		at := slices.Clone(points)
		at[i] = v.Low
		low, err := f.value(at)
		if err != nil {
			return nil, err
		}
		at[i] = v.High
		high, err := f.value(at)
		if err != nil {
			return nil, err
		}
		if by := math.Abs(high - low); by > 0 {
			swings = append(swings, Swing{f.Slots[i].Name, by})
		}
	}
	slices.SortStableFunc(swings, func(a, b Swing) int {
		switch {
		case a.By > b.By:
			return -1
		case a.By < b.By:
			return 1
		}
		return 0
	})
	return swings, nil
}

// Lines shows the working in words: the figure, the formula, each input with where it came from, what moves it most, and
// the source. Rounding happens here only.
func (w Working) Lines() []string {
	lines := []string{w.Formula.Title + ": " + w.Result.String(), "  = " + w.Formula.Words}
	for _, in := range w.Inputs {
		lines = append(lines, fmt.Sprintf("  %s: %s; %s", in.Name, in.AsGiven(), in.From))
	}
	if len(w.Matters) > 0 {
		lines = append(lines, fmt.Sprintf("  moved most by: %s, by %s alone", w.Matters[0].Input, withUnit(Rounded(w.Matters[0].By), w.Formula.Unit)))
	}
	if w.Draws > 0 {
		lines = append(lines, fmt.Sprintf("  range: nine tenths of %d draws, seed %d", w.Draws, w.Seed))
	}
	if w.Formula.Caution != "" {
		lines = append(lines, "  note: "+w.Formula.Caution)
	}
	return append(lines, "  source: "+w.Formula.Source)
}
