package figures

import (
	"errors"
	"fmt"
	"math"
)

// Alkali is one base of a paste by the molar mass of one equivalent.
type Alkali struct {
	Name   string
	Weight GramPerMol // grams to one mole of hydroxide
}

// The bases of alkaline pastes (molar masses of the tables of atomic weights).
var (
	SodiumHydroxide    = Alkali{"sodium hydroxide", 40.00}
	PotassiumHydroxide = Alkali{"potassium hydroxide", 56.11}
	CalciumHydroxide   = Alkali{"calcium hydroxide", 74.09 / 2}
	MagnesiumHydroxide = Alkali{"magnesium hydroxide", 58.32 / 2}
)

// AlkaliShare is a share of the paste's mass.
type AlkaliShare struct {
	Alkali Alkali
	Share  Percent
}

// AlkaliPerKg returns the equivalents of base in a kilogram of paste, from its safety sheet. The paste of NIOSH ECTB
// 183-17a (9 % sodium, 21 % calcium, 16 % magnesium hydroxide) holds 13.4.
func AlkaliPerKg(contents ...AlkaliShare) (EquivalentPerKg, error) {
	var sum, shares float64
	var wrong []error
	for _, c := range contents {
		wrong = append(wrong, within("The share of "+c.Alkali.Name, c.Share, 0, 100, "%"), above("The weight of "+c.Alkali.Name, c.Alkali.Weight, "g/mol"))
		sum += c.Share.Share() * 1000 / float64(c.Alkali.Weight)
		shares += float64(c.Share)
	}
	if shares > 100 {
		wrong = append(wrong, fmt.Errorf("The alkalis make up %s%% of the paste. They cannot be more than all of it.", plain(shares)))
	}
	if err := errors.Join(wrong...); err != nil {
		return 0, err
	}
	return EquivalentPerKg(sum), nil
}

// ResidualAlkali returns the equivalents of base on a surface: what the paste left on it holds, and what the surface
// itself takes up and gives back.
//
//	area × (residue × alkali of the paste + surface demand)
//
// The surface demand, in equivalents a square metre, has no published value: find it on the patch. Lime and cement take
// up acid for ever and are never to be neutralised; see the rules.
func ResidualAlkali(area SquareMetre, residue KilogramPerM2, alkali EquivalentPerKg, demand EquivalentPerM2) (Equivalent, error) {
	if err := errors.Join(positive("The area", area, "m²"), positive("The paste left", residue, "kg/m²"),
		within("The alkali of the paste", alkali, 0, 50, "eq/kg"), positive("The demand of the surface", demand, "eq/m²")); err != nil {
		return 0, err
	}
	return Equivalent(float64(area) * (float64(residue)*float64(alkali) + float64(demand))), nil
}

// NeutraliserVolume returns the litres of an acid that are equivalent to a base:
//
//	equivalents / (strength × steps of the acid)
//
// At that point a weak acid leaves a pH of 8.7 to 9.4, not 7 (see Titrate), so acid is added by reading, not by volume.
func NeutraliserVolume(alkali Equivalent, acid Acid, strength MolPerLitre) (Litre, error) {
	if err := errors.Join(positive("The alkali", alkali, "eq"), above("The strength of the acid", strength, "mol/L"),
		above("The number of the acid's steps", float64(len(acid.PKa)), "")); err != nil {
		return 0, err
	}
	return Litre(float64(alkali) / (float64(strength) * float64(len(acid.PKa)))), nil
}

// NeutraliserMass returns the kilograms of the pure, dry acid that are equivalent to a base.
func NeutraliserMass(alkali Equivalent, acid Acid) (Kilogram, error) {
	if err := errors.Join(positive("The alkali", alkali, "eq"), above("The acid's molar mass", acid.MolarMass, "g/mol"),
		above("The number of the acid's steps", float64(len(acid.PKa)), "")); err != nil {
		return 0, err
	}
	return Kilogram(float64(alkali) * float64(acid.MolarMass) / float64(len(acid.PKa)) / 1000), nil
}

// AlkaliOf returns the equivalents of base in a mass of one pure alkali.
func AlkaliOf(mass Kilogram, alkali Alkali) (Equivalent, error) {
	if err := errors.Join(positive("The mass", mass, "kg"), above("The weight of "+alkali.Name, alkali.Weight, "g/mol")); err != nil {
		return 0, err
	}
	return Equivalent(float64(mass.Grams()) / float64(alkali.Weight)), nil
}

// RinseVolume returns the litres of water for a number of rinses over an area.
func RinseVolume(area SquareMetre, rinse LitrePerM2, rinses float64) (Litre, error) {
	if err := errors.Join(positive("The area", area, "m²"), positive("The rinse", rinse, "L/m²"),
		within("The number of rinses", rinses, 0, maxRinses, "")); err != nil {
		return 0, err
	}
	return Litre(float64(area) * float64(rinse) * math.Ceil(rinses)), nil
}
