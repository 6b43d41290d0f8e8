package figures

import "errors"

// Dry film of one coat (MIL-HDBK-1110 sections 4.4.1.1 and 4.4.1.2).
const (
	OilCoat   Micrometre = 51
	LatexCoat Micrometre = 38
)

// FilmThickness returns the thickness of a build-up: coats × film of one coat. A century of repainting every 5 to 8
// years (Preservation Brief 10) makes 13 to 20 coats, about a millimetre of oil paint at most.
func FilmThickness(coats float64, coat Micrometre) (Micrometre, error) {
	if err := errors.Join(within("The number of coats", coats, 0, 200, ""), within("The film of one coat", coat, 0, 5000, "µm")); err != nil {
		return 0, err
	}
	return Micrometre(coats) * coat, nil
}

// DryFilm returns the film that dries from a wet one: wet film × solids by volume.
func DryFilm(wet Micrometre, solids Percent) (Micrometre, error) {
	if err := errors.Join(positive("The wet film", wet, "µm"), within("The solids", solids, 0, 100, "%")); err != nil {
		return 0, err
	}
	return wet * Micrometre(solids.Share()), nil
}

// WetFilm returns the wet film that dries to a dry one: dry film / solids by volume.
func WetFilm(dry Micrometre, solids Percent) (Micrometre, error) {
	if err := errors.Join(positive("The dry film", dry, "µm"), within("The solids", solids, 1, 100, "%")); err != nil {
		return 0, err
	}
	return dry / Micrometre(solids.Share()), nil
}

// Spread returns the area that a litre covers: 1000 × solids × share that lands on the surface / dry film in µm. Brush
// and roller land all of it; spray less. A paste that is measured wet has solids of 100 %.
func Spread(dry Micrometre, solids, landed Percent) (SquareMetrePerL, error) {
	if err := errors.Join(above("The dry film", dry, "µm"), within("The solids", solids, 0, 100, "%"),
		within("The share that lands", landed, 0, 100, "%")); err != nil {
		return 0, err
	}
	return SquareMetrePerL(1000 * solids.Share() * landed.Share() / float64(dry)), nil
}
