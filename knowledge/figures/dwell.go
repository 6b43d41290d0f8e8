package figures

import (
	"errors"
	"math"
)

const gasConstant = 8.314462618e-3 // kJ/(mol K), exact since 2019 to these digits

// DwellRule says how a paste slows in the cold.
type DwellRule struct {
	Name    string
	Energy  Range  // activation energy, kJ/mol
	Source  string // where the energy comes from
	Assumed bool   // no measurement stands behind it
}

// Below 5 °C no paste works, and above 30 °C it dries before it works (common practice).
const coldest, hottest = 5, 30

// How pastes slow: the time about doubles for each 10 K colder. No published energy was found for solvents: theirs is an
// assumption, and the test patch decides.
var (
	AlkalineDwell = DwellRule{"alkaline paste", Range{47, 50, 51.2}, "alkaline hydrolysis of ethyl acetate, 47 kJ/mol (reported); doubling each 10 K, 51 kJ/mol (common practice)", false}
	SolventDwell  = DwellRule{"solvent paste", Range{30, 50, 60}, "common practice", true}
)

// RateFactor returns how many times faster a reaction runs at one temperature than at another, by Arrhenius:
//
//	exp(energy/R · (1/from − 1/to)), temperatures in kelvins
//
// It holds from -20 to 120 °C and for 0 to 300 kJ/mol.
func RateFactor(energy KilojoulePerMol, from, to Celsius) (float64, error) {
	if err := errors.Join(within("The activation energy", energy, 0, 300, "kJ/mol"), within("The first temperature", from, -20, 120, "°C"),
		within("The second temperature", to, -20, 120, "°C")); err != nil {
		return 0, err
	}
	return math.Exp(float64(energy) / gasConstant * (1/from.Kelvin() - 1/to.Kelvin())), nil
}

// Q10 returns how many times faster a reaction runs 10 K above a temperature.
func Q10(energy KilojoulePerMol, at Celsius) (float64, error) { return RateFactor(energy, at, at+10) }

// ActivationEnergy returns the energy of a reaction that runs so many times faster at one temperature than at another.
// It is the inverse of RateFactor; the temperatures must differ by at least 1 K.
func ActivationEnergy(factor float64, from, to Celsius) (KilojoulePerMol, error) {
	if err := errors.Join(above("The factor", factor, ""), within("The first temperature", from, -270, 3000, "°C"),
		within("The second temperature", to, -270, 3000, "°C"), within("The difference in temperature", Celsius(math.Abs(float64(to-from))), 1, 3000, "K")); err != nil {
		return 0, err
	}
	return KilojoulePerMol(gasConstant * math.Log(factor) / (1/from.Kelvin() - 1/to.Kelvin())), nil
}

// DwellAt returns how long a paste needs at a temperature, from the time it took on the patch at another: time on the
// patch divided by RateFactor. Both temperatures are the surface's, and must lie between 5 and 30 °C.
func DwellAt(patch Hour, patchTemperature, temperature Celsius, energy KilojoulePerMol) (Hour, error) {
	factor, err := RateFactor(energy, patchTemperature, temperature)
	if err := errors.Join(err, within("The time on the patch", patch, 0, 1000, "h"), within("The patch's temperature", patchTemperature, coldest, hottest, "°C"),
		within("The surface", temperature, coldest, hottest, "°C")); err != nil {
		return 0, err
	}
	return patch / Hour(factor), nil
}
