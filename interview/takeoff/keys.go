package takeoff

import "patchfirst/knowledge/figures"

// quantities are the keys that take a figure, with what it measures.
var quantities = map[string]figures.Dimension{
	"wage": figures.Wage, "crew": figures.Count, "hours_a_day": figures.Time, "visit": figures.Time, "window": figures.Time,
	"waste": figures.Share, "drying": figures.Time, "cure": figures.Time, "weather": figures.Share, "rinse": figures.Thinness, "drum": figures.Volume, "bag": figures.Weight,
	"room": figures.Volume, "air": figures.Flow, "air_changes": figures.Changes, "mixing": figures.Count,
	"solvent_share": figures.Share, "exposure_limit": figures.VapourShare, "alkali_of_paste": figures.AlkaliContent, "trip_hours": figures.Time,
}

// ofPart are the keys that take a figure and belong to a part alone.
var ofPart = map[string]figures.Dimension{
	"area": figures.Area, "width": figures.Length, "height": figures.Length, "length": figures.Length, "girth": figures.Length,
	"sides": figures.Count, "factor": figures.Count, "film": figures.Length, "joints": figures.Count, "lead": figures.LeadLoading, "lead_share": figures.Share,
}

// bounds are the least and the most that some figures can be, in the unit named: what lies outside is asked about.
var bounds = map[string]struct {
	low, high float64
	unit      string
}{
	"crew": {1, 100, "times"}, "hours_a_day": {1, 24, "h"}, "visit": {0, 24, "h"}, "window": {0.05, 500, "h"}, "sides": {1,
		2, "times"}, "factor": {0.1, 10, "times"}, "mixing": {1, 10, "times"},
	"room": {1000, 1e8, "L"}, "air_changes": {0.05, 100, "an hour"}, "air": {1, 1e6, "m³/h"}, "exposure_limit": {0.01, 1e5,
		"ppm"}, "film": {0, 20, "mm"}, "drum": {5, 1500, "L"}, "bag": {1, 1500, "kg"},
	"lead": {0, 1000, "mg/cm²"}, "alkali_of_paste": {0, 50, "eq/kg"}, "rinse": {0.05, 100, "L/m²"}, "width": {0.01, 1000,
		"m"}, "height": {0.01, 1000, "m"}, "length": {0.01, 1000, "m"}, "girth": {0.005, 10, "m"},
	"joints": {0, 1000, "times"}, "drying": {0, 8760, "h"},
}
