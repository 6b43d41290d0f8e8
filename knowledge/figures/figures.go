// Package figures is the trade's arithmetic: pure functions on typed quantities, each with its formula, units, range and
// source. A Formula wraps one of them for inputs that are ranges, and its Working shows how a printed figure was made. A
// figure fact of the base names one of the functions in byName.
package figures

import "math"

type figure struct {
	inputs  []string
	of      string // the method whose coefficients it reads; empty: none
	compute func(in []float64, find Lookup) (float64, error)
}

// byName lists the figures that a fact may name, with the facts that each reads, in the order of the arguments.
var byName = map[string]figure{
	"dew_margin": {[]string{"surface_temp", "air_temp", "humidity"}, "", func(in []float64, _ Lookup) (float64, error) {
		return plainly(DewMargin(Celsius(in[0]), Celsius(in[1]), Percent(in[2])))
	}},
	"gel_vapour":    {[]string{"fresh_air"}, "solvent_brushed", leastShare},
	"spirit_vapour": {[]string{"fresh_air"}, "spirit_rub", leastShare},
}

func leastShare(in []float64, find Lookup) (float64, error) {
	return plainly(leastAirShare(CubicMetrePerHour(in[0]), find))
}

// Inputs lists the figures by name, with the facts that each reads.
func Inputs() map[string][]string {
	inputs := make(map[string][]string, len(byName))
	for name, f := range byName {
		inputs[name] = f.inputs
	}
	return inputs
}

// Method is the method whose coefficients a figure reads; empty if it reads none.
func Method(name string) string { return byName[name].of }

// Compute returns the value of a figure, or false if there is no such figure or it has no value for these inputs. find gives
// the coefficients of the figure's method.
func Compute(name string, inputs []float64, find Lookup) (float64, bool) {
	f, ok := byName[name]
	if !ok || len(inputs) != len(f.inputs) {
		return 0, false
	}
	v, err := f.compute(inputs, find)
	return v, err == nil && !math.IsNaN(v) && !math.IsInf(v, 0)
}
