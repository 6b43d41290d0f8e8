package takeoff

import (
	"math"
	"slices"

	"patchfirst/knowledge/figures"
)

// waiting works out how long the paste acts, and into what batches the work is cut so that each comes off and is clean in
// time.
func (s *Sums) waiting() {
	passes, wait := s.Line("passes"), s.dwell()
	pace, ok := s.pace()
	share, ok2 := s.leaf("take_off_share", figures.Share)
	window, ok3 := s.leaf("window", figures.Time)
	if passes == nil || wait == nil || !ok || !ok2 || !ok3 {
		return
	}
	shape, _ := s.leaf("shape", figures.Count)
	shape = s.sure(shape, "shape", 1, "times")
	take := s.add("take_off_pace", "Take off and clean a square metre", "take_off_pace", pace.as("pace"),
		share.as("share of taking off"), shape.as("shape"),
		s.paceOf("wash_pace", "wash", true), s.paceOf("neutralise_pace", "neutralise", s.acid()))
	crew, day := s.crew(), s.day()
	batch := s.add("batch", "Largest batch", "batch", window.as("window"), day.as("working day"), crew.as("crew"),
		take.as("take off"))
	batches := s.add("batches", "Batches", "batches", s.Line("area").as("area"), batch.as("batch"))
	if s.err != nil || batches.Result.Point == 0 {
		return
	}
	work := s.addBy("batch_work", "Work on a batch in one pass", batchWork, s.Line("strip").as("work"), passes.as("passes"),
		batches.as("batches"))
	back, _ := s.leaf("visit", figures.Time)
	back = s.sure(back, "visit", 0.5, "h")
	hands := exactly("crew", math.Max(1, crew.Point), "times", crew.From)
	s.add("waiting", "Waiting that is paid", "waiting", passes.as("passes"), wait.as("wait"), batches.as("batches"),
		work.as("work of a batch"), hands, back.as("coming back"))
	s.add("lying", "Waiting in all, free for other work but for the line above", "lying", passes.as("passes"),
		wait.as("wait"))
}

var batchWork = figures.Formula{Name: "batch_work", Title: "Work on a batch in one pass",
	Words: "work ÷ (passes × batches)", Unit: "h", Source: "own arithmetic",
	Slots: []figures.Slot{{Name: "work", Unit: "h", High: 1e6}, {Name: "passes", Unit: "times", Low: 0, High: 2000},
		{Name: "batches", Unit: "times", Low: 0, High: 1e9}},
	Compute: func(in []float64) (float64, error) {
		return in[0] / math.Max(1, in[1]) / math.Max(1, in[2]), nil
	}}

// paceOf gives a pace to a formula, or none where the step is not done.
func (s *Sums) paceOf(id, slot string, done bool) figures.Input {
	if l, ok := s.leaf(id, figures.Pace); ok && done {
		return l.as(slot)
	}
	return exactly(slot, 0, "h/m²", "it is not done")
}

// dwell is how long the paste acts: as proven patches showed, or as planned for the temperature of the surface.
func (s *Sums) dwell() *Line {
	h, _ := figures.FindUnit("h")
	if c := s.candidate(); c != nil && c.Dwell.Thickness > 0 {
		minutes := c.Dwell.Minutes
		if c.Dwell.Elsewhere {
			minutes = c.Dwell.JobMinutes
		}
		l := s.keep(&Leaf{"patch_wait", Shown, figures.Quantity{Range: figures.Exactly(minutes / 60), Unit: h}, shownFrom,
			nil})
		return s.addBy("wait", "Time that the paste acts", shownWait, l.as("time on the patches"))
	}
	p, ok := s.plan()
	if !ok || p.Thick == 0 || len(p.Look) == 0 {
		return nil
	}
	look := slices.Clone(p.Look)
	planned := figures.Range{Low: look[0] / 60, Point: look[len(look)/2] / 60, High: look[len(look)-1] / 60}
	l := s.keep(&Leaf{"planned_wait", Planned, figures.Quantity{Range: planned, Unit: h},
		"first to last look of a test patch, " + s.Case.sources(p.SourceNames), p.SourceNames})
	c, _ := figures.FindUnit("°C")
	warmth := s.Case.Plans.Warmth
	surface := &Leaf{"surface_temp", Planned, figures.Quantity{Range: figures.Between(warmth.From, warmth.To), Unit: c},
		"the temperatures that planning times are for", nil}
	if a, ok := s.Case.Answers["surface_temp"]; ok {
		surface = &Leaf{"surface_temp", Answered, figures.Quantity{Range: figures.Between(a.Lo, a.Hi), Unit: c},
			"the answer to the surface temperature", nil}
	} else {
		s.miss("How cold or warm is the surface? Write surface_temp: it decides the wait.")
	}
	surface = s.keep(surface)
	return s.addBy("wait", "Time that the paste acts", figures.Formula{Name: "wait", Title: "Time that the paste acts",
		Words: "planned time, doubled for each 10 °C below 15 °C and halved for each above 20 °C", Unit: "h",
		Source: s.Case.sources(warmth.SourceNames), Caution: warmth.Say,
		Slots: []figures.Slot{{Name: "planned time", Unit: "h", High: 1000},
			{Name: "surface", Unit: "°C", Low: -30, High: 70}},
		Compute: func(in []float64) (float64, error) {
			return warmth.Planned(in[0], in[1]), nil
		}}, l.as("planned time"), surface.as("surface"))
}

var shownWait = figures.Formula{Name: "wait", Title: "Time that the paste acts",
	Words: "time after which the patches were clean, at the temperature of the surface", Unit: "h", Source: "the record of test patches",
	Slots: []figures.Slot{{Name: "time on the patches", Unit: "h", High: 10_000}}, Compute: func(in []float64) (float64,
		error) {
		return in[0], nil
	}}
