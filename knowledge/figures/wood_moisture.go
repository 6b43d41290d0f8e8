package figures

import "errors"

// WoodMoisture returns the moisture that wood comes to in steady air, in per cent of its dry mass: the Hailwood–Horrobin
// equation
//
//	M = 1800/W · [Kh/(1−Kh) + (K₁Kh + 2K₁K₂K²h²)/(1 + K₁Kh + K₁K₂K²h²)]
//
// with h the humidity as a share of one and W, K, K₁, K₂ quadratic in the temperature in °F (Wood Handbook 2010,
// equation 4-5; constants as reported). It holds from -5 to 55 °C and from 0 to 95 %. It meets the handbook's table of
// 30–130 °F and 5–85 % within 0.07; measured wood lies up to 0.9 off such a model. Outdoor wood is seldom in steady air.
func WoodMoisture(temperature Celsius, humidity Percent) (Percent, error) {
	if err := errors.Join(within("The air", temperature, -5, 55, "°C"), within("The humidity", humidity, 0, 95, "%")); err != nil {
		return 0, err
	}
	return woodMoisture(temperature, humidity), nil
}

func woodMoisture(temperature Celsius, humidity Percent) Percent {
	f := float64(temperature)*1.8 + 32
	w := 330 + 0.452*f + 0.00415*f*f
	k := 0.791 + 0.000463*f - 0.000000844*f*f
	k1 := 6.34 + 0.000775*f - 0.0000935*f*f
	k2 := 1.09 + 0.0284*f - 0.0000904*f*f
	kh := k * humidity.Share()
	return Percent(1800 / w * (kh/(1-kh) + (k1*kh+2*k1*k2*kh*kh)/(1+k1*kh+k1*k2*kh*kh)))
}

// HumidityForWood returns the highest relative humidity of steady air in which wood dries to a moisture: the inverse of
// WoodMoisture, found by halving to 0.001 %. It has no value for a moisture that air of 95 % would not reach.
func HumidityForWood(temperature Celsius, moisture Percent) (Percent, error) {
	top, err := WoodMoisture(temperature, 95)
	if err != nil {
		return 0, err
	}
	if err := within("The wood's moisture", moisture, 0, float64(top), "%"); err != nil {
		return 0, err
	}
	low, high := Percent(0), Percent(95)
	for high-low > 0.001 {
		if middle := (low + high) / 2; woodMoisture(temperature, middle) > moisture {
			high = middle
		} else {
			low = middle
		}
	}
	return low, nil
}
