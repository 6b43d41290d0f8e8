// Package figures is the trade's arithmetic: pure functions on typed quantities, each with its formula, units, range and
// source. A Formula wraps one of them for inputs that are ranges, and its Working shows how a printed figure was made. A
// figure fact of the base names one of the functions in byName.
package figures

import "math"

type figure struct {
	inputs  []string
	compute func([]float64) (float64, error)
}

// byName lists the figures that a fact may name, with the facts that each reads, in the order of the arguments.
var byName = map[string]figure{
	"dew_margin": {[]string{"surface_temp", "air_temp", "humidity"}, func(in []float64) (float64, error) {
		margin, err := DewMargin(Celsius(in[0]), Celsius(in[1]), Percent(in[2]))
		return float64(margin), err
	}},
}

// Inputs lists the figures by name, with the facts that each reads.
func Inputs() map[string][]string {
	inputs := make(map[string][]string, len(byName))
	for name, f := range byName {
		inputs[name] = f.inputs
	}
	return inputs
}

// Compute returns the value of a figure, or false if there is no such figure or it has no value for these inputs.
func Compute(name string, inputs []float64) (float64, bool) {
	f, ok := byName[name]
	if !ok || len(inputs) != len(f.inputs) {
		return 0, false
	}
	v, err := f.compute(inputs)
	return v, err == nil && !math.IsNaN(v) && !math.IsInf(v, 0)
}
