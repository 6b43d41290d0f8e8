package figures

import (
	"math"
	"sync"
)

// Formulas lists the figures that can be worked out from ranges, by topic.
func Formulas() []Formula {
	var all []Formula
	for _, topic := range [][]Formula{climateFormulas, alkaliFormulas, quantityFormulas, airFormulas, leadFormulas, wasteFormulas, labourFormulas, batchFormulas, coverFormulas, airChain, leadChain} {
		all = append(all, topic...)
	}
	return all
}

// byFormula holds the formulas by name.
var byFormula = sync.OnceValue(func() map[string]Formula {
	all := map[string]Formula{}
	for _, f := range Formulas() {
		all[f.Name] = f
	}
	return all
})

// FormulaFor finds a formula by its name for programs.
func FormulaFor(name string) (Formula, bool) {
	f, ok := byFormula()[name]
	return f, ok
}

func slot(name, unit string, low, high float64) Slot {
	return Slot{Name: name, Unit: unit, Low: low, High: high}
}

// plainly turns a typed result into a bare one.
func plainly[T ~float64](v T, err error) (float64, error) { return float64(v), err }

const (
	geometry    = "geometry"
	dewSource   = "Magnus form, constants 17.62 and 243.12 °C (ice 22.46 and 272.62 °C), checked with PsychroLib 2.5.0"
	woodSource  = "Wood Handbook 2010, equation 4-5 (constants reported)"
	rinseSource = "J. Metal Finishing Soc. Japan 28(7), batch rinsing"
	ventSource  = "industrial ventilation texts; MMWR 28 October 1994, table S3-1 for the mixing factor"
)

var (
	airTemperature = slot("air temperature", "°C", -40, 60)
	humiditySlot   = slot("humidity", "%", 1, 100)
	areaSlot       = slot("area", "m²", 0, 100_000)
	roomSlot       = slot("room", "m³", 1, 100_000)
	changesSlot    = slot("air changes", "an hour", 0.01, 1000)
	mixingSlot     = slot("mixing factor", "times", 1, 10)
	givenOffSlot   = slot("solvent given off", "g/h", 0, 1e6)
	molarMassSlot  = slot("molar mass", "g/mol", 10, 1000)
)

var climateFormulas = []Formula{
	{"dew_point", "Dew point", "the temperature at which air of this humidity is saturated", []Slot{airTemperature, humiditySlot}, "°C", dewSource,
		"Below freezing, frost settles up to 2 K earlier.",
		func(in []float64) (float64, error) { return plainly(DewPoint(Celsius(in[0]), Percent(in[1]))) }},
	{"dew_margin", "Surface above the dew point", "surface temperature − dew point (frost point below freezing)",
		[]Slot{slot("surface temperature", "°C", -60, 100), airTemperature, humiditySlot}, "K", dewSource, "Painting usually asks for at least 3 K.",
		func(in []float64) (float64, error) {
			return plainly(DewMargin(Celsius(in[0]), Celsius(in[1]), Percent(in[2])))
		}},
	{"wood_moisture", "Moisture that the wood dries to", "Hailwood–Horrobin equation of air temperature and humidity",
		[]Slot{{Name: "air temperature", Unit: "°C", Low: -5, High: 55, Peaks: true}, slot("humidity", "%", 0, 95)}, "%", woodSource, "Wood takes weeks to get there. Measure it before painting.",
		func(in []float64) (float64, error) { return plainly(WoodMoisture(Celsius(in[0]), Percent(in[1]))) }},
	{"dwell", "Time at this temperature", "time on the patch ÷ exp(energy/R · (1/patch − 1/surface)), in kelvins",
		[]Slot{slot("time on the patch", "h", 0, 1000), slot("patch temperature", "°C", coldest, hottest), slot("surface temperature", "°C", coldest, hottest), slot("activation energy", "kJ/mol", 0, 100)},
		"h", "Arrhenius; energy: " + AlkalineDwell.Source, "For solvents the energy is an assumption. Look early, and let the patch decide.",
		func(in []float64) (float64, error) {
			return plainly(DwellAt(Hour(in[0]), Celsius(in[1]), Celsius(in[2]), KilojoulePerMol(in[3])))
		}},
}

