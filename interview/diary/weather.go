package diary

import (
	"fmt"
	"math"

	"patchfirst/interview/patches"
	"patchfirst/knowledge/figures"
)

// air holds the last weather against the limits of a stage.
func (j *judge) air(a *Action, stage string) {
	w, age := j.weather()
	since := "no weather was entered"
	if age != nil {
		since = fmt.Sprintf("the weather was read %s ago", ago(*age))
	}
	j.limits(a, "weather_age", stage, age, since)
	j.limits(a, "air_temp", stage, w.Air, "air "+temperature(w.Air))
	j.limits(a, "surface_temp", stage, w.Surface, "surface "+temperature(w.Surface))
	relative := "humidity not read"
	if w.Humidity != nil {
		relative = "humidity " + number(*w.Humidity) + " %"
	}
	j.limits(a, "humidity", stage, w.Humidity, relative)
	j.limits(a, "forecast_low", stage, w.Low, "lowest temperature forecast for the week: "+temperature(w.Low))
	margin, words := dewMargin(w)
	j.limits(a, "dew_margin", stage, margin, words)
	until, words := j.untilRain(w)
	j.limits(a, "rain_in", stage, until, words)
}

// weather returns the last weather that was read, and how many hours ago; nil: never.
func (j *judge) weather() (w Weather, age *float64) {
	if n := len(j.d.Weather); n > 0 {
		w = j.d.Weather[n-1]
		age = pointer(j.Now.Sub(w.Entry.At).Hours())
	}
	return w, age
}

// dewMargin is how far the surface lies above the temperature at which water settles on it, in K.
func dewMargin(w Weather) (*float64, string) {
	const missing = "dew point not known: air, surface and humidity have to be read together"
	if w.Air == nil || w.Surface == nil || w.Humidity == nil {
		return nil, missing
	}
	settles, err := figures.FrostPoint(figures.Celsius(*w.Air), figures.Percent(*w.Humidity))
	if err != nil {
		return nil, err.Error()
	}
	what := "dew"
	if settles < 0 {
		what = "frost"
	}
	margin := *w.Surface - float64(settles)
	return &margin, fmt.Sprintf("surface %s, %s point %.1f °C: %.1f K above it", temperature(w.Surface), what, settles, margin)
}

// untilRain is the hours until rain; infinite where none is expected.
func (j *judge) untilRain(w Weather) (*float64, string) {
	switch w.Rain {
	case RainNone:
		return pointer(math.Inf(1)), "no rain is forecast"
	case RainFalls:
		return pointer(0), "rain falls"
	case RainComes:
		until := max(0, w.RainAt.Sub(j.Now).Hours())
		return &until, "rain is expected in " + ago(until)
	}
	return nil, "rain: not read"
}

func temperature(v *float64) string {
	if v == nil {
		return "not read"
	}
	return number(*v) + " °C"
}

// ago puts hours into words.
func ago(hours float64) string {
	const minute = 1. / 60
	switch {
	case hours < minute:
		return "less than a minute"
	case hours >= 1.5 && hours < 72:
		return number(math.Round(hours*10)/10) + " h" // so that no limit seems kept that is not
	}
	return patches.Duration(hours * 60)
}
