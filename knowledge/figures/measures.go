package figures

import "strings"

// Dimension is what a unit measures.
type Dimension string

// The dimensions that figures are asked in.
const (
	Length        Dimension = "length"
	Area          Dimension = "area"
	Volume        Dimension = "volume"
	Weight        Dimension = "mass"
	Temperature   Dimension = "temperature"
	Time          Dimension = "time"
	Share         Dimension = "share"
	Density       Dimension = "density"
	Thinness      Dimension = "volume on an area"
	Residue       Dimension = "mass on an area"
	LeadLoading   Dimension = "lead on an area"
	MassShare     Dimension = "content of a mass"
	InLiquid      Dimension = "content of a liquid"
	InAir         Dimension = "content of air by mass"
	VapourShare   Dimension = "vapour in air"
	Changes       Dimension = "air changes"
	Flow          Dimension = "flow of air"
	Emission      Dimension = "mass given off in a time"
	MolarMass     Dimension = "molar mass"
	MolarStrength Dimension = "strength of a solution"
	MolarEnergy   Dimension = "activation energy"
	AlkaliContent Dimension = "alkali of a mass"
	AlkaliDemand  Dimension = "alkali of an area"
	AlkaliAmount  Dimension = "alkali"
	Acidity       Dimension = "pH"
	Count         Dimension = "number"
	Coverage      Dimension = "area from a volume"
	Difference    Dimension = "difference in temperature"
	Pace          Dimension = "time on an area"
	PerArea       Dimension = "number on an area"
	Money         Dimension = "money"
	Wage          Dimension = "money for a time"
	PriceOfVolume Dimension = "price of a volume"
	PriceOfArea   Dimension = "price of an area"
	PriceOfWeight Dimension = "price of a mass"
	PriceOfOne    Dimension = "price of one"
)

// Unit is a measure of a dimension: a value in it, times Factor, plus Offset, is in the base unit, the first of its
// dimension below. The factors are exact by definition (international yard and pound of 1959, US gallon of 231 in³,
// imperial gallon of 4.54609 L); see the test against GNU units.
type Unit struct {
	Symbol    string
	Dimension Dimension
	Factor    float64
	Offset    float64
}

// To turns a value in the unit into another of the same dimension; false says that they measure different things.
func (u Unit) To(other Unit, value float64) (float64, bool) {
	if u.Dimension != other.Dimension {
		return 0, false
	}
	if u == other {
		return value, true
	}
	return (value*u.Factor + u.Offset - other.Offset) / other.Factor, true
}

const (
	inch       = 0.0254     // m
	foot       = 0.3048     // m
	yard       = 0.9144     // m
	pound      = 0.45359237 // kg
	usGallon   = 3.785411784
	imperial   = 4.54609
	cubicFoot  = foot * foot * foot * 1000 // L
	squareFoot = foot * foot
)

