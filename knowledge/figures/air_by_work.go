package figures

import (
	"errors"
	"fmt"
)

// GivenOffByWork returns the solvent that a brushed stripper gives off while someone works on steadily, patch after patch:
//
//	paste on a square metre × density × share of solvent × share that dries off ÷ (pace × shape) × crew
//
// The pace is the time on a square metre of flat work.
func GivenOffByWork(paste LitrePerM2, density KilogramPerM3, solvent, driesOff Percent, pace HoursPerM2, shape,
	crew float64) (GramPerHour, error) {
	given, err := SolventGivenOff(Litre(paste), density, solvent, driesOff)
	if err := errors.Join(err, above("The time on a square metre", pace, "h/m²"), within("The shape", shape, 0.5, 20, ""),
		within("The crew", crew, 1, 1000, "")); err != nil {
		return 0, err
	}
	return GramPerHour(float64(given) / (float64(pace) * shape) * crew), nil
}

// AirFor returns the fresh air that a solvent needs: for its exposure limit, or for a quarter of its lower explosive limit,
// whichever is more. A solvent without an exposure limit needs the second.
func AirFor(given GramPerHour, s Solvent, limit PPM, k Mixing) (CubicMetrePerHour, error) {
	if s.MolarMass == 0 {
		return 0, fmt.Errorf("The molar mass of %s is not known. Name the solvent of the safety sheet.", s.Name)
	}
	air, err := AirForExplosive(given, s.MolarMass, 25, s.Explosive[0], QuarterOfExplosive, k)
	if err != nil || limit == 0 {
		return air, err
	}
	mass, err := ToMilligrams(limit, s.MolarMass)
	if err != nil {
		return 0, err
	}
	forLimit, err := AirForLimit(given, mass, k)
	return max(air, forLimit), err
}

// Lookup finds the text of a coefficient of the base; false says that none holds for the case.
type Lookup func(id string) (text string, ok bool)

// end reads a coefficient at its low or its high end, in a unit.
func (l Lookup) end(id, unit string, high bool) (float64, error) {
	text, ok := l(id)
	if !ok {
		return 0, fmt.Errorf("There is no coefficient %q for this case.", id)
	}
	u, ok := FindUnit(unit)
	if !ok {
		return 0, fmt.Errorf("The unit %q is not known.", unit)
	}
	q, err := ParseQuantity(text, u.Dimension)
	if err != nil {
		return 0, err
	}
	q, _ = q.In(u)
	if high {
		return q.High, nil
	}
	return q.Low, nil
}

// leastAirShare returns the fresh air that brushing on a stripper needs, as a share of the fresh air that there is, with every
// coefficient at the end at which it needs the least: thin, weak, drying slowly, put on by one slow worker, in air that mixes
// well. What does not pass even so cannot be aired.
func leastAirShare(there CubicMetrePerHour, find Lookup) (Percent, error) {
	name, _ := find("solvent")
	var solvent Solvent
	for _, s := range Solvents() {
		if s.Name == name {
			solvent = s
		}
	}
	var wrong []error
	at := func(id, unit string, high bool) float64 {
		v, err := find.end(id, unit, high)
		wrong = append(wrong, err)
		return v
	}
	given, err := GivenOffByWork(LitrePerM2(at("on_area", "L/m²", false)),
		KilogramPerM3(at("solvent_density", "kg/m³", false)), Percent(at("solvent_share", "%", false)),
		Percent(at("dries_off", "%", false)), HoursPerM2(at("pace", "h/m²", true)), at("shape", "times", true), 1)
	wrong = append(wrong, err)
	limit, _ := solvent.LowestLimit()
	needed, err := AirFor(given, solvent, limit.PPM, Mixing(at("mixing", "times", false)))
	if err := errors.Join(append(wrong, err, above("The fresh air", there, "m³/h"))...); err != nil {
		return 0, err
	}
	return Percent(100 * float64(needed/there)), nil
}
