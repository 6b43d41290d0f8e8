package diary

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"gopkg.in/yaml.v3"

	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/rules"
	"patchfirst/rules/source"
)

// Questions asks about everything in the diary that is possible and yet unlikely, and about work that was begun although
// something should have waited. They come in the order of the log; an entry marked sure is not asked about.
func (d *Diary) Questions(log *yaml.Node, s Site) []job.Question {
	var asked []job.Question
	for i, e := range d.Entries {
		if e.Sure || !slices.Contains(Kinds, e.Kind) {
			continue
		}
		ask := func(format string, args ...any) {
			asked = append(asked, job.Question{Entry: e.ID, Ask: fmt.Sprintf(format, args...)})
		}
		for _, words := range job.AskTime(d.Entries, i, s.Now) {
			ask("%s", words)
		}
		d.askCorrection(ask, e)
		switch e.Kind {
		case WeatherRead:
			d.askWeather(ask, e)
		case PHRead:
			d.askPaper(ask, e)
		case MoistRead:
			d.askMeter(ask, e)
		case Neutralise:
			d.askAcid(ask, e, s)
		case Remove:
			askDwell(ask, log, e, s)
		case PrimedWith:
			d.askProduct(ask, e, s)
		}
		for _, b := range d.Batches {
			b.ask(ask, e, s)
		}
		for _, f := range held(log, e, s) {
			ask("%s", f.NotYet(s.Base))
		}
	}
	return asked
}

// NotYet says what waits, with the reading, the limit and its source.
func (f Finding) NotYet(b *rules.Base) string {
	words := "Not yet: " + f.Reading + "."
	if f.Limit != "" {
		words = "Not yet: " + f.Reading + "; needed: " + f.Limit + "."
	}
	for _, more := range []string{f.Say, f.Because} {
		if more != "" {
			words += " " + more
		}
	}
	var sources []string
	for _, id := range f.Sources {
		name := id
		for _, s := range b.Sources {
			if s.ID == id {
				name = strings.TrimSuffix(s.Body+", "+s.Where, ", ")
			}
		}
		sources = append(sources, name)
	}
	return words + " (" + strings.Join(sources, "; ") + ")"
}

// askCorrection asks whether a correction names the right entry, where that is of another batch.
func (d *Diary) askCorrection(ask func(string, ...any), e job.Entry) {
	for _, old := range d.Patches.Written {
		was, is := old.Fields.Text("batch"), e.Fields.Text("batch")
		if old.ID == e.Corrects && e.Corrects > 0 && e.Kind != job.Strike && was != is {
			ask("It corrects entry %d, which is of batch %q, and is itself of batch %q. Is it the right entry?", old.ID, was, is)
		}
	}
}

// jump is a change of the surface between two entries, or from the air to it, in °C, that is asked about: from memory.
const jump = 15

func (d *Diary) askWeather(ask func(string, ...any), e job.Entry) {
	i := slices.IndexFunc(d.Weather, func(w Weather) bool { return w.Entry.ID == e.ID })
	w := d.Weather[i]
	if w.Air != nil && w.Surface != nil && math.Abs(*w.Air-*w.Surface) > jump {
		ask("The air is %s and the surface %s. Was the sun on it, or is one reading wrong?", temperature(w.Air), temperature(w.Surface))
	}
	if w.Air == nil && w.Surface == nil && w.Humidity == nil && w.Rain == "" && w.Low == nil {
		ask("It says nothing of the weather. What do air, surface and humidity read?")
	}
}

// askPaper asks about a pH that the usual paper does not read: 1 to 11 (ASTM D4262).
func (d *Diary) askPaper(ask func(string, ...any), e job.Entry) {
	all := slices.Clone(d.Readings)
	for _, b := range d.Batches {
		all = append(all, b.PH...)
	}
	for _, r := range all {
		if r.Entry.ID == e.ID && r.Strip != nil && (r.Value < 1 || r.Value > 11) {
			ask("pH %g lies outside the usual paper, which reads 1 to 11. Does this paper read so far?", r.Value)
			return
		}
	}
}

// The moisture that meters for wood read: above fibre saturation they are wrong (FPL-GTR-6), and the lower end is from
// memory.
const meterFrom, meterTo = 7, 30

func (d *Diary) askMeter(ask func(string, ...any), e job.Entry) {
	for _, b := range d.Batches {
		for _, m := range b.Moisture {
			if m.Entry.ID == e.ID && m.Percent != nil && (*m.Percent < meterFrom || *m.Percent > meterTo) {
				ask("%g %% lies outside what meters for wood read, %d to %d %%. Is it the right scale?", *m.Percent, meterFrom, meterTo)
				return
			}
		}
	}
}

// askAcid asks about acid where the advice has none, and about acid before the rinse has done its part.
func (d *Diary) askAcid(ask func(string, ...any), e job.Entry, s Site) {
	j := newJudge(d, s)
	for _, b := range d.Batches {
		if !slices.ContainsFunc(b.Acids, func(a Acid) bool { return a.Entry.ID == e.ID }) {
			continue
		}
		j.use(s.Base.Method(b.Method))
		if j.outcome == nil {
			continue
		}
		if !j.outcome.Has(rules.Step, acidStep) {
			ask("No acid is to be used here. %s If it was used, say so.", strings.Join(j.sayings("neutralise"), " "))
			return
		}
	}
}

