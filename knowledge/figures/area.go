package figures

import "errors"

// Rectangle returns length × height.
func Rectangle(length, height Metre) (SquareMetre, error) {
	if err := errors.Join(positive("The length", length, "m"), positive("The height", height, "m")); err != nil {
		return 0, err
	}
	return SquareMetre(length * height), nil
}

// GirthArea returns the area of a moulding, rail or pipe: length × girth, the girth measured with a tape laid into every
// hollow of the profile.
func GirthArea(length Metre, girth Millimetre) (SquareMetre, error) {
	if err := errors.Join(positive("The length", length, "m"), positive("The girth", girth, "mm")); err != nil {
		return 0, err
	}
	return SquareMetre(length * girth.Metres()), nil
}

// AngleGirth returns the girth of a steel angle of equal legs, four times the leg (measurement rules, reported).
func AngleGirth(leg Millimetre) (Millimetre, error) {
	if err := positive("The leg", leg, "mm"); err != nil {
		return 0, err
	}
	return 4 * leg, nil
}

// BeamGirth returns the girth of a steel channel or I-beam: 2 × web + 4 × flange (measurement rules, reported).
func BeamGirth(web, flange Millimetre) (Millimetre, error) {
	if err := errors.Join(positive("The web", web, "mm"), positive("The flange", flange, "mm")); err != nil {
		return 0, err
	}
	return 2*web + 4*flange, nil
}

// smallOpening is the opening below which nothing is taken off (IS 1200-15, reported).
const smallOpening SquareMetre = 0.5

// LessOpenings returns an area less its openings, save those under 0.5 m², whose edges make up for them (IS 1200-15,
// reported).
func LessOpenings(area SquareMetre, openings ...SquareMetre) (SquareMetre, error) {
	wrong := []error{positive("The area", area, "m²")}
	left := area
	for _, o := range openings {
		wrong = append(wrong, positive("An opening", o, "m²"))
		if o >= smallOpening {
			left -= o
		}
	}
	if err := errors.Join(append(wrong, positive("The area left after the openings", left, "m²"))...); err != nil {
		return 0, err
	}
	return left, nil
}

// AreaFactor is a published number by which a rule book multiplies a measured area of an element, for its edges,
// mouldings and gaps. The books differ widely, so a figure names the one that it used.
type AreaFactor struct {
	Kind    string // our own word, one for all books
	Element string // the book's element, in short
	Basis   string // what is measured
	Factor  float64
	Other   float64 // the top of the book's range, or what another copy of it prints; 0 if there is none
	Source  string
	Note    string
}

// FactorsFor returns the published factors for a kind of element, in the order of the books, and the range they span:
// the point is the first book's. A kind without factors gives false.
func FactorsFor(kind string) ([]AreaFactor, Range, bool) {
	var found []AreaFactor
	var span Range
	for _, f := range areaFactors {
		if f.Kind != kind {
			continue
		}
		if len(found) == 0 {
			span = Exactly(f.Factor)
		}
		for _, factor := range []float64{f.Factor, f.Other} {
			if factor != 0 {
				span.Low, span.High = min(span.Low, factor), max(span.High, factor)
			}
		}
		found = append(found, f)
	}
	return found, span, len(found) > 0
}

// FactorKinds lists the kinds of elements that have factors, each once.
func FactorKinds() []string {
	var kinds []string
	seen := map[string]bool{}
	for _, f := range areaFactors {
		if !seen[f.Kind] {
			seen[f.Kind] = true
			kinds = append(kinds, f.Kind)
		}
	}
	return kinds
}

// CoveredArea returns the area of an element by a published factor: measured area × factor × sides. For a factor whose
// basis is not "each side" the sides are 1.
func CoveredArea(measured SquareMetre, factor, sides float64) (SquareMetre, error) {
	if err := errors.Join(positive("The measured area", measured, "m²"), within("The factor", factor, 0.1, 10, ""),
		within("The number of sides", sides, 1, 2, "")); err != nil {
		return 0, err
	}
	return measured * SquareMetre(factor*sides), nil
}
