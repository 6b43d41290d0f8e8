package figures

import (
	"errors"
	"math"
	"slices"
)

// Acid is a weak acid by its dissociation constants.
type Acid struct {
	Name      string
	PKa       []float64 // at 25 °C, the strongest step first
	MolarMass GramPerMol
	Source    string
}

// Acids that a surface is neutralised with, and carbonic acid, which hard water holds.
var (
	Acetic   = Acid{"acetic acid", []float64{4.756}, 60.05, "LibreTexts"}
	Citric   = Acid{"citric acid", []float64{3.13, 4.76, 6.40}, 192.12, "LibreTexts"}
	Carbonic = Acid{"carbonic acid", []float64{6.35, 10.33}, 62.03, "LibreTexts; molar mass from memory"}
)

// charge is the mean negative charge of one molecule of the acid at a hydrogen ion concentration.
func (a Acid) charge(hydrogen float64) float64 {
	share, all, charged := 1.0, 1.0, 0.0
	for i, pKa := range a.PKa {
		share *= math.Pow(10, -pKa) / hydrogen
		all += share
		charged += float64(i+1) * share
	}
	return charged / all
}

// Dissolved is so much of a weak acid in a liquor, in whatever form.
type Dissolved struct {
	Acid   Acid
	Amount MolPerLitre
}

// Liquor is a thin solution of a strong base (in equivalents; a strong acid counts as negative) and of weak acids.
type Liquor struct {
	Base  MolPerLitre
	Acids []Dissolved
}

// ionProducts holds pKw of water by temperature in °C (OpenStax Chemistry 2e, appendix E).
var ionProducts = [][2]float64{
	{0, 14.95}, {5, 14.74}, {10, 14.54}, {15, 14.33}, {20, 14.17}, {25, 14.00}, {30, 13.84}, {35, 13.69}, {40, 13.55},
	{45, 13.41}, {50, 13.28},
}

// IonProduct returns pKw, the negative logarithm of the ion product of water, from 0 to 50 °C: values at
// every 5 °C (OpenStax Chemistry 2e, appendix E), and a straight line between them.
func IonProduct(temperature Celsius) (float64, error) {
	if err := within("The water", temperature, 0, 50, "°C"); err != nil {
		return 0, err
	}
	t := float64(temperature)
	i := slices.IndexFunc(ionProducts, func(row [2]float64) bool { return row[0] >= t })
	if ionProducts[i][0] == t {
		return ionProducts[i][1], nil
	}
	low, high := ionProducts[i-1], ionProducts[i]
	return low[1] + (high[1]-low[1])*(t-low[0])/(high[0]-low[0]), nil
}

// PHOf returns the pH of a liquor, from the balance of charges
//
//	[H] + base = Kw/[H] + Σ amount · mean charge([H])
//
// solved by halving to 1e-9. It takes concentrations for activities, so a strong liquor (above about 0.1 mol/L) reads up
// to a few tenths otherwise on a meter (from memory). The constants of the acids are those of 25 °C at every temperature.
// It holds up to 20 mol/L and from 0 to 50 °C. Within 0.0053 of the titration of OpenStax Chemistry 2e 14.7; see the test.
func PHOf(liquor Liquor, temperature Celsius) (PH, error) {
	pKw, err := IonProduct(temperature)
	wrong := []error{err, within("The base", liquor.Base, -20, 20, "mol/L")}
	for _, d := range liquor.Acids {
		wrong = append(wrong, within("The "+d.Acid.Name, d.Amount, 0, 20, "mol/L"))
	}
	if err := errors.Join(wrong...); err != nil {
		return 0, err
	}
	kw := math.Pow(10, -pKw)
	surplus := func(pH float64) float64 { // falls as the pH rises
		h := math.Pow(10, -pH)
		s := h + float64(liquor.Base) - kw/h
		for _, d := range liquor.Acids {
			s -= float64(d.Amount) * d.Acid.charge(h)
		}
		return s
	}
	low, high := -3.0, 18.0
	for high-low > 1e-9 {
		if middle := (low + high) / 2; surplus(middle) > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	return PH((low + high) / 2), nil
}

// BaseFor returns the strong base, in equivalents a litre, that gives plain water a pH; below neutral it is negative, a
// strong acid. It is the inverse of PHOf for a liquor without weak acids.
func BaseFor(pH PH, temperature Celsius) (MolPerLitre, error) {
	pKw, err := IonProduct(temperature)
	if err := errors.Join(err, within("The pH", pH, 0, 15, "")); err != nil {
		return 0, err
	}
	return MolPerLitre(math.Pow(10, float64(pH)-pKw) - math.Pow(10, -float64(pH))), nil
}

// Titrate returns the pH, at 25 °C, after a volume of an acid has been stirred into a volume of a strong base.
func Titrate(base MolPerLitre, baseVolume Litre, acid Acid, strength MolPerLitre, acidVolume Litre) (PH, error) {
	if err := errors.Join(positive("The volume of the base", baseVolume, "L"), positive("The volume of the acid", acidVolume, "L"),
		above("The volume of both", baseVolume+acidVolume, "L")); err != nil {
		return 0, err
	}
	all := float64(baseVolume + acidVolume)
	return PHOf(Liquor{
		Base:  base * MolPerLitre(float64(baseVolume)/all),
		Acids: []Dissolved{{acid, strength * MolPerLitre(float64(acidVolume)/all)}},
	}, 25)
}

// Strength returns the moles a litre of an acid of a mass share and a density; 5 % vinegar of 1007 kg/m³ is 0.8385 mol/L.
func Strength(share Percent, density KilogramPerM3, molarMass GramPerMol) (MolPerLitre, error) {
	if err := errors.Join(within("The strength", share, 0, 100, "%"), positive("The density", density, "kg/m³"),
		above("The molar mass", molarMass, "g/mol")); err != nil {
		return 0, err
	}
	return MolPerLitre(share.Share() * float64(density) / float64(molarMass)), nil
}
