// Package figures is the trade's arithmetic: pure functions with their units and sources. A figure fact of the base
// names one of them.
package figures

import "math"

type figure struct {
	inputs  []string
	compute func([]float64) (float64, bool)
}

// byName lists the figures that a fact may name, with the facts that each reads, in the order of the arguments.
var byName = map[string]figure{
	"dew_margin": {[]string{"surface_temp", "air_temp", "humidity"}, func(in []float64) (float64, bool) {
		dew, ok := DewPoint(in[1], in[2])
		return in[0] - dew, ok
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
	v, ok := f.compute(inputs)
	return v, ok && !math.IsNaN(v) && !math.IsInf(v, 0)
}

// DewPoint returns the dew point in °C of air at a temperature in °C and a relative humidity in per cent, by the Magnus
// form with the constants 17.62 and 243.12 °C over water. Over ice (dew below 0 °C) it reads up to 2 K low. It has no
// value outside -40..60 °C and 0 < humidity <= 100. Checked against table values of ASHRAE Fundamentals 2017 by way of
// PsychroLib 2.5.0; see the test.
func DewPoint(air, humidity float64) (dew float64, ok bool) {
	const a, b = 17.62, 243.12
	if air < -40 || air > 60 || humidity <= 0 || humidity > 100 {
		return 0, false
	}
	gamma := math.Log(humidity/100) + a*air/(b+air)
	return b * gamma / (a - gamma), true
}