// coats are the steps of the base that ask for a kind of first coat, with a word by which a product is known to be of it.
var coats = map[string]string{"prime_vapour_open": "vapour", "prime_alkali_tolerant": "alkali"}

// askProduct asks about a first coat that is not said to be of the kind that the advice asks for.
func (d *Diary) askProduct(ask func(string, ...any), e job.Entry, s Site) {
	j := newJudge(d, s)
	for _, b := range d.Batches {
		if b.Primed == nil || b.Primed.Entry.ID != e.ID {
			continue
		}
		j.use(s.Base.Method(b.Method))
		if j.outcome == nil {
			continue
		}
		for _, n := range j.outcome.Notes {
			word := coats[n.Note.ID]
			if n.Note.Kind == rules.Step && n.Sure && word != "" && !strings.Contains(strings.ToLower(b.Primed.Product), word) {
				ask("Is the first coat of this kind? %s", n.Note.Say)
			}
		}
		return
	}
}

// askDwell asks about paste that came off sooner or later than the patches say.
func askDwell(ask func(string, ...any), log *yaml.Node, e job.Entry, s Site) {
	s.Now = e.At
	d := read(s.Base, &source.Document{}, AsOf(log, e.At, e.ID))
	b := d.Batch(e.Fields.Text("batch"))
	if b == nil {
		return
	}
	j := newJudge(d, s)
	j.use(s.Base.Method(b.Method))
	a := j.remove(b)
	for _, f := range a.Late {
		ask("%s", f.NotYet(s.Base))
	}
	if e.Fields.Text("layers_left") == "0" {
		return
	}
	for _, f := range a.Waits {
		ask("%s How many coats are left?", f.NotYet(s.Base))
	}
}

// sayings are the steps of a stage in words.
func (j *judge) sayings(stage string) (words []string) {
	for _, s := range j.steps(stage) {
		words = append(words, s.Text)
	}
	return words
}

// ask asks about an entry if it is one of the batch.
func (b *Batch) ask(ask func(string, ...any), e job.Entry, s Site) {
	if i := slices.IndexFunc(b.Looks, func(l Look) bool { return l.Entry.ID == e.ID }); i >= 0 {
		b.askLook(ask, i, s)
	}
	if i := slices.IndexFunc(b.Removals, func(r Removal) bool { return r.Entry.ID == e.ID }); i >= 0 {
		b.askRemoval(ask, i)
	}
}

func (b *Batch) askLook(ask func(string, ...any), i int, s Site) {
	l := b.Looks[i]
	b.askClock(ask, l.Entry.At)
	if l.LayersLeft == nil && l.Lifts == "" && l.Harm == "" && l.Edges == "" {
		ask("It says nothing of what was seen on %s. How many coats are left, is there harm, are the edges wet?", b)
	}
	if l.LayersLeft != nil {
		if most := s.patches().Layers; most > 0 && *l.LayersLeft > most {
			ask("It counts %g coats left, and the part was told to have %g. Which is right?", *l.LayersLeft, most)
		}
		for _, before := range b.Looks[:i] {
			if before.LayersLeft != nil && *l.LayersLeft > *before.LayersLeft {
				ask("It counts %g coats left on %s, and entry %d counted %g before. Coats do not come back: which is right?", *l.LayersLeft, b, before.Entry.ID, *before.LayersLeft)
				break
			}
		}
		if *l.LayersLeft == 0 && l.Lifts == patches.Not {
			ask("Nothing is left on %s, and yet the coat does not lift. Which is right?", b)
		}
	}
	was := b.Surface
	for _, before := range b.Looks[:i] {
		if before.Surface != nil {
			was = before.Surface
		}
	}
	if was != nil && l.Surface != nil && math.Abs(*l.Surface-*was) > jump {
		ask("The surface went from %s to %s. Was the sun on it, or is one reading wrong?", temperature(was), temperature(l.Surface))
	}
}

func (b *Batch) askRemoval(ask func(string, ...any), i int) {
	r := b.Removals[i]
	b.askClock(ask, r.Entry.At)
	if r.Hours != nil && r.Entry.At.Sub(b.Put.At) < time.Duration(*r.Hours*float64(time.Hour)) {
		ask("Taking it off took %s, and %s was put on less long ago. Which is right?", ago(*r.Hours), b)
	}
	var done float64
	for _, before := range b.Removals[:i+1] {
		if before.Area != nil {
			done += *before.Area
		}
	}
	const slack = 1.001
	if b.Area != nil && done > *b.Area*slack {
		ask("%s m² of %s were taken off, and %s m² put on. Which is right?", number(done), b, number(*b.Area))
	}
}

func (b *Batch) askClock(ask func(string, ...any), at time.Time) {
	if words := job.AskClock(b.Put.At, at, patches.Duration); words != "" {
		ask("%s", words)
	}
}
