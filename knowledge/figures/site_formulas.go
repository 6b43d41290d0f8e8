package figures

// Formulas of a take-off that stand beside those of the other files: sheets and numbers by area, what is held and where it
// goes, air and lead in chains.

var coverFormulas = []Formula{
	{"cover_by_area", "Cover sheet", "area × passes × (1 + laps)",
		[]Slot{areaSlot, slot("passes", "times", 0, 2000), slot("laps", "%", 0, 100)}, "m²", geometry, "",
		func(in []float64) (float64, error) { return in[0] * in[1] * (1 + in[2]/100), nil }},
	{"covers", "Cover sheets", "sheets of one face × passes × sides",
		[]Slot{slot("sheets of one face", "m²", 0, 1e6), slot("passes", "times", 0, 2000),
			slot("sides", "times", 1, 2)}, "m²", geometry, "",
		func(in []float64) (float64, error) { return in[0] * in[1] * in[2], nil }},
	{"number_by_area", "Number", "area × passes × number on a square metre, rounded up",
		[]Slot{areaSlot, slot("passes", "times", 0, 2000), slot("number on an area", "per m²", 0,
			1e4)}, "times", geometry, "",
		func(in []float64) (float64, error) { return WholeParts(in[0]*in[1]*in[2], 1) }},
	{"weight_by_area", "Weight", "area × passes × weight on a square metre",
		[]Slot{areaSlot, slot("passes", "times", 0, 2000), slot("weight on an area", "kg/m²", 0, 1e4)}, "kg", geometry, "",
		func(in []float64) (float64, error) { return in[0] * in[1] * in[2], nil }},
	{"held_weight", "Number to hold it", "weight ÷ what one holds, rounded up",
		[]Slot{slot("weight", "kg", 0, 1e8), slot("one holds", "kg", 0.1, 1e5)}, "times", geometry, "",
		func(in []float64) (float64, error) { return WholeParts(in[0], in[1]) }},
	{"held_volume", "Number to hold it", "volume ÷ (what one holds × share filled), rounded up",
		[]Slot{slot("volume", "L", 0, 1e8), slot("one holds", "L", 0.1, 1e5),
			slot("share filled", "%", 10, 100)}, "times", geometry, "",
		func(in []float64) (float64, error) { return WholeParts(in[0], in[1]*in[2]/100) }},
	{"liquid_weight", "Weight", "volume × density", []Slot{slot("volume", "L", 0, 1e8), slot("density", "kg/m³", 100,
		10_000)}, "kg", geometry, "",
		func(in []float64) (float64, error) { return plainly(Mass(Litre(in[0]), KilogramPerM3(in[1]))) }},
}

var airChain = []Formula{
	{"given_off_by_work", "Solvent given off in an hour",
		"stripper on a square metre × density × share of solvent × share that dries off ÷ (pace × shape) × crew",
		[]Slot{slot("stripper on a square metre", "L/m²", 0, 50), slot("density", "kg/m³", 500, 3000),
			slot("share of solvent", "%", 0, 100), slot("share that dries off", "%", 0, 100),
			slot("pace", "h/m²", 0.001, 1000), slot("shape", "times", 0.5, 20), slot("crew", "times", 1,
				1000)}, "g/h", "conservation of mass", "It is for steady work, patch after patch.",
		func(in []float64) (float64, error) {
			return plainly(GivenOffByWork(LitrePerM2(in[0]), KilogramPerM3(in[1]), Percent(in[2]), Percent(in[3]),
				HoursPerM2(in[4]), in[5], in[6]))
		}},
	{"rate_given_off", "Solvent given off in an hour", "solvent given off ÷ time",
		[]Slot{slot("solvent given off", "g", 0, 1e8), slot("time", "h", 0.01, 1000)}, "g/h", "conservation of mass", "",
		func(in []float64) (float64, error) { return in[0] / in[1], nil }},
	{"limit_by_mass", "Exposure limit", "limit in ppm × molar mass ÷ 24.45",
		[]Slot{slot("limit", "ppm", 0.001, 1e6), molarMassSlot}, "mg/m³", "rule of the published limits, 25 °C", "",
		func(in []float64) (float64, error) { return plainly(ToMilligrams(PPM(in[0]), GramPerMol(in[1]))) }},
	{"air_there", "Fresh air there is", "room × air changes", []Slot{roomSlot, slot("air changes", "an hour", 0, 1000)},
		"m³/h", geometry, "",
		func(in []float64) (float64, error) { return in[0] * in[1], nil }},
	{"air_used", "Share of the fresh air that is needed", "fresh air needed ÷ fresh air there is",
		[]Slot{slot("fresh air needed", "m³/h", 0, 1e12), slot("fresh air there is", "m³/h", 0.01,
			1e9)}, "%", "own arithmetic",
		"Above 100% the air cannot carry it.",
		func(in []float64) (float64, error) { return 100 * in[0] / in[1], nil }},
}

var leadChain = []Formula{
	{"lead_loading", "Lead on the surface", "thickness × density × share of lead",
		[]Slot{slot("thickness", "µm", 0, 20_000), slot("density", "kg/m³", 500, 10_000),
			slot("share of lead", "%", 0, 100)}, "mg/cm²", "EP 1110-1-31 (reported), turned round",
		"An estimate from what old paints held. Only a laboratory settles it.",
		func(in []float64) (float64, error) {
			return plainly(LoadingOf(Micrometre(in[0]), KilogramPerM3(in[1]), Percent(in[2])))
		}},
	{"lead_in_waste", "Lead in the waste", "lead ÷ waste, at most all of it",
		[]Slot{slot("lead", "kg", 0, 1e6), slot("waste", "kg", 0.001, 1e8)}, "mg/kg", "EPA Method 1311: applied knowledge",
		"Both masses are estimates here, and a laboratory settles it.",
		func(in []float64) (float64, error) { return 1e6 * min(1, in[0]/in[1]), nil }},
}
