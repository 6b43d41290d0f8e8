package figures

import (
	"errors"
	"fmt"
	"math"
)

// Retained returns the share, from 0 to 1, of what was dissolved on a surface that is left after a number of rinses with
// fresh water, each mixed through and drained:
//
//	(film / (film + rinse))ⁿ
//
// with the film the water that stays on the surface, in L/m², and the rinse the water of one rinse, in L/m². It is the
// first-rack case of the batch rinsing formula in J. Metal Finishing Soc. Japan 28(7). Ideal mixing overstates real
// rinsing: porous faces let alkali go slowly.
func Retained(film, rinse LitrePerM2, rinses int) (float64, error) {
	if err := errors.Join(above("The water left on the surface", film, "L/m²"), positive("The rinse", rinse, "L/m²"),
		positive("The number of rinses", float64(rinses), "")); err != nil {
		return 0, err
	}
	return math.Pow(float64(film/(film+rinse)), float64(rinses)), nil
}

// RinseWater is the water that is rinsed with. Bicarbonate is its alkalinity, in equivalents a litre; hard tap water has
// about 0.0025, pure water none.
type RinseWater struct {
	PH          PH
	Bicarbonate MolPerLitre
	Temperature Celsius
}

// liquor is the water as base and carbonic acid that give its pH.
func (w RinseWater) liquor() (Liquor, error) {
	free, err := BaseFor(w.PH, w.Temperature)
	if err := errors.Join(err, within("The bicarbonate", w.Bicarbonate, 0, 0.1, "mol/L")); err != nil {
		return Liquor{}, err
	}
	if w.Bicarbonate == 0 {
		return Liquor{Base: free}, nil
	}
	carbonate := float64(w.Bicarbonate-free) / Carbonic.charge(math.Pow(10, -float64(w.PH)))
	if carbonate < 0 {
		return Liquor{}, fmt.Errorf("Water of pH %s holds more alkali than the bicarbonate given. Measure the alkalinity again.", plain(float64(w.PH)))
	}
	return Liquor{Base: w.Bicarbonate, Acids: []Dissolved{{Carbonic, MolPerLitre(carbonate)}}}, nil
}

// AfterRinses predicts the pH of the wet surface after each of a number of rinses, from a reading now: what is left is a
// strong base diluted as Retained says, and the rinse water's own base and carbonate take its place. The first entry is
// the reading. It holds for readings of a wet surface, from 0 to 50 °C; the prediction is the best that rinsing can do.
func AfterRinses(reading PH, water RinseWater, film, rinse LitrePerM2, rinses int) ([]PH, error) {
	start, err := BaseFor(reading, water.Temperature)
	fresh, err2 := water.liquor()
	if err := errors.Join(err, err2, within("The number of rinses", float64(rinses), 0, maxRinses, "")); err != nil {
		return nil, err
	}
	readings := []PH{reading}
	for n := 1; n <= rinses; n++ {
		kept, err := Retained(film, rinse, n)
		if err != nil {
			return nil, err
		}
		mixed := Liquor{Base: start*MolPerLitre(kept) + fresh.Base*MolPerLitre(1-kept)}
		for _, d := range fresh.Acids {
			mixed.Acids = append(mixed.Acids, Dissolved{d.Acid, d.Amount * MolPerLitre(1-kept)})
		}
		pH, err := PHOf(mixed, water.Temperature)
		if err != nil {
			return nil, err
		}
		readings = append(readings, pH)
	}
	return readings, nil
}

const maxRinses = 100

// RinsesNeeded returns the least number of rinses after which the surface should read no more than a limit above the
// rinse water, and the readings to expect on the way. It is a least number: see AfterRinses. More than 100 rinses are
// refused, for then the rinse is too thin.
func RinsesNeeded(reading PH, water RinseWater, film, rinse LitrePerM2, limit PH) (int, []PH, error) {
	if err := errors.Join(within("The limit", limit, 0.1, 14, ""), above("The rinse", rinse, "L/m²")); err != nil {
		return 0, nil, err
	}
	const usual = 8 // rinses that are mostly enough, so that the others need not be worked out
	for _, most := range []int{usual, maxRinses} {
		readings, err := AfterRinses(reading, water, film, rinse, most)
		if err != nil {
			return 0, nil, err
		}
		for n, pH := range readings {
			if pH-water.PH <= limit {
				return n, readings[:n+1], nil
			}
		}
	}
	return 0, nil, fmt.Errorf("Not even %d rinses of %s L/m² would bring pH %s within %s of the rinse water. Use more water in each rinse.",
		maxRinses, plain(float64(rinse)), plain(float64(reading)), plain(float64(limit)))
}