var alkaliFormulas = []Formula{
	{"retained", "Share left after rinsing", "(film ÷ (film + rinse)) to the power of the rinses",
		[]Slot{slot("water left on the surface", "L/m²", 0.001, 10), slot("rinse", "L/m²", 0, 100), slot("rinses", "times", 0, maxRinses)}, "%", rinseSource,
		"Porous faces let alkali go slowly. Read the pH.",
		func(in []float64) (float64, error) {
			kept, err := Retained(LitrePerM2(in[0]), LitrePerM2(in[1]), int(math.Round(in[2])))
			return 100 * kept, err
		}},
	{"next_reading", "Next pH reading at best", "pH of the film mixed with one rinse",
		[]Slot{slot("reading", "pH", 7, 14.5), slot("water left on the surface", "L/m²", 0.001, 10), slot("rinse", "L/m²", 0, 100), slot("rinse water pH", "pH", 6, 9)}, "pH", rinseSource,
		"It takes the rinse water to be soft. Hard water brings the pH down sooner.",
		func(in []float64) (float64, error) {
			readings, err := AfterRinses(PH(in[0]), RinseWater{PH: PH(in[3]), Temperature: 25}, LitrePerM2(in[1]), LitrePerM2(in[2]), 1)
			if err != nil {
				return 0, err
			}
			return float64(readings[1]), nil
		}},
	{"residual_alkali", "Alkali left to neutralise", "area × (paste left × alkali of the paste + demand of the surface)",
		[]Slot{areaSlot, slot("paste left", "kg/m²", 0, 50), slot("alkali of the paste", "eq/kg", 0, 50), slot("demand of the surface", "eq/m²", 0, 100)}, "eq", "stoichiometry",
		"The demand of a surface has no published value. Find it on the patch.",
		func(in []float64) (float64, error) {
			return plainly(ResidualAlkali(SquareMetre(in[0]), KilogramPerM2(in[1]), EquivalentPerKg(in[2]), EquivalentPerM2(in[3])))
		}},
	{"rinses", "Rinses", "least number after which the film reads within the limit of the rinse water",
		[]Slot{slot("reading", "pH", 7, 14.5), slot("water left on the surface", "L/m²", 0.001, 10), slot("rinse", "L/m²", 0.01, 100), slot("rinse water pH", "pH", 7, 9), slot("limit", "pH", 0.1, 14)}, "times", rinseSource,
		"The least that ideal mixing allows. Porous faces take more. The pH reading ends the rinsing.",
		func(in []float64) (float64, error) {
			n, _, err := RinsesNeeded(PH(in[0]), RinseWater{PH: PH(in[3]), Temperature: 25}, LitrePerM2(in[1]), LitrePerM2(in[2]), PH(in[4]))
			return float64(n), err
		}},
	{"vinegar", "Vinegar or acetic acid to neutralise", "alkali ÷ strength of the acid",
		[]Slot{slot("alkali", "eq", 0, 1e6), slot("strength", "mol/L", 0.01, 20)}, "L", "stoichiometry",
		"Never on lime, cement, limestone, marble, zinc or lead. Add it by reading the pH, not by volume.",
		func(in []float64) (float64, error) {
			return plainly(NeutraliserVolume(Equivalent(in[0]), Acetic, MolPerLitre(in[1])))
		}},
	{"rinse_water", "Rinse water", "area × rinse × number of rinses",
		[]Slot{areaSlot, slot("rinse", "L/m²", 0, 100), slot("rinses", "times", 0, maxRinses)}, "L", geometry, "The pH reading ends the rinsing, not the count. Catch the water.",
		func(in []float64) (float64, error) {
			return plainly(RinseVolume(SquareMetre(in[0]), LitrePerM2(in[1]), in[2]))
		}},
}

