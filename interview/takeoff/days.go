package takeoff

import (
	"math"

	"patchfirst/knowledge/figures"
)

// days plans the work over days: three times, for all inputs at their least, at their point and at their most.
func (s *Sums) days() {
	if s.Line("hours") == nil || s.err != nil || s.fixed {
		return
	}
	inputs := s.gather()
	var programmes [3]*Programme
	for i, at := range []func(figures.Range) float64{low, point, high} {
		programmes[i] = schedule(inputs.at(at))
	}
	s.Programme = programmes[1]
	total := func(p *Programme) float64 { return float64(p.Days) }
	onSite := func(p *Programme) float64 { return float64(p.OnSite) }
	s.addDays("days_on_site", "Days with work on site", inputs, programmes, onSite)
	s.addDays("days", "Days until the primer is dry", inputs, programmes, total)
}

func low(r figures.Range) float64   { return r.Low }
func point(r figures.Range) float64 { return r.Point }
func high(r figures.Range) float64  { return r.High }

// stretches are the inputs of a programme, as ranges.
type stretches struct {
	protect, apply, takeOff, other, wait, passes, batches, prime, drying, cure, weather, crew, day, window figures.Range
	inputs                                                                                                 []figures.Input
}

// gather gathers the stretches of work and waiting.
func (s *Sums) gather() stretches {
	one := figures.Exactly(1)
	st := stretches{batches: one, passes: one, window: figures.Exactly(24)}
	take := func(to *figures.Range, id string) {
		if l := s.Line(id); l != nil {
			*to = l.Result.Range
			st.inputs = append(st.inputs, l.as(l.Title))
		}
	}
	leaf := func(to *figures.Range, l *Leaf, unit, name string) {
		if l != nil {
			*to = inUnit(l.Quantity, unit).Range
			st.inputs = append(st.inputs, l.as(name))
		}
	}
	take(&st.protect, "protect")
	take(&st.passes, "passes")
	take(&st.batches, "batches")
	take(&st.wait, "wait")
	take(&st.prime, "prime")
	var strip figures.Range
	take(&strip, "strip")
	var cover, wash, neutralise, watch, refit, joints, travel figures.Range
	take(&cover, "cover_work")
	take(&wash, "wash")
	take(&neutralise, "neutralise")
	take(&watch, "fire_watch")
	take(&refit, "refit")
	take(&joints, "joint_work")
	take(&travel, "travel")
	share := figures.Exactly(100)
	if l := s.need("take_off_share", figures.Share); l != nil && s.Line("wait") != nil {
		share = l.Range
	}
	st.takeOff = combine(func(v []float64) float64 { return v[0]*v[1]/100 + v[2] + v[3] }, strip, share, wash, neutralise)
	st.apply = combine(func(v []float64) float64 { return v[0]*(1-v[1]/100) + v[2] }, strip,
		figures.Range{Low: share.Low, Point: share.Point, High: share.Low}, cover)
	st.other = combine(func(v []float64) float64 { return v[0] + v[1] + v[2] + v[3] }, watch, refit, joints, travel)
	leaf(&st.drying, s.need("drying", figures.Time), "days", "drying")
	leaf(&st.cure, s.need("cure", figures.Time), "days", "drying of the primer")
	leaf(&st.weather, s.need("weather", figures.Share), "%", "days that the weather takes")
	leaf(&st.crew, s.crew(), "times", "crew")
	leaf(&st.day, s.day(), "h", "working day")
	leaf(&st.window, s.need("window", figures.Time), "h", "window to take it off")
	if shop := s.need("in_shop", figures.Time); shop != nil {
		leaf(&st.wait, shop, "h", "days in the workshop")
	}
	return st
}

// combine computes a figure that rises with each of its ranges.
func combine(f func([]float64) float64, all ...figures.Range) figures.Range {
	values := func(at func(figures.Range) float64) []float64 {
		out := make([]float64, len(all))
		for i, r := range all {
			out[i] = at(r)
		}
		return out
	}
	l, p, h := f(values(low)), f(values(point)), f(values(high))
	return figures.Range{Low: min(l, p), Point: p, High: max(p, h)}
}

// plan are the inputs of one programme.
type plan struct {
	protect, apply, takeOff, other, wait, prime, drying, cure, weather, crew, day, window float64
	passes, batches                                                                       int
}

func (st stretches) at(at func(figures.Range) float64) plan {
	return plan{protect: at(st.protect), apply: at(st.apply), takeOff: at(st.takeOff), other: at(st.other),
		wait: at(st.wait), prime: at(st.prime), drying: at(st.drying), cure: at(st.cure),
		weather: at(st.weather), crew: math.Max(1, st.crew.Point), day: math.Max(1, st.day.Point), window: st.window.Point,
		passes: max(1, int(math.Ceil(at(st.passes)))), batches: max(1, int(math.Ceil(at(st.batches))))}
}

// addDays adds a figure of the programmes.
func (s *Sums) addDays(id, title string, st stretches, programmes [3]*Programme, of func(*Programme) float64) {
	l, p, h := of(programmes[0]), of(programmes[1]), of(programmes[2])
	times, _ := figures.FindUnit("times")
	f := figures.Formula{Name: id, Title: title,
		Words: "the tasks one after another in working hours, each batch taken off when its time is over", Unit: "times", Source: "own arithmetic",
		Caution: "The bounds take every input at its least, and every one at its most."}
	line := &Line{ID: id, Section: s.section, Title: title, Uses: map[string]string{}}
	line.Working = figures.Working{Formula: f, Inputs: st.inputs, Result: figures.Quantity{Range: figures.Range{Low: min(l,
		p), Point: p, High: max(p, h)}, Unit: times}}
	for _, in := range st.inputs {
		if used := usedBy(in); used != "" {
			line.Uses[in.Name] = used
		}
	}
	s.Lines = append(s.Lines, line)
}
