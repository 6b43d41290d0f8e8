package diary

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"patchfirst/knowledge/figures"
)

// latest keeps the last reading of each place since a time, and of them those within a day of the last: what was read
// before that day is of a wetter surface.
func latest[T any](readings []T, since time.Time, at func(T) time.Time, where func(T) string) []T {
	byPlace := map[string]T{}
	var last time.Time
	for _, r := range readings {
		if at(r).Before(since) {
			continue
		}
		byPlace[strings.ToLower(strings.TrimSpace(where(r)))] = r
		last = later(last, at(r))
	}
	var kept []T
	for _, r := range byPlace {
		if last.Sub(at(r)) <= 24*time.Hour {
			kept = append(kept, r)
		}
	}
	slices.SortFunc(kept, func(a, b T) int { return at(a).Compare(at(b)) })
	return kept
}

// dry is the drying; nil where every reading of it is kept.
func (j *judge) dry(b *Batch) *Action {
	gate := Action{}
	j.acidity(&gate, b)
	j.moisture(&gate, b)
	if len(gate.Waits) == 0 {
		return nil
	}
	a := &Action{Do: ToDry, Batch: b, Says: j.steps("dry")}
	j.weatherAlarms(a, "dry")
	if say := j.woodInAir(); say.Text != "" {
		a.Says = append(a.Says, say)
	}
	return a
}

// woodInAir says whether the air can dry the wood at all.
func (j *judge) woodInAir() Say {
	most, limit := j.bound("moisture", "prime")
	w, _ := j.weather()
	if limit == nil || w.Air == nil || w.Humidity == nil {
		return Say{}
	}
	comes, err := figures.WoodMoisture(figures.Celsius(*w.Air), figures.Percent(math.Min(*w.Humidity, 95)))
	if err != nil {
		return Say{}
	}
	words := fmt.Sprintf("In air of %s and %s %% wood comes to %.1f %% in the end.", temperature(w.Air), number(*w.Humidity), comes)
	if float64(comes) > most {
		if drier, err := figures.HumidityForWood(figures.Celsius(*w.Air), figures.Percent(most)); err == nil {
			words += fmt.Sprintf(" That is above %s %%: it needs air below %.0f %%.", number(most), math.Floor(float64(drier)))
		}
	}
	return Say{words, []string{"wood-handbook-2010"}}
}

// acidity holds the dry surface against the untouched spot.
func (j *judge) acidity(a *Action, b *Batch) {
	if len(j.Base.LimitsOn("ph_off_control", "prime", j.method, j.Answers)) == 0 {
		return
	}
	dry := slices.DeleteFunc(slices.Clone(b.PH), func(r PH) bool { return !r.Dry })
	read := latest(dry, b.Wetted(), func(r PH) time.Time { return r.Entry.At }, func(r PH) string { return r.Where })
	control := j.last(OnControl)
	if control == nil {
		control = j.patchControl()
	}
	switch {
	case len(read) == 0:
		j.limits(a, "ph_off_control", "prime", nil, "the dry surface was not read since water last came on it")
		return
	case control == nil:
		j.limits(a, "ph_off_control", "prime", nil, "no untouched spot of the same material was read")
		return
	}
	var worst *float64
	var words string
	var using figures.PHInstrument
	for _, r := range read {
		off, said := difference(r, *control, "untouched spot")
		if len(b.Acids) > 0 {
			*off = math.Abs(*off) // acid may have brought it below
		}
		if worst == nil || *off > *worst {
			worst, words = off, said
		}
		if i := coarser(r, *control); i.Error > using.Error {
			using = i
		}
	}
	worst, words = j.shown("ph_off_control", "prime", worst, words, using)
	j.limits(a, "ph_off_control", "prime", worst, words)
	step, said := paper(append(slices.Clone(read), *control)...)
	j.limits(a, "ph_step", "prime", step, said)
	places := float64(len(read))
	j.limits(a, "ph_places", "prime", &places, times(len(read), "place", "places")+" read dry")
}

// patchControl is the untouched spot that was read for the test patches. What it was read with was not told, so it counts
// as the coarsest paper.
func (j *judge) patchControl() *PH {
	for _, l := range slices.Backward(j.d.Patches.Controls) {
		if l.PH != nil {
			const coarsest = 1.
			return &PH{Entry: l.Entry, Spot: OnControl, Value: *l.PH, Strip: pointer(coarsest), Dry: true}
		}
	}
	return nil
}

// moisture holds the moisture readings against the limits of the material.
func (j *judge) moisture(a *Action, b *Batch) {
	deep := slices.DeleteFunc(slices.Clone(b.Moisture), func(m Moisture) bool { return m.Percent == nil || !m.Deep })
	at, where := func(m Moisture) time.Time { return m.Entry.At }, func(m Moisture) string { return m.Where }
	read := latest(deep, b.Wetted(), at, where)
	var worst *float64
	words := "no moisture was read in depth since water last came on it"
	for _, m := range read {
		if worst == nil || *m.Percent > *worst {
			worst, words = m.Percent, fmt.Sprintf("moisture %s %% at the wettest of %s", number(*m.Percent), times(len(read), "place", "places"))
		}
	}
	j.limits(a, "moisture", "prime", worst, words)
	places := float64(len(read))
	j.limits(a, "moisture_places", "prime", &places, times(len(read), "place", "places")+" read in depth")

	sheets := slices.DeleteFunc(slices.Clone(b.Moisture), func(m Moisture) bool { return m.Sheet == "" })
	var shortest *float64
	words = "no taped sheet was lifted since water last came on it"
	for _, m := range latest(sheets, b.Wetted(), at, where) {
		dry := *m.Hours
		if m.Sheet == SheetWet {
			dry = 0
		}
		if shortest == nil || dry < *shortest {
			shortest, words = &dry, fmt.Sprintf("no water under a sheet taped for %s", ago(*m.Hours))
			if dry == 0 {
				words = fmt.Sprintf("water under a sheet taped for %s", ago(*m.Hours))
			}
		}
	}
	j.limits(a, "sheet_hours", "prime", shortest, words)
}

// prime is the first coat: the release of a batch.
func (j *judge) prime(b *Batch) Action {
	a := Action{Do: ToPrime, Batch: b}
	_, off := b.Off()
	on, words := 1., "still on: some of it"
	if off {
		on, words = 0, "still on: nothing"
	}
	j.limits(&a, "still_on", "prime", &on, words)
	left := b.layersLeft()
	j.limits(&a, "layers_left", "prime", left, "coats left: "+orNot(left, "%s", numberOf(left)))
	j.acidity(&a, b)
	j.moisture(&a, b)
	j.holds(&a, "check", "remove", "clean", "neutralise", "dry", "prime")
	j.air(&a, "prime")
	if off, ok := b.Off(); ok {
		days := j.Now.Sub(off).Hours() / 24
		j.limits(&a, "bare_days", "prime", &days, "bare for "+ago(days*24))
		if most, limit := j.bound("bare_days", "prime"); limit != nil && days <= most {
			a.By = off.Add(time.Duration(most*24) * time.Hour)
		}
	}
	if len(a.Waits) == 0 {
		a.Says = j.steps("prime")
	}
	return a
}

func numberOf(v *float64) string {
	if v == nil {
		return ""
	}
	return number(*v)
}
