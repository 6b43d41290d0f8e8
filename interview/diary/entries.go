package diary

import (
	"time"

	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/rules/source"
)

// Kinds of entry that belong to the diary.
const (
	WeatherRead = "weather"    // air, surface and forecast
	Crew        = "crew"       // who is on site
	HoldMet     = "met"        // a hold point that no reading passes is met
	Apply       = "apply"      // a batch of the part is begun: paste is put on, or the tool is taken up
	Check       = "check"      // a look at a batch, under the cover or after
	Remove      = "remove"     // paste and paint are taken off
	RinseOff    = "rinse"      // water
	Neutralise  = "neutralise" // acid
	PHRead      = "ph"
	MoistRead   = "moisture"
	WasteOut    = "waste"
	Happened    = "incident"
	PrimedWith  = "prime" // the first coat: the batch is released
)

// Kinds lists the kinds of the diary, in the order of the work.
var Kinds = []string{WeatherRead, Crew, HoldMet, Apply, Check, Remove, RinseOff, Neutralise, PHRead, MoistRead, WasteOut, Happened, PrimedWith}

// Weather is what was read of air and surface, and what the forecast says.
type Weather struct {
	Entry        job.Entry
	Air, Surface *float64 // °C
	Humidity     *float64 // %
	Rain         string   // RainNone, RainFalls, RainComes; empty: not said
	RainAt       time.Time
	Low          *float64 // °C, the lowest that is forecast for the coming week
}

// Rain on the work.
const (
	RainNone  = "none"
	RainFalls = "falling"
	RainComes = "coming"
)

// Look is what was seen of a batch. What was not looked at is nil or empty.
type Look struct {
	Entry      job.Entry
	LayersLeft *float64
	Lifts      string // as for patches
	Harm       string // patches.NoHarm: looked for, and none
	Edges      string // EdgesWet, EdgesDrying, EdgesDry
	Surface    *float64
}

// Edges of the paste under its cover.
const (
	EdgesWet    = patches.EdgesWet
	EdgesDrying = patches.EdgesDrying
	EdgesDry    = patches.EdgesDry
)

// Removal is paste and paint taken off.
type Removal struct {
	Entry      job.Entry
	Area       *float64 // m²; nil: the whole batch
	Hours      *float64 // that it took
	LayersLeft *float64
	Harm       string
}

// Rinse is water over a batch.
type Rinse struct {
	Entry  job.Entry
	Rinses int
	Water  *float64 // L in all
}

// Acid is what alkali was neutralised with.
type Acid struct {
	Entry    job.Entry
	With     string   // AceticAcid, CitricAcid or OtherAcid
	Strength *float64 // % by mass
	Volume   *float64 // L
}

// Acids that are told apart.
const (
	AceticAcid = "acetic_acid"
	CitricAcid = "citric_acid"
	OtherAcid  = "other"
)

// PH is one reading.
type PH struct {
	Entry job.Entry
	Spot  string // OnSurface, OnControl, OfWater
	Where string
	Value float64
	Strip *float64 // how far apart the colours of the paper stand; nil: read with a meter
	Dry   bool     // the dry surface, wetted with distilled water
}

// What a pH is read of.
const (
	OnSurface = "surface"
	OnControl = "control"
	OfWater   = "rinse_water"
)

// Moisture is one reading of how dry a surface is: with a meter, or with a sheet taped over it.
type Moisture struct {
	Entry   job.Entry
	Where   string
	Percent *float64
	Deep    bool
	Sheet   string // SheetDry, SheetWet; empty: no sheet
	Hours   *float64
}

// The taped sheet, when it is lifted.
const (
	SheetDry = "dry"
	SheetWet = "wet"
)

// Waste is bags or tubs of one stream.
type Waste struct {
	Entry  job.Entry
	Stream string
	Bags   int
	Mass   *float64 // kg
	Where  string
}

// Streams of waste that are kept apart.
var Streams = []string{"alkaline", "solvent", "rags", "lead", "water"}

// Incident is what went wrong, and what was done about it.
type Incident struct {
	Entry      job.Entry
	What, Done string
}

// Met is a hold point that someone answers for.
type Met struct {
	Entry job.Entry
	Hold  string
}