// units lists the units, each with the other ways to write it. Names are compared without spaces, in small letters.
var units = []struct {
	Unit
	names string // separated by commas
}{
	{Unit{"m", Length, 1, 0}, "metre,metres,meter,meters,mtr"},
	{Unit{"mm", Length, 0.001, 0}, "millimetre,millimetres,millimeter,millimeters"},
	{Unit{"cm", Length, 0.01, 0}, "centimetre,centimetres,centimeter,centimeters"},
	{Unit{"µm", Length, 1e-6, 0}, "um,μm,micron,microns,micrometre,micrometres,micrometer,micrometers"},
	{Unit{"in", Length, inch, 0}, `inch,inches,",″,”`},
	{Unit{"ft", Length, foot, 0}, "foot,feet,',′,’"},
	{Unit{"yd", Length, yard, 0}, "yard,yards"},
	{Unit{"mil", Length, inch / 1000, 0}, "mils,thou"},
	{Unit{"m²", Area, 1, 0}, "m2,m^2,sqm,squaremetre,squaremetres,squaremeter,squaremeters"},
	{Unit{"cm²", Area, 1e-4, 0}, "cm2,cm^2,sqcm,squarecentimetres,squarecentimeters"},
	{Unit{"ft²", Area, squareFoot, 0}, "ft2,ft^2,sqft,sq.ft,sq.ft.,squarefoot,squarefeet"},
	{Unit{"in²", Area, inch * inch, 0}, "in2,in^2,sqin,squareinch,squareinches"},
	{Unit{"yd²", Area, yard * yard, 0}, "yd2,yd^2,sqyd,squareyard,squareyards"},
	{Unit{"L", Volume, 1, 0}, "l,litre,litres,liter,liters,ltr"},
	{Unit{"mL", Volume, 0.001, 0}, "ml,millilitre,millilitres,milliliter,milliliters,cm3,cm³,cc"},
	{Unit{"m³", Volume, 1000, 0}, "m3,m^3,cubicmetre,cubicmetres,cubicmeter,cubicmeters,cum"},
	{Unit{"US gal", Volume, usGallon, 0}, "usgallon,usgallons,u.s.gal,u.s.gallon,u.s.gallons,usgals"},
	{Unit{"imp gal", Volume, imperial, 0}, "imperialgal,imperialgallon,imperialgallons,ukgal,ukgallon,ukgallons,impgals,impgallon,impgallons"},
	{Unit{"US qt", Volume, usGallon / 4, 0}, "usquart,usquarts"},
	{Unit{"imp qt", Volume, imperial / 4, 0}, "imperialquart,imperialquarts,ukquart,ukquarts,impquart,impquarts"},
	{Unit{"US pt", Volume, usGallon / 8, 0}, "uspint,uspints"},
	{Unit{"imp pt", Volume, imperial / 8, 0}, "imperialpint,imperialpints,ukpint,ukpints,imppint,imppints"},
	{Unit{"US fl oz", Volume, usGallon / 128, 0}, "usfluidounce,usfluidounces"},
	{Unit{"imp fl oz", Volume, imperial / 160, 0}, "imperialfluidounce,imperialfluidounces,ukfloz,impfluidounce,impfluidounces"},
	{Unit{"ft³", Volume, cubicFoot, 0}, "ft3,ft^3,cuft,cu.ft,cubicfoot,cubicfeet"},
	{Unit{"yd³", Volume, yard * yard * yard * 1000, 0}, "yd3,yd^3,cuyd,cubicyard,cubicyards"},
	{Unit{"kg", Weight, 1, 0}, "kilo,kilos,kilogram,kilograms,kilogramme,kilogrammes"},
	{Unit{"g", Weight, 0.001, 0}, "gram,grams,gramme,grammes"},
	{Unit{"t", Weight, 1000, 0}, "tonne,tonnes,metricton,metrictons"},
	{Unit{"lb", Weight, pound, 0}, "lbs,pound,pounds"},
	{Unit{"oz", Weight, pound / 16, 0}, "ounce,ounces"},
	{Unit{"US ton", Weight, 2000 * pound, 0}, "ustons,shortton,shorttons"},
	{Unit{"imp ton", Weight, 2240 * pound, 0}, "imptons,longton,longtons,imperialton,imperialtons,ukton,uktons"},
	{Unit{"°C", Temperature, 1, 0}, "c,degc,celsius,degreescelsius,degreesc,℃"},
	{Unit{"°F", Temperature, 5. / 9, -160. / 9}, "f,degf,fahrenheit,degreesfahrenheit,degreesf,℉"},
	{Unit{"h", Time, 1, 0}, "hr,hrs,hour,hours"},
	{Unit{"min", Time, 1. / 60, 0}, "mins,minute,minutes"},
	{Unit{"s", Time, 1. / 3600, 0}, "sec,secs,second,seconds"},
	{Unit{"days", Time, 24, 0}, "d,day"},
	{Unit{"%", Share, 1, 0}, "percent,percent.,pct,%rh"},
	{Unit{"kg/m³", Density, 1, 0}, "kg/m3"},
	{Unit{"g/cm³", Density, 1000, 0}, "g/cm3,g/ml,kg/l"},
	{Unit{"lb/ft³", Density, pound / cubicFoot * 1000, 0}, "lb/ft3"},
	{Unit{"lb/US gal", Density, pound / usGallon * 1000, 0}, ""},
	{Unit{"L/m²", Thinness, 1, 0}, "l/m2"},
	{Unit{"US gal/ft²", Thinness, usGallon / squareFoot, 0}, "usgal/ft2,usgal/sqft"},
	{Unit{"kg/m²", Residue, 1, 0}, "kg/m2"},
	{Unit{"g/m²", Residue, 0.001, 0}, "g/m2"},
	{Unit{"lb/ft²", Residue, pound / squareFoot, 0}, "lb/ft2,lb/sqft"},
	{Unit{"mg/cm²", LeadLoading, 1, 0}, "mg/cm2"},
	{Unit{"mg/kg", MassShare, 1, 0}, ""},
	{Unit{"mg/L", InLiquid, 1, 0}, ""},
	{Unit{"mg/m³", InAir, 1, 0}, "mg/m3"},
	{Unit{"µg/m³", InAir, 0.001, 0}, "ug/m3,μg/m³,μg/m3,µg/m3"},
	{Unit{"ppm", VapourShare, 1, 0}, ""},
	{Unit{"an hour", Changes, 1, 0}, "/h,perhour,ach,airchangesanhour,airchangesperhour"},
	{Unit{"m³/h", Flow, 1, 0}, "m3/h"},
	{Unit{"cfm", Flow, cubicFoot / 1000 * 60, 0}, "ft3/min,ft³/min,cubicfeetperminute"},
	{Unit{"g/h", Emission, 1, 0}, ""},
	{Unit{"g/mol", MolarMass, 1, 0}, ""},
	{Unit{"mol/L", MolarStrength, 1, 0}, ""},
	{Unit{"kJ/mol", MolarEnergy, 1, 0}, ""},
	{Unit{"eq/kg", AlkaliContent, 1, 0}, ""},
	{Unit{"eq/m²", AlkaliDemand, 1, 0}, "eq/m2"},
	{Unit{"eq", AlkaliAmount, 1, 0}, "equivalent,equivalents"},
	{Unit{"pH", Acidity, 1, 0}, ""},
	{Unit{"times", Count, 1, 0}, "time,x,×,coats,coat"},
	{Unit{"m²/L", Coverage, 1, 0}, "m2/l"},
	{Unit{"ft²/US gal", Coverage, squareFoot / usGallon, 0}, "ft2/usgal"},
	{Unit{"K", Difference, 1, 0}, "kelvin"},
	{Unit{"h/m²", Pace, 1, 0}, "h/m2,hours/m2,hours/m²"},
	{Unit{"min/m²", Pace, 1. / 60, 0}, "min/m2,minutes/m2"},
	{Unit{"h/ft²", Pace, 1 / squareFoot, 0}, "h/ft2,h/sqft"},
	{Unit{"min/ft²", Pace, 1. / 60 / squareFoot, 0}, "min/ft2,min/sqft"},
	{Unit{"per m²", PerArea, 1, 0}, "perm2,/m2,/m²"},
	{Unit{"¤", Money, 1, 0}, ""},
	{Unit{"¤/h", Wage, 1, 0}, "¤/hour"},
	{Unit{"¤/L", PriceOfVolume, 1, 0}, "¤/litre,¤/liter"},
	{Unit{"¤/US gal", PriceOfVolume, 1 / usGallon, 0}, ""},
	{Unit{"¤/m²", PriceOfArea, 1, 0}, "¤/m2"},
	{Unit{"¤/ft²", PriceOfArea, 1 / squareFoot, 0}, "¤/ft2,¤/sqft"},
	{Unit{"¤/kg", PriceOfWeight, 1, 0}, ""},
	{Unit{"¤/lb", PriceOfWeight, 1 / pound, 0}, ""},
	{Unit{"¤/t", PriceOfWeight, 0.001, 0}, "¤/tonne"},
	{Unit{"¤ each", PriceOfOne, 1, 0}, ""},
}