var quantityFormulas = []Formula{
	{"rectangle", "Area", "length × height", []Slot{slot("length", "m", 0, 1000), slot("height", "m", 0, 1000)}, "m²", geometry, "",
		func(in []float64) (float64, error) { return plainly(Rectangle(Metre(in[0]), Metre(in[1]))) }},
	{"girth_area", "Area of mouldings", "length × girth", []Slot{slot("length", "m", 0, 10_000), slot("girth", "mm", 0, 10_000)}, "m²", geometry, "",
		func(in []float64) (float64, error) { return plainly(GirthArea(Metre(in[0]), Millimetre(in[1]))) }},
	{"covered_area", "Area with edges and mouldings", "measured area × factor × sides",
		[]Slot{slot("measured area", "m²", 0, 100_000), slot("factor", "times", 0.1, 10), slot("sides", "times", 1, 2)}, "m²", "the rule book of the factor", "Rule books differ widely. Say which one was used.",
		func(in []float64) (float64, error) { return plainly(CoveredArea(SquareMetre(in[0]), in[1], in[2])) }},
	{"film_thickness", "Thickness of the paint", "coats × film of one coat",
		[]Slot{slot("coats", "times", 0, 200), slot("film of one coat", "µm", 0, 5000)}, "µm", "MIL-HDBK-1110 4.4.1 (51 µm oil, 38 µm latex)", "",
		func(in []float64) (float64, error) { return plainly(FilmThickness(in[0], Micrometre(in[1]))) }},
	{"paste_volume", "Paste", "area × wet thickness × applications × (1 + waste)",
		[]Slot{areaSlot, slot("wet thickness", "mm", 0, 50), slot("applications", "times", 0, 400), slot("waste", "%", 0, 100)}, "L", geometry, "What the maker's label says comes first.",
		func(in []float64) (float64, error) {
			return plainly(PasteVolume(SquareMetre(in[0]), Millimetre(in[1]), in[2], Percent(in[3])))
		}},
	{"cover_area", "Cover sheet", "strips × roll × (height + 2 edges)",
		[]Slot{slot("width", "m", 0, 1000), slot("height", "m", 0, 1000), {Name: "roll", Unit: "m", Low: 0.2, High: 20, Known: true}, slot("lap", "m", 0, 0.19), slot("edge", "m", 0, 2)}, "m²", geometry, "",
		func(in []float64) (float64, error) {
			return plainly(CoverArea(Metre(in[0]), Metre(in[1]), Metre(in[2]), Metre(in[3]), Metre(in[4])))
		}},
	{"spread", "Area that a litre covers", "1000 × solids × share that lands ÷ dry film in µm",
		[]Slot{slot("dry film", "µm", 1, 50_000), slot("solids", "%", 0, 100), slot("share that lands", "%", 0, 100)}, "m²/L", geometry, "",
		func(in []float64) (float64, error) {
			return plainly(Spread(Micrometre(in[0]), Percent(in[1]), Percent(in[2])))
		}},
}

var airFormulas = []Formula{
	{"solvent_given_off", "Solvent given off", "paste × density × share of solvent × share that dries off",
		[]Slot{slot("paste", "L", 0, 100_000), slot("density", "kg/m³", 500, 3000), slot("share of solvent", "%", 0, 100), slot("share that dries off", "%", 0, 100)}, "g", "conservation of mass", "",
		func(in []float64) (float64, error) {
			return plainly(SolventGivenOff(Litre(in[0]), KilogramPerM3(in[1]), Percent(in[2]), Percent(in[3])))
		}},
	{"build_up", "Vapour in the room", "G ÷ (n·V) · (1 − e^(−n·t)), n = air changes ÷ mixing factor",
		[]Slot{givenOffSlot, roomSlot, slot("air changes", "an hour", 0, 1000), mixingSlot, slot("time", "h", 0, 1000)}, "mg/m³", ventSource, "Close to the work the air is worse.",
		func(in []float64) (float64, error) {
			return plainly(BuildUp(0, GramPerHour(in[0]), CubicMetre(in[1]), PerHour(in[2]), Mixing(in[3]), Hour(in[4])))
		}},
	{"air_for_limit", "Fresh air for the exposure limit", "solvent given off ÷ limit × mixing factor",
		[]Slot{givenOffSlot, slot("exposure limit", "mg/m³", 0.001, 1e5), mixingSlot}, "m³/h", ventSource, "The limit is the one of your country. Skin and eyes are not covered by it.",
		func(in []float64) (float64, error) {
			return plainly(AirForLimit(GramPerHour(in[0]), MilligramPerM3(in[1]), Mixing(in[2])))
		}},
	{"air_changes", "Air changes an hour", "fresh air ÷ room", []Slot{slot("fresh air", "m³/h", 0, 1e6), roomSlot}, "an hour", geometry, "",
		func(in []float64) (float64, error) {
			return plainly(AirChanges(CubicMetrePerHour(in[0]), CubicMetre(in[1])))
		}},
	{"air_for_explosive", "Fresh air for a quarter of the lower explosive limit", "vapour given off × 4 × (100 − limit) ÷ limit × mixing factor",
		[]Slot{givenOffSlot, molarMassSlot, slot("lower explosive limit", "%", 0.1, 100), mixingSlot}, "m³/h", "29 CFR 1910.94(c)(6)(ii), from memory", "The exposure limit nearly always asks for more. Some rules ask for a tenth.",
		func(in []float64) (float64, error) {
			return plainly(AirForExplosive(GramPerHour(in[0]), GramPerMol(in[1]), 25, Percent(in[2]), QuarterOfExplosive, Mixing(in[3])))
		}},
	{"purge_time", "Airing after the work", "mixing factor × ln(1 ÷ (1 − share removed)) ÷ air changes",
		[]Slot{changesSlot, slot("share removed", "%", 0, 99.9999), mixingSlot}, "h", "MMWR 28 October 1994, table S3-1", "Only if nothing is given off any more. Lead dust is cleaned up, not aired out.",
		func(in []float64) (float64, error) {
			return plainly(PurgeTime(PerHour(in[0]), Percent(in[1]), Mixing(in[2])))
		}},
	{"share_of_explosive", "Vapour as a share of the lower explosive limit, with no fresh air", "vapour ÷ room ÷ limit",
		[]Slot{slot("solvent", "g", 0, 1e8), molarMassSlot, roomSlot, slot("lower explosive limit", "%", 0.1, 100)}, "%", "ideal gas", "Near the work the vapour is thicker than in the room.",
		func(in []float64) (float64, error) {
			share, err := ShareOfExplosive(Gram(in[0]), GramPerMol(in[1]), 20, CubicMetre(in[2]), Percent(in[3]))
			return float64(share), err
		}},
}