// Prime is the first coat.
type Prime struct {
	Entry   job.Entry
	Product string
}

// The scales of the diary; the ranges are those of the usual instruments and of sense, from memory.
var (
	squareMetres = job.Scale{Name: "area", From: 0.001, To: 10_000,
		Units:   []job.Unit{{Name: "m2", Factor: 1}, {Name: "m²", Factor: 1}, {Name: "ft2", Factor: 0.09290304}, {Name: "sq ft", Factor: 0.09290304}},
		Outside: "Give the area that was done.", Example: "2.5 m2"}
	hours = job.Scale{Name: "time", Units: []job.Unit{{Name: "h", Factor: 1}, {Name: "min", Factor: 1. / 60}, {Name: "days", Factor: 24}}, From: 1. / 60, To: 2000,
		Outside: "Give how long it was.", Example: "2 h"}
	litres = job.Scale{Name: "volume", From: 0.001, To: 100_000,
		Units:   []job.Unit{{Name: "L", Factor: 1}, {Name: "mL", Factor: 0.001}, {Name: "US gal", Factor: 3.785411784}, {Name: "imp gal", Factor: 4.54609}},
		Outside: "Give the water or acid in all.", Example: "20 L"}
	kilograms = job.Scale{Name: "mass", Units: []job.Unit{{Name: "kg", Factor: 1}, {Name: "lb", Factor: 0.45359237}}, From: 0.01, To: 100_000,
		Outside: "Weigh it, or leave it out.", Example: "12 kg"}
	humidity = job.Scale{Name: "humidity", Units: []job.Unit{{Name: "%", Factor: 1}}, From: 1, To: 100,
		Outside: "Hygrometers read from 1 to 100 %.", Example: "70 %"}
	strength = job.Scale{Name: "strength", Units: []job.Unit{{Name: "%", Factor: 1}}, From: 0.1, To: 100,
		Outside: "Give the strength as it was used; household vinegar is 5 %.", Example: "5 %"}
	moisture = job.Scale{Name: "moisture", Units: []job.Unit{{Name: "%", Factor: 1}}, From: 0, To: 100,
		Outside: "Wood meters read from about 7 to 30 %.", Example: "14 %"}
	steps  = job.Scale{Name: "step of the paper", From: 0.1, To: 7, Outside: "Give how far apart the colours stand; 0.5 is usual.", Example: "0.5"}
	rinses = job.Scale{Name: "number of rinses", From: 1, To: 100, Whole: true, Outside: "Count the rinses, each with fresh water.", Example: "2"}
	bags   = job.Scale{Name: "number of bags", From: 0, To: 10_000, Whole: true, Outside: "Count bags and tubs.", Example: "3"}
)

func weather(o *source.Object, e job.Entry) Weather {
	w := Weather{Entry: e, Air: job.Celsius.Measure(o, "air_temp"), Surface: job.Celsius.Measure(o, "surface_temp"),
		Humidity: humidity.Measure(o, "humidity"), Rain: job.ChoiceOf(o, "rain", RainNone, RainFalls, RainComes), Low: job.Celsius.Measure(o, "forecast_low")}
	if o.Get("rain_at") != nil {
		w.RainAt = job.Moment(o, "rain_at")
		if w.Rain != RainComes {
			o.Doc.Fail(o.Get("rain_at"), "Write rain: coming, or leave the time out.", "a time for rain that is not coming")
		}
	}
	if w.Rain == RainComes && o.Get("rain_at") == nil {
		o.Doc.Fail(o.Get("rain"), "Add rain_at: with the time that the forecast gives.", "rain is coming, and it is not said when")
	}
	return w
}

func check(o *source.Object, e job.Entry) Look {
	return Look{Entry: e, LayersLeft: job.Coats.Measure(o, "layers_left"), Lifts: job.ChoiceOf(o, "lifts", lifts...), Harm: job.Harm(o),
		Edges: job.ChoiceOf(o, "edges", EdgesWet, EdgesDrying, EdgesDry), Surface: job.Celsius.Measure(o, "surface_temp")}
}

