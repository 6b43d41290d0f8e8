package figures

import "errors"

// PHInstrument is what a pH is read with.
type PHInstrument struct {
	Name   string
	Error  PH // a reading may be off by so much either way
	Source string
}

// PHStrip is paper whose colour squares stand a step apart: no reading of it is finer than one step either way. ASTM D4262
// asks for paper in steps of 0.5.
func PHStrip(step PH) (PHInstrument, error) {
	if err := within("The step of the strip", step, 0.1, 7, ""); err != nil {
		return PHInstrument{}, err
	}
	return PHInstrument{"pH strip", step, "ASTM D4262 (steps of 0.5)"}, nil
}

// PHMeter is a portable meter, good for 0.2 either way (OpenStax Chemistry 2e 14.2).
var PHMeter = PHInstrument{"portable pH meter", 0.2, "OpenStax Chemistry 2e 14.2"}

// CanShow tells whether the instrument can show a difference at all: a strip read to 1 unit cannot prove 0.3.
func (i PHInstrument) CanShow(difference PH) bool { return difference >= i.Error }

// Comparison is what two readings prove of a limit.
type Comparison int

// Two readings show that the surface keeps within the limit, that it is beyond it, or neither.
const (
	CannotTell Comparison = iota
	WithinLimit
	BeyondLimit
)

func (c Comparison) String() string {
	return [...]string{"cannot tell with this instrument", "within the limit", "beyond the limit"}[c]
}

// AboveControl compares the surface with an untouched control spot, or with the rinse water: by how much its pH is
// higher, both readings being off by the instrument's error, and whether that proves it no more than a limit higher. The
// usual limit is 1 (MIL-HDBK-1110 6.7.2.1, ASTM D4262).
func (i PHInstrument) AboveControl(surface, control, limit PH) (Range, Comparison, error) {
	r, err := i.difference(surface, control, limit)
	switch {
	case err != nil:
		return Range{}, CannotTell, err
	case r.High <= float64(limit)+decimalSlack:
		return r, WithinLimit, nil
	case r.Low > float64(limit)+decimalSlack:
		return r, BeyondLimit, nil
	}
	return r, CannotTell, nil
}

// NearControl is AboveControl both ways, for a surface on which acid was used: it may be neither higher nor lower than
// the control by more than the limit (MIL-HDBK-1110 6.7.4).
func (i PHInstrument) NearControl(surface, control, limit PH) (Range, Comparison, error) {
	r, above, err := i.AboveControl(surface, control, limit)
	if err != nil {
		return Range{}, CannotTell, err
	}
	switch low := -float64(limit) - decimalSlack; {
	case above == BeyondLimit || r.High < low:
		return r, BeyondLimit, nil
	case above == WithinLimit && r.Low >= low:
		return r, WithinLimit, nil
	}
	return r, CannotTell, nil
}

const decimalSlack = 1e-9 // readings are decimal, sums of them are not

func (i PHInstrument) difference(surface, control, limit PH) (Range, error) {
	if err := errors.Join(within("The surface's pH", surface, 0, 15, ""), within("The control's pH", control, 0, 15, ""),
		within("The limit", limit, 0, 14, "")); err != nil {
		return Range{}, err
	}
	d, e := float64(surface-control), float64(2*i.Error)
	return Range{d - e, d, d + e}, nil
}
