package figures

import (
	"errors"
	"math"
)

// Mixing is how badly fresh air mixes with a room's: 1 is perfect, 10 very poor (MMWR 28 October 1994, table S3-1). Air
// that goes through a room counts as so many times less.
type Mixing float64

func mixing(k Mixing) error { return within("The mixing factor", k, 1, 10, "") }

// AirChanges returns how often an hour a flow of air fills a room: flow / volume.
func AirChanges(flow CubicMetrePerHour, room CubicMetre) (PerHour, error) {
	if err := errors.Join(positive("The flow of air", flow, "m³/h"), above("The room", room, "m³")); err != nil {
		return 0, err
	}
	return PerHour(float64(flow) / float64(room)), nil
}

// PurgeTime returns how long a room must be aired after the work until a share of what is in its air is gone:
//
//	mixing · ln(1/(1 − removed)) / air changes
//
// It agrees with all of MMWR 28 October 1994, table S3-1. Nothing may still be given off meanwhile. Lead dust settles: it
// is cleaned up, not aired out.
func PurgeTime(changes PerHour, removed Percent, k Mixing) (Hour, error) {
	if err := errors.Join(above("The number of air changes", changes, "an hour"), within("The share removed", removed, 0, 99.9999, "%"), mixing(k)); err != nil {
		return 0, err
	}
	return Hour(float64(k) * -math.Log1p(-removed.Share()) / float64(changes)), nil
}

// BuildUp returns the concentration in a room's air, in mg/m³, after a time in which solvent is given off steadily:
//
//	c = G/(n'V) · (1 − e^(−n't)) + c₀ · e^(−n't),  n' = air changes / mixing
//
// or c₀ + Gt/V with no air at all. Fresh air is taken to be clean. The form is that of industrial ventilation texts; see
// the test for its published table.
func BuildUp(before MilligramPerM3, given GramPerHour, room CubicMetre, changes PerHour, k Mixing, after Hour) (MilligramPerM3, error) {
	if err := errors.Join(positive("The concentration before", before, "mg/m³"), positive("The solvent given off", given, "g/h"), above("The room", room, "m³"),
		positive("The number of air changes", changes, "an hour"), mixing(k), positive("The time", after, "h")); err != nil {
		return 0, err
	}
	rate, source := float64(changes)/float64(k), float64(given)*1000/float64(room)
	if exponent := rate * float64(after); exponent > 1e-9 {
		return MilligramPerM3(source/rate*-math.Expm1(-exponent) + float64(before)*math.Exp(-exponent)), nil
	}
	return before + MilligramPerM3(source*float64(after)), nil
}

// AirForLimit returns the fresh air that keeps a steady source under an exposure limit: G/limit × mixing.
func AirForLimit(given GramPerHour, limit MilligramPerM3, k Mixing) (CubicMetrePerHour, error) {
	if err := errors.Join(positive("The solvent given off", given, "g/h"), above("The exposure limit", limit, "mg/m³"), mixing(k)); err != nil {
		return 0, err
	}
	return CubicMetrePerHour(float64(given) * 1000 / float64(limit) * float64(k)), nil
}

// Shares of the lower explosive limit that rules work to: a quarter (29 CFR 1910.94(c)(6)(ii), from memory), and a tenth
// for flammable paint removers in shipyards (WAC 296-304-03009).
const (
	QuarterOfExplosive Percent = 25
	TenthOfExplosive   Percent = 10
)

// DilutionToExplosive returns the volumes of air to one of vapour that keep it at a share of its lower explosive limit:
//
//	(100 − limit) / limit / share
//
// A quarter gives the 4(100 − LEL)/LEL of 29 CFR 1910.94(c)(6)(ii) (from memory).
func DilutionToExplosive(limit, share Percent) (float64, error) {
	if err := errors.Join(within("The lower explosive limit", limit, 0.1, 100, "%"), within("The share of the limit", share, 1, 100, "%")); err != nil {
		return 0, err
	}
	return float64(100-limit) / float64(limit) / share.Share(), nil
}

// AirForExplosive returns the fresh air that keeps a steady source at a share of its lower explosive limit: vapour given
// off × DilutionToExplosive × mixing. The exposure limit almost always asks for far more air.
func AirForExplosive(given GramPerHour, molarMass GramPerMol, temperature Celsius, limit, share Percent, k Mixing) (CubicMetrePerHour, error) {
	vapour, err := VapourVolume(Gram(given), molarMass, temperature)
	times, err2 := DilutionToExplosive(limit, share)
	if err := errors.Join(err, err2, mixing(k)); err != nil {
		return 0, err
	}
	return CubicMetrePerHour(float64(vapour) * times * float64(k)), nil
}

// ShareOfExplosive returns how much of its lower explosive limit a vapour reaches if all of a solvent dries off in a room
// without fresh air. One litre of acetone in 30 m³ reaches 43 %.
func ShareOfExplosive(mass Gram, molarMass GramPerMol, temperature Celsius, room CubicMetre, limit Percent) (Percent, error) {
	vapour, err := VapourVolume(mass, molarMass, temperature)
	if err := errors.Join(err, above("The room", room, "m³"), within("The lower explosive limit", limit, 0.1, 100, "%")); err != nil {
		return 0, err
	}
	return Percent(100 * float64(vapour/room) / limit.Share()), nil
}
