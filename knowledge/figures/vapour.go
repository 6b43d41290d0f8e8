package figures

import "errors"

// molarVolume is the litres that a mole of vapour fills at 25 °C and one atmosphere, as the tables of exposure limits
// take it (the exact ideal value is 24.465).
const molarVolume = 24.45

// ToMilligrams returns mg/m³ of a vapour at 25 °C: ppm × molar mass / 24.45 (the rule of the published limits).
func ToMilligrams(vapour PPM, molarMass GramPerMol) (MilligramPerM3, error) {
	if err := errors.Join(within("The vapour", vapour, 0, 1e6, "ppm"), above("The molar mass", molarMass, "g/mol")); err != nil {
		return 0, err
	}
	return MilligramPerM3(float64(vapour) * float64(molarMass) / molarVolume), nil
}

// ToPPM returns ppm of a vapour at 25 °C: mg/m³ × 24.45 / molar mass. It is the inverse of ToMilligrams.
func ToPPM(vapour MilligramPerM3, molarMass GramPerMol) (PPM, error) {
	if err := errors.Join(positive("The vapour", vapour, "mg/m³"), above("The molar mass", molarMass, "g/mol")); err != nil {
		return 0, err
	}
	return PPM(float64(vapour) * molarVolume / float64(molarMass)), nil
}

// SolventGivenOff returns the solvent that a paste gives off: litres × density × share of solvent × share of it that dries
// off before the paste is taken up. Of a volatile solvent all is given off in the end.
func SolventGivenOff(paste Litre, density KilogramPerM3, solvent, evaporated Percent) (Gram, error) {
	mass, err := Mass(paste, density)
	if err := errors.Join(err, within("The share of solvent", solvent, 0, 100, "%"), within("The share that dries off", evaporated, 0, 100, "%")); err != nil {
		return 0, err
	}
	return mass.Grams() * Gram(solvent.Share()*evaporated.Share()), nil
}

// VapourVolume returns the space that evaporated solvent fills at one atmosphere: mass / molar mass × 22.414 L ×
// T/273.15 K (ideal gas). It holds from -40 to 60 °C.
func VapourVolume(mass Gram, molarMass GramPerMol, temperature Celsius) (CubicMetre, error) {
	if err := errors.Join(positive("The mass", mass, "g"), above("The molar mass", molarMass, "g/mol"),
		within("The air", temperature, -40, 60, "°C")); err != nil {
		return 0, err
	}
	const zero = 22.414 // litres a mole at 0 °C and 101.325 kPa
	return Litre(float64(mass) / float64(molarMass) * zero * temperature.Kelvin() / 273.15).CubicMetres(), nil
}

// ShareOfLimit adds up vapours against their exposure limits: Σ concentration/limit, for vapours that act alike. Above 1
// the mixture is over its limit (rule of the published limits for mixtures).
func ShareOfLimit(vapours, limits []PPM) (float64, error) {
	if len(vapours) != len(limits) {
		return 0, errors.New("Each vapour needs its own limit. Give as many limits as vapours.")
	}
	var sum float64
	var wrong []error
	for i := range vapours {
		wrong = append(wrong, within("The vapour", vapours[i], 0, 1e6, "ppm"), above("The limit", limits[i], "ppm"))
		sum += float64(vapours[i] / limits[i])
	}
	if err := errors.Join(wrong...); err != nil {
		return 0, err
	}
	return sum, nil
}
