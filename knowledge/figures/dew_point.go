package figures

import (
	"errors"
	"math"
)

// The Magnus constants over water and over ice, in °C; both meet at 0 °C (Sonntag's set).
const (
	waterA, waterB = 17.62, 243.12
	iceA, iceB     = 22.46, 272.62
)

func air(temperature Celsius, humidity Percent) error {
	return errors.Join(within("The air", temperature, -40, 60, "°C"), within("The humidity", humidity, 1, 100, "%"))
}

func magnus(temperature Celsius, humidity Percent) float64 {
	return math.Log(humidity.Share()) + waterA*float64(temperature)/(waterB+float64(temperature))
}

// DewPoint returns the dew point of air over water, in °C, by the Magnus form
//
//	γ = ln(humidity/100) + 17.62·air/(243.12+air);  dew = 243.12·γ/(17.62−γ)
//
// It holds from -40 to 60 °C and from 1 to 100 % of relative humidity over water. Above freezing it is within 0.05 K of
// PsychroLib 2.5.0, whose saturation pressures are those of ASHRAE Fundamentals 2017; see the test. Below freezing frost
// forms earlier, at FrostPoint.
func DewPoint(temperature Celsius, humidity Percent) (Celsius, error) {
	if err := air(temperature, humidity); err != nil {
		return 0, err
	}
	gamma := magnus(temperature, humidity)
	return Celsius(waterB * gamma / (waterA - gamma)), nil
}

// FrostPoint returns the temperature at which water from the air settles, in °C: the dew point, or, if that lies below
// freezing, the frost point over ice (constants 22.46 and 272.62 °C), which is up to 2 K higher. Range and source are
// those of DewPoint; for air below freezing the humidity is taken over water, as hygrometers show it.
func FrostPoint(temperature Celsius, humidity Percent) (Celsius, error) {
	if err := air(temperature, humidity); err != nil {
		return 0, err
	}
	gamma := magnus(temperature, humidity)
	if gamma >= 0 {
		return Celsius(waterB * gamma / (waterA - gamma)), nil
	}
	return Celsius(iceB * gamma / (iceA - gamma)), nil
}

// DewMargin returns by how many kelvins a surface is warmer than the temperature at which water settles on it. Painting
// usually asks for 3 K (ISO 8502-4 in common use; its clause was not read).
func DewMargin(surface, temperature Celsius, humidity Percent) (Celsius, error) {
	settles, err := FrostPoint(temperature, humidity)
	if err := errors.Join(within("The surface", surface, -60, 100, "°C"), err); err != nil {
		return 0, err
	}
	return surface - settles, nil
}