func removal(o *source.Object, e job.Entry) Removal {
	return Removal{Entry: e, Area: squareMetres.Measure(o, "area"), Hours: hours.Measure(o, "took"), LayersLeft: job.Coats.Measure(o, "layers_left"), Harm: job.Harm(o)}
}

func rinse(o *source.Object, e job.Entry) Rinse {
	r := Rinse{Entry: e, Rinses: 1, Water: litres.Measure(o, "water")}
	if n := rinses.Measure(o, "rinses"); n != nil {
		r.Rinses = int(*n)
	}
	return r
}

func acid(o *source.Object, e job.Entry) Acid {
	return Acid{Entry: e, With: o.Word("with", AceticAcid, CitricAcid, OtherAcid), Strength: strength.Measure(o, "strength"), Volume: litres.Measure(o, "volume")}
}

func reading(o *source.Object, e job.Entry) PH {
	r := PH{Entry: e, Spot: o.Word("spot", OnSurface, OnControl, OfWater), Where: o.Text("where"), Strip: steps.Measure(o, "strip"), Dry: o.Flag("dry")}
	if o.Need("ph") != "" {
		if v := job.Acidity.Measure(o, "ph"); v != nil {
			r.Value = *v
		}
	}
	switch meter := o.Flag("meter"); {
	case meter && r.Strip != nil:
		o.Doc.Fail(o.Get("meter"), "Keep one of them.", "it was read with a strip and with a meter")
	case !meter && o.Get("strip") == nil:
		o.Doc.Fail(o.Place("ph"), "Add strip: with how far apart its colours stand, such as 0.5, or meter: true.",
			"pH %g read with what? What a reading proves hangs on it", r.Value)
	}
	if r.Dry && r.Spot == OfWater {
		o.Doc.Fail(o.Get("dry"), "Leave it out.", "rinse water is not read dry")
	}
	return r
}

func moistureRead(o *source.Object, e job.Entry) Moisture {
	m := Moisture{Entry: e, Where: o.Text("where"), Percent: moisture.Measure(o, "moisture"), Deep: job.ChoiceOf(o, "depth", "deep", "skin") == "deep",
		Sheet: job.ChoiceOf(o, "sheet", SheetDry, SheetWet), Hours: hours.Measure(o, "sheet_hours")}
	switch {
	case (o.Get("moisture") == nil) == (o.Get("sheet") == nil):
		o.Doc.Fail(o.Node, "Write moisture: 14 %, or sheet: dry with sheet_hours: 24 h.", "a reading is of a meter or of a taped sheet, one of the two")
	case o.Get("sheet") != nil && o.Get("sheet_hours") == nil:
		o.Doc.Fail(o.Get("sheet"), "Add sheet_hours: with how long it was taped, such as 24 h.", "it is not said how long the sheet was on")
	case o.Get("sheet_hours") != nil && o.Get("sheet") == nil:
		o.Doc.Fail(o.Get("sheet_hours"), "Add sheet: dry or sheet: wet.", "it is not said what was under the sheet")
	}
	return m
}

func waste(o *source.Object, e job.Entry) Waste {
	w := Waste{Entry: e, Stream: o.Word("stream", Streams...), Mass: kilograms.Measure(o, "mass"), Where: o.Text("where")}
	if n := bags.Measure(o, "bags"); n != nil {
		w.Bags = int(*n)
	}
	return w
}

// CheckField checks the text of one key of a draft by itself, as a person types it. The error says what to type instead.
func CheckField(key, text string) error {
	scales := map[string]job.Scale{
		"air_temp": job.Celsius, "surface_temp": job.Celsius, "forecast_low": job.Celsius, "humidity": humidity, "area": squareMetres, "thickness": job.Millimetres,
		"layers_left": job.Coats, "took": hours, "rinses": rinses, "water": litres, "strength": strength, "volume": litres, "ph": job.Acidity, "strip": steps,
		"moisture": moisture, "sheet_hours": hours, "bags": bags, "mass": kilograms,
	}
	return job.CheckField(key, text, func(o *source.Object) {
		s, ok := scales[key]
		switch {
		case ok:
			s.Measure(o, key)
		case key == "harm":
			job.Harm(o)
		case key == "rain_at" || key == "at":
			job.Moment(o, key)
		}
	})
}