var leadFormulas = []Formula{
	{"lead_on", "Lead on the part", "lead on the surface × area", []Slot{slot("lead on the surface", "mg/cm²", 0, 1000), areaSlot}, "kg", "1 mg/cm² is 10 g/m²", "",
		func(in []float64) (float64, error) {
			return plainly(LeadOn(MilligramPerCm2(in[0]), SquareMetre(in[1])))
		}},
	{"lead_share", "Lead in the paint by mass", "lead on the surface ÷ (density × thickness)",
		[]Slot{slot("lead on the surface", "mg/cm²", 0, 1000), slot("density", "kg/m³", 500, 10_000), slot("thickness", "µm", 1, 20_000)}, "%", "EP 1110-1-31 (reported)",
		"It does not replace a laboratory result. The two legal figures are not equivalent.",
		func(in []float64) (float64, error) {
			return plainly(LeadShare(MilligramPerCm2(in[0]), KilogramPerM3(in[1]), Micrometre(in[2])))
		}},
	{"lead_per_kg", "Lead in the debris", "lead ÷ debris", []Slot{slot("lead", "kg", 0, 100_000), slot("debris", "kg", 0.001, 1e8)}, "mg/kg", "EPA Method 1311: applied knowledge",
		"Both masses must be well known. From 100 mg/kg on, have the leaching test done.",
		func(in []float64) (float64, error) { return plainly(LeadPerKg(Kilogram(in[0]), Kilogram(in[1]))) }},
	{"leach_at_most", "Most that the leaching test can find", "lead in the debris ÷ 20", []Slot{slot("lead in the debris", "mg/kg", 0, 1e6)}, "mg/L", "EPA Method 1311 sections 1.2 and 2.2",
		"For dry waste only. Below 5 mg/L it cannot fail for lead; from there on it proves nothing.",
		func(in []float64) (float64, error) { return plainly(LeachAtMost(MilligramPerKg(in[0]))) }},
}

var wasteFormulas = []Formula{
	{"paint_mass", "Old paint", "area × thickness × density", []Slot{areaSlot, slot("thickness", "µm", 0, 20_000), slot("density", "kg/m³", 500, 10_000)}, "kg", geometry, "",
		func(in []float64) (float64, error) {
			return plainly(PaintMass(SquareMetre(in[0]), Micrometre(in[1]), KilogramPerM3(in[2])))
		}},
	{"waste_mass", "Wet waste", "paste × (1 − share that dries off) + paint + water caught + sheets",
		[]Slot{slot("paste", "kg", 0, 1e6), slot("share that dries off", "%", 0, 100), slot("paint", "kg", 0, 1e6), slot("water caught", "kg", 0, 1e7), slot("sheets", "kg", 0, 1e5)}, "kg", "conservation of mass",
		"Keep alkali, solvent, oily rags and lead dust apart.",
		func(in []float64) (float64, error) {
			return plainly(WasteMass(Kilogram(in[0]), Percent(in[1]), Kilogram(in[2]), Kilogram(in[3]), Kilogram(in[4])))
		}},
	{"waste_volume", "Room for the waste", "waste ÷ bulk density", []Slot{slot("waste", "kg", 0, 1e8), slot("bulk density", "kg/m³", 20, 5000)}, "L", geometry, "",
		func(in []float64) (float64, error) {
			return plainly(WasteVolume(Kilogram(in[0]), KilogramPerM3(in[1])))
		}},
}
