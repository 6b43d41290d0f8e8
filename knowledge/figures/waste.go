package figures

import (
	"errors"
	"math"
)

// Drum is the drum of 55 US gallons.
const Drum Litre = 55 * 3.785411784

// PaintMass returns the mass of dry paint on an area: area × thickness × density.
func PaintMass(area SquareMetre, thickness Micrometre, density KilogramPerM3) (Kilogram, error) {
	if err := errors.Join(positive("The area", area, "m²"), within("The thickness of the paint", thickness, 0, 20_000, "µm"),
		within("The density of the paint", density, 500, 10_000, "kg/m³")); err != nil {
		return 0, err
	}
	return Kilogram(float64(area) * float64(thickness.Millimetres().Metres()) * float64(density)), nil
}

// WasteMass returns the mass of the wet waste: the paste less what dries off, the paint, the water caught, and sheets and
// clothing.
func WasteMass(paste Kilogram, driesOff Percent, paint, water, sheets Kilogram) (Kilogram, error) {
	if err := errors.Join(positive("The paste", paste, "kg"), within("The share that dries off", driesOff, 0, 100, "%"), positive("The paint", paint, "kg"),
		positive("The water", water, "kg"), positive("The sheets", sheets, "kg")); err != nil {
		return 0, err
	}
	return paste*Kilogram(1-driesOff.Share()) + paint + water + sheets, nil
}

// Loose bulk of debris in a skip: 400 and 2400 lb a cubic yard of wood and concrete (guide figures of waste bodies,
// reported).
const (
	LooseWood     KilogramPerM3 = 237
	LooseConcrete KilogramPerM3 = 1424
)

// WasteVolume returns the space that waste takes: mass / bulk density.
func WasteVolume(mass Kilogram, bulk KilogramPerM3) (Litre, error) {
	if err := errors.Join(positive("The waste", mass, "kg"), above("The bulk density", bulk, "kg/m³")); err != nil {
		return 0, err
	}
	return CubicMetre(float64(mass) / float64(bulk)).Litres(), nil
}

// Drums returns how many whole drums hold a volume, each filled to a share. Leave room in a drum, and vent the lid where
// alkali may meet metal (common practice).
func Drums(volume Litre, filled Percent) (int, error) {
	if err := errors.Join(within("The waste", volume, 0, 1e9, "L"), within("The share filled", filled, 10, 100, "%")); err != nil {
		return 0, err
	}
	const slack = 1e-9
	return int(math.Ceil(float64(volume)/(float64(Drum)*filled.Share()) - slack)), nil
}

// Corrosive tells whether waste liquid has the pH of US corrosive waste: at most 2 or at least 12.5 (40 CFR 261.22, D002).
// It is asked of waste with at least 20 % of free water only (EPA memo of 23 April 1993); a solid is not judged by its pH.
// A reading of less than 12.5 on paper proves nothing: the rule asks for a meter.
func Corrosive(pH PH) (bool, error) {
	if err := within("The pH", pH, -2, 16, ""); err != nil {
		return false, err
	}
	return pH <= 2 || pH >= 12.5, nil
}
