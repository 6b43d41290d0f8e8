package figures

import (
	"errors"
	"fmt"
)

// LeadOn returns the lead on a part: 1 mg/cm² is 10 g/m². It holds up to 1000 mg/cm², more than any paint.
func LeadOn(loading MilligramPerCm2, area SquareMetre) (Kilogram, error) {
	if err := errors.Join(within("The lead on the surface", loading, 0, 1000, "mg/cm²"), positive("The area", area, "m²")); err != nil {
		return 0, err
	}
	return Gram(float64(loading) * 10 * float64(area)).Kilograms(), nil
}

// LeadShare returns the lead in a paint film by mass, in per cent, from what a square centimetre holds:
//
//	100 · loading / (1000 · density · thickness),  in mg/cm², g/cm³ and cm
//
// (EP 1110-1-31, reported). More lead than paint is refused: then the thickness or the density is too low. The two legal
// figures, 1.0 mg/cm² and 0.5 %, are not equivalent; neither stands in for the other.
func LeadShare(loading MilligramPerCm2, density KilogramPerM3, thickness Micrometre) (Percent, error) {
	if err := errors.Join(within("The lead on the surface", loading, 0, 1000, "mg/cm²"), within("The density of the paint", density, 500, 10_000, "kg/m³"),
		within("The thickness of the paint", thickness, 1, 20_000, "µm")); err != nil {
		return 0, err
	}
	paint := float64(density) * float64(thickness) * 1e-4 // mg/cm²
	share := Percent(100 * float64(loading) / paint)
	if share > 100 {
		return 0, fmt.Errorf("%s mg/cm² of lead is more than the whole paint of %s mg/cm². Measure the thickness again.", plain(float64(loading)), plain(paint))
	}
	return share, nil
}

// LoadingOf returns the lead on a surface from a film that holds a share of it by mass; the inverse of LeadShare.
func LoadingOf(thickness Micrometre, density KilogramPerM3, share Percent) (MilligramPerCm2, error) {
	if err := errors.Join(within("The thickness of the paint", thickness, 0, 20_000, "µm"), within("The density of the paint", density, 500, 10_000, "kg/m³"),
		within("The share of lead", share, 0, 100, "%")); err != nil {
		return 0, err
	}
	return MilligramPerCm2(float64(thickness) * float64(density) * 1e-4 * share.Share()), nil
}

// LeadPerKg returns the lead in debris, in mg/kg. Both masses must be well known (EPA: applied knowledge).
func LeadPerKg(lead, debris Kilogram) (MilligramPerKg, error) {
	if err := errors.Join(positive("The lead", lead, "kg"), above("The debris", debris, "kg"), within("The lead", lead, 0, float64(max(debris, 0)), "kg")); err != nil {
		return 0, err
	}
	return MilligramPerKg(1e6 * float64(lead) / float64(debris)), nil
}

// leachLimit is the lead in the extract at and above which waste fails the leaching test (40 CFR 261.24, D008).
const leachLimit MilligramPerLitre = 5

// LeachAtMost returns the most lead that the leaching test of dry waste can find, one twentieth of the total, since the
// test takes 20 L/kg (EPA Method 1311, sections 1.2 and 2.2). Waste with liquid needs its own dilution.
func LeachAtMost(total MilligramPerKg) (MilligramPerLitre, error) {
	if err := within("The lead in the waste", total, 0, 1e6, "mg/kg"); err != nil {
		return 0, err
	}
	return MilligramPerLitre(total / 20), nil
}

// Leaching is what the twenty-times rule proves of dry waste.
type Leaching int

// Totals never prove a waste hazardous: at best they spare the test.
const (
	MustBeTested Leaching = iota
	CannotFail
)

func (l Leaching) String() string {
	return [...]string{"proves nothing: have the leaching test done", "cannot fail the leaching test for lead"}[l]
}

// TwentyTimes screens dry waste by its lead: below 100 mg/kg it cannot fail the leaching test for lead, from there on the
// total proves nothing. Other metals and other laws are not looked at.
func TwentyTimes(total MilligramPerKg) (Leaching, error) {
	most, err := LeachAtMost(total)
	if err != nil || most >= leachLimit {
		return MustBeTested, err
	}
	return CannotFail, nil
}

// ShiftLimit returns the limit of lead in air for a shift longer than eight hours, in mg/m³: 0.4/hours (29 CFR
// 1926.62(c)(2) by way of UFGS 13283N 1.2.17). A shorter shift keeps the limit of eight hours.
func ShiftLimit(shift Hour) (MilligramPerM3, error) {
	if err := within("The shift", shift, 0, 24, "h"); err != nil {
		return 0, err
	}
	return MilligramPerM3(0.4 / max(float64(shift), 8)), nil
}