// unitNames finds a unit by any of its ways to be written.
var unitNames = func() map[string]Unit {
	names := map[string]Unit{}
	for _, u := range units {
		names[squeezed(u.Symbol)] = u.Unit
		for name := range strings.SplitSeq(u.names, ",") {
			if name != "" {
				names[name] = u.Unit
			}
		}
	}
	return names
}()

func squeezed(text string) string {
	return strings.ToLower(strings.Join(strings.Fields(text), ""))
}

// FindUnit finds a unit by its symbol or another way to write it. Gallons, quarts, pints, tons and ounces of liquid have
// to say whose they are.
func FindUnit(name string) (Unit, bool) {
	u, ok := unitNames[squeezed(name)]
	return u, ok
}

// example shows how a quantity of a dimension is written.
func (d Dimension) example() string {
	switch d {
	case Length:
		return "2.4 m, 60 mm or 6 ft 8 in"
	case Area:
		return "12 m² or 130 sq ft"
	case Volume:
		return "5 L or 1 US gal"
	case Weight:
		return "25 kg or 55 lb"
	case Temperature:
		return "12 °C or 54 °F"
	case Time:
		return "8 h or 30 min"
	case Share:
		return "15%"
	case Pace:
		return "0.5 h/m²"
	case Money:
		return "40 GBP"
	case Wage:
		return "28 GBP/h"
	case PriceOfVolume:
		return "12 GBP/L"
	case PriceOfArea:
		return "2 GBP/m²"
	case PriceOfWeight:
		return "0.50 GBP/kg"
	case PriceOfOne:
		return "6 GBP each"
	}
	for _, u := range units {
		if u.Dimension == d {
			return strings.TrimSpace("3 " + u.Symbol)
		}
	}
	return "3"
}

// plausible bounds what a job on a building can hold, in the base unit. What lies outside is asked about.
func (d Dimension) plausible() (low, high float64) {
	switch d {
	case Length:
		return 0, 1000
	case Area, Volume, Weight:
		return 0, 100_000
	case Temperature:
		return -60, 1200
	case Time:
		return 0, 10_000
	case Share:
		return 0, 100
	case Density:
		return 0, 20_000
	case Acidity:
		return 0, 15
	case Difference:
		return -100, 100
	}
	return 0, 1e9
}
