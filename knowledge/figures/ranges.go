package figures

import (
	"fmt"
	"math"
	"strconv"
)

// Range is a figure that is not known to the point: the least and the most that it may be, and the likeliest. It carries
// no unit of its own; an Input, a Working or a Quantity gives it one.
type Range struct{ Low, Point, High float64 }

// Exactly is a figure that is known to the point.
func Exactly(v float64) Range { return Range{v, v, v} }

// Between is a figure of which only the bounds are known; the point is the middle.
func Between(low, high float64) Range { return Range{low, low + (high-low)/2, high} }

// Check refuses a range whose figures are not in order, or are no numbers.
func (r Range) Check() error {
	for _, v := range []float64{r.Low, r.Point, r.High} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("The range %s is not of numbers.", r)
		}
	}
	if r.Low > r.Point || r.Point > r.High {
		return fmt.Errorf("The range %s is out of order. Write the least, the likeliest and the most.", r)
	}
	return nil
}

// Contains tells whether a value lies in the range.
func (r Range) Contains(v float64) bool { return r.Low <= v && v <= r.High }

// Known tells whether the figure is known to the point.
func (r Range) Known() bool { return r.Low == r.High }

// String prints the range to two significant figures: the point to the nearest, the low figure rounded down and the high
// one up, so that what is printed still holds what was computed. Nothing is rounded before this.
func (r Range) String() string {
	return r.written(twoFigures, func(figure string) string { return figure })
}

// rounding keeps some digits of a value; the function says in which direction.
type rounding func(v float64, round func(float64) float64) float64

func (r Range) written(keep rounding, unit func(string) string) string {
	point := unit(decimal(keep(r.Point, math.Round)))
	if r.Known() {
		return point
	}
	return fmt.Sprintf("%s (%s to %s)", point, decimal(keep(r.Low, math.Floor)), decimal(keep(r.High, math.Ceil)))
}

// Rounded prints a value to the nearest two significant figures.
func Rounded(v float64) string { return decimal(twoFigures(v, math.Round)) }

// RoundedUp prints a value to two significant figures, rounded away from too little, for what is bought.
func RoundedUp(v float64) string { return decimal(twoFigures(v, math.Ceil)) }

func twoFigures(v float64, round func(float64) float64) float64 {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return v
	}
	return roundAt(v, int(math.Floor(math.Log10(math.Abs(v))))-1, round)
}

func oneDecimal(v float64, round func(float64) float64) float64 { return roundAt(v, -1, round) }

// roundAt rounds at a power of ten. A value that is round already, but for the last bits, stays.
func roundAt(v float64, exponent int, round func(float64) float64) float64 {
	scaled := v * math.Pow(10, -float64(exponent))
	if near := math.RoundToEven(scaled); math.Abs(scaled-near) < 1e-9*math.Abs(near) {
		scaled = near
	} else {
		scaled = round(scaled)
	}
	rounded, err := strconv.ParseFloat(fmt.Sprintf("%.0fe%d", scaled, exponent), 64)
	if err != nil {
		return v
	}
	return rounded
}

func decimal(v float64) string {
	if v == 0 {
		return "0"
	}
	if a := math.Abs(v); a >= 1e9 || a < 1e-6 {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}
