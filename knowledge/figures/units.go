package figures

import (
	"errors"
	"fmt"
	"math"
	"strconv"
)

// Each quantity has a type of its own, so that a millimetre is never taken for a metre, nor a litre for a kilogram.
type (
	Celsius           float64 // temperature, °C
	Percent           float64 // share of a hundred
	PH                float64 // pH units
	Metre             float64
	Millimetre        float64
	Micrometre        float64
	SquareMetre       float64
	CubicMetre        float64
	Litre             float64
	Kilogram          float64
	Gram              float64
	Hour              float64
	Equivalent        float64 // moles of acid or base charge
	KilogramPerM3     float64
	LitrePerM2        float64
	SquareMetrePerL   float64
	KilogramPerM2     float64
	EquivalentPerM2   float64
	EquivalentPerKg   float64
	MolPerLitre       float64
	GramPerMol        float64
	KilojoulePerMol   float64
	MilligramPerCm2   float64 // lead on a surface
	MilligramPerKg    float64
	MilligramPerLitre float64
	MilligramPerM3    float64 // vapour or dust in air
	PPM               float64 // parts of vapour in a million parts of air, by volume
	PerHour           float64 // air changes in an hour
	CubicMetrePerHour float64
	GramPerHour       float64
)

// Metres of a thickness.
func (t Millimetre) Metres() Metre { return Metre(t / 1000) }

// Millimetres of a film.
func (t Micrometre) Millimetres() Millimetre { return Millimetre(t / 1000) }

// Litres of a space.
func (v CubicMetre) Litres() Litre { return Litre(v * 1000) }

// CubicMetres of a liquid.
func (v Litre) CubicMetres() CubicMetre { return CubicMetre(v / 1000) }

// Kilograms of a mass.
func (m Gram) Kilograms() Kilogram { return Kilogram(m / 1000) }

// Grams of a mass.
func (m Kilogram) Grams() Gram { return Gram(m * 1000) }

// Share is the percentage as a fraction of one.
func (p Percent) Share() float64 { return float64(p) / 100 }

// Kelvin is the absolute temperature.
func (t Celsius) Kelvin() float64 { return float64(t) + 273.15 }

// Mass of a volume of a stuff.
func Mass(volume Litre, density KilogramPerM3) (Kilogram, error) {
	if err := errors.Join(positive("The volume", volume, "L"), positive("The density", density, "kg/m³")); err != nil {
		return 0, err
	}
	return Kilogram(float64(volume) / 1000 * float64(density)), nil
}

// OutOfRange says that an input lies where the formula does not hold.
type OutOfRange struct {
	What      string
	Value     float64
	Low, High float64
	Unit      string
}

func (e *OutOfRange) Error() string {
	switch {
	case math.IsNaN(e.Value):
		return e.What + " is not a number."
	case e.Value < e.Low && e.Low == math.SmallestNonzeroFloat64:
		return fmt.Sprintf("%s is %s; it must be more than nothing.", e.What, measured(e.Value, e.Unit))
	case e.Value < e.Low && e.Low == 0:
		return fmt.Sprintf("%s is %s; it cannot be less than nothing.", e.What, measured(e.Value, e.Unit))
	case math.IsInf(e.High, 1):
		return fmt.Sprintf("%s is %s; it must be a finite number.", e.What, measured(e.Value, e.Unit))
	}
	return fmt.Sprintf("%s is %s; the figure holds from %s to %s.", e.What, measured(e.Value, e.Unit), plain(e.Low), measured(e.High, e.Unit))
}

func plain(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

func measured(v float64, unit string) string { return withUnit(plain(v), unit) }

func withUnit(figure, unit string) string {
	switch unit {
	case "", "times":
		return figure
	case "%":
		return figure + "%"
	case "pH":
		return "pH " + figure
	}
	return figure + " " + unit
}

// within refuses a value outside low..high, and one that is no number.
func within[T ~float64](what string, value T, low, high float64, unit string) error {
	v := float64(value)
	if v >= low && v <= high && !math.IsInf(v, 0) {
		return nil
	}
	return &OutOfRange{What: what, Value: v, Low: low, High: high, Unit: unit}
}

// positive refuses a value below nought.
func positive[T ~float64](what string, value T, unit string) error {
	return within(what, value, 0, math.Inf(1), unit)
}

// above refuses nought as well, for what is divided by.
func above[T ~float64](what string, value T, unit string) error {
	return within(what, value, math.SmallestNonzeroFloat64, math.Inf(1), unit)
}
