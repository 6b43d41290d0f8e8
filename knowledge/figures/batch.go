package figures

import (
	"errors"
	"math"
)

// TakeOffPace is the time on a square metre from the end of the wait until it is clean: taking the paste off, its share of a
// pass, made slower by the shape, then washing and neutralising.
func TakeOffPace(pass HoursPerM2, share Percent, shape float64, wash, neutralise HoursPerM2) (HoursPerM2, error) {
	if err := errors.Join(positive("The time of a pass", pass, "h/m²"),
		within("The share of taking off", share, 0, 100, "%"), within("The shape", shape, 0.5, 20, ""),
		positive("The time of washing", wash, "h/m²"), positive("The time of neutralising", neutralise,
			"h/m²")); err != nil {
		return 0, err
	}
	return pass*HoursPerM2(share.Share()*shape) + wash + neutralise, nil
}

// Batch is the largest area that a crew can take off and clean before the paste has lain too long, or the day is over:
// the shorter of the two × crew ÷ time on a square metre.
func Batch(window, day Hour, crew float64, pace HoursPerM2) (SquareMetre, error) {
	if err := errors.Join(above("The time in which it must come off", window, "h"),
		within("The working day", day, 0.5, 24, "h"), within("The crew", crew, 1, 1000, ""),
		above("The time on a square metre", pace, "h/m²")); err != nil {
		return 0, err
	}
	return SquareMetre(float64(min(window, day)) * crew / float64(pace)), nil
}

// WholeParts returns into how many parts of at most a size something is cut: the whole ÷ the size, rounded up.
func WholeParts(whole, size float64) (float64, error) {
	if err := errors.Join(positive("The whole", whole, ""), above("The size of a part", size, "")); err != nil {
		return 0, err
	}
	const slack = 1e-9
	return math.Ceil(whole/size - slack), nil
}

// Waiting is the time, in hours of all hands, that is paid for and not worked while a paste acts: in each pass the wait less
// the work on the other batches, but at most what it takes to pack up, go, and come back.
func Waiting(passes float64, wait Hour, batches float64, work Hour, crew float64, back Hour) (Hour, error) {
	if err := errors.Join(within("The number of passes", passes, 0, 2000, ""), positive("The wait", wait, "h"),
		positive("The number of batches", batches, ""),
		positive("The work on a batch", work, "h"), within("The crew", crew, 1, 1000, ""), positive("The time to come back",
			back, "h")); err != nil {
		return 0, err
	}
	idle := max(0, wait-Hour(max(0, batches-1)*float64(work)/crew))
	return Hour(passes*crew) * min(back, idle), nil
}

const batchSource = workSource

var batchFormulas = []Formula{
	{"take_off_pace", "Taking off and cleaning a square metre",
		"pace of a pass × share of taking off × shape + wash + neutralise",
		[]Slot{slot("pace", "h/m²", 0, 1000), slot("share of taking off", "%", 0, 100), slot("shape", "times", 0.5, 20),
			slot("wash", "h/m²", 0, 100), slot("neutralise", "h/m²", 0, 100)}, "h/m²", batchSource, "",
		func(in []float64) (float64, error) {
			return plainly(TakeOffPace(HoursPerM2(in[0]), Percent(in[1]), in[2], HoursPerM2(in[3]), HoursPerM2(in[4])))
		}},
	{"batch", "Largest batch", "shorter of window and working day × crew ÷ time on a square metre",
		[]Slot{slot("window", "h", 0.01, 1000), slot("working day", "h", 0.5, 24), slot("crew", "times", 1, 1000),
			slot("take off", "h/m²", 1e-6, 1000)}, "m²", batchSource,
		"More than this dries, or lies too long, before it is off and clean.",
		func(in []float64) (float64, error) {
			return plainly(Batch(Hour(in[0]), Hour(in[1]), in[2], HoursPerM2(in[3])))
		}},
	{"batches", "Batches", "area ÷ batch, rounded up", []Slot{areaSlot, slot("batch", "m²", 1e-6, 1e9)}, "times",
		batchSource, "",
		func(in []float64) (float64, error) { return WholeParts(in[0], in[1]) }},
	{"waiting", "Waiting that is paid", "passes × crew × the shorter of coming back and (wait − (batches − 1) × work of a batch ÷ crew)",
		[]Slot{slot("passes", "times", 0, 2000), slot("wait", "h", 0, 1000), slot("batches", "times", 0, 1e9),
			slot("work of a batch", "h", 0, 1000),
			{Name: "crew", Unit: "times", Low: 1, High: 1000, Known: true}, slot("coming back", "h", 0,
				24)}, "h", batchSource, "",
		func(in []float64) (float64, error) {
			return plainly(Waiting(in[0], Hour(in[1]), in[2], Hour(in[3]), in[4], Hour(in[5])))
		}},
	{"lying", "Waiting in all", "passes × wait", []Slot{slot("passes", "times", 0, 2000), slot("wait", "h", 0, 1000)}, "h",
		batchSource, "",
		func(in []float64) (float64, error) { return in[0] * in[1], nil }},
	{"hired_days", "Days", "hours ÷ (crew × working day), rounded up",
		[]Slot{slot("hours", "h", 0, 1e7), slot("crew", "times", 1, 1000),
			slot("working day", "h", 0.5, 24)}, "times", batchSource, "",
		func(in []float64) (float64, error) { return WholeParts(in[0], in[1]*in[2]) }},
}
