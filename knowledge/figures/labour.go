package figures

import (
	"errors"
	"math"
)

// HoursPerM2 is the time that one person takes over a square metre.
type HoursPerM2 float64

// Passes returns how often the work goes over a surface until all coats are off: coats ÷ coats that one pass takes, rounded
// up. No coats need no pass.
func Passes(coats, perPass float64) (float64, error) {
	if err := errors.Join(within("The number of coats", coats, 0, 200, ""),
		within("The coats that a pass takes", perPass, 0.1, 200, "")); err != nil {
		return 0, err
	}
	const slack = 1e-9
	return math.Ceil(coats/perPass - slack), nil
}

// Work returns the hours that one person attends to: area × passes × time on a square metre in one pass × shape. The shape
// says how much slower mouldings and carving go than a flat.
func Work(area SquareMetre, passes float64, pace HoursPerM2, shape float64) (Hour, error) {
	if err := errors.Join(positive("The area", area, "m²"), within("The number of passes", passes, 0, 2000, ""),
		within("The time on a square metre", pace, 0, 1000, "h/m²"),
		within("The shape", shape, 0.5, 20, "")); err != nil {
		return 0, err
	}
	return Hour(float64(area) * passes * float64(pace) * shape), nil
}

const workSource = "own arithmetic"

var labourFormulas = []Formula{
	{"passes", "Passes", "coats ÷ coats that one pass takes, rounded up",
		[]Slot{slot("coats", "times", 0, 200), slot("coats a pass", "times", 0.1, 200)}, "times", workSource, "",
		func(in []float64) (float64, error) { return Passes(in[0], in[1]) }},
	{"work", "Work", "area × passes × time on a square metre × shape",
		[]Slot{areaSlot, slot("passes", "times", 0, 2000), slot("pace", "h/m²", 0, 1000),
			slot("shape", "times", 0.5, 20)}, "h", workSource, "Time one sample patch, and use your own rate.",
		func(in []float64) (float64, error) {
			return plainly(Work(SquareMetre(in[0]), in[1], HoursPerM2(in[2]), in[3]))
		}},
	product("wages", "Wages", "h", "hours", "wage", "¤/h", "¤"),
	product("price_of_volume", "Price", "L", "bought", "price", "¤/L", "¤"),
	product("price_of_area", "Price", "m²", "bought", "price", "¤/m²", "¤"),
	product("price_of_weight", "Price", "kg", "weight", "price", "¤/kg", "¤"),
	product("price_of_number", "Price", "times", "number", "price", "¤ each", "¤"),
}

// product is a formula of two factors whose units multiply out.
func product(name, title, unit, first, second, perUnit, result string) Formula {
	const most = 1e8
	return Formula{name, title, first + " × " + second, []Slot{slot(first, unit, 0, most), slot(second, perUnit, 0, most)},
		result, workSource, "",
		func(in []float64) (float64, error) { return in[0] * in[1], nil }}
}

// Sum returns a formula that adds up what it is given, all in one unit. Names that stand twice are refused by Work.
func Sum(name, title, unit string, items ...string) Formula {
	f := Formula{Name: name, Title: title, Unit: unit, Source: workSource}
	for i, item := range items {
		if i > 0 {
			f.Words += " + "
		}
		f.Words += item
		f.Slots = append(f.Slots, slot(item, unit, 0, 1e12))
	}
	f.Compute = func(in []float64) (total float64, err error) {
		for _, v := range in {
			total += v
		}
		return total, nil
	}
	return f
}

// Bought returns a formula for what is bought to have a volume at least, in containers of some sizes in a unit of volume; see
// Containers, which counts in thousandths of that unit.
func Bought(unit Unit, sizes ...float64) (Formula, error) {
	all := make([]Litre, len(sizes))
	for i, size := range sizes {
		all[i] = Litre(size)
	}
	if _, err := Containers(0, all...); err != nil {
		return Formula{}, err
	}
	return Formula{"bought", "Bought", "need, rounded up to whole containers", []Slot{slot("need", unit.Symbol, 0, 1e6)},
		unit.Symbol, workSource, "",
		func(in []float64) (float64, error) {
			tins, err := Containers(Litre(in[0]), all...)
			var total Litre
			for _, t := range tins {
				total += t.Size * Litre(t.Count)
			}
			return plainly(total, err)
		}}, nil
}
