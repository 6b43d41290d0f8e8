// Package ask puts the questions of a diary entry, one after the other.
package ask

import (
	"context"
	"errors"
	"fmt"
	"time"

	"patchfirst/interview"
	"patchfirst/interview/diary"
	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

// Keep asks for an entry of a part and writes it to the job file; an empty kind is asked for. What is possible and yet
// unlikely, and what should have waited, is asked about; if it is not right nothing is written, and the job.DoubtError
// returned. Otherwise errors are interview.ErrStopped, interview.ErrInputEnded and those of diary.Keep.
func Keep(ctx context.Context, p interview.Prompter, b *rules.Base, path, element, kind string, now time.Time) (*job.Kept, error) {
	j, err := job.ReadFile(b, path, nil)
	if err != nil {
		return nil, err
	}
	e, err := j.NeedElement(element)
	if err != nil {
		return nil, err
	}
	d, err := diary.Read(b, path, e.Log)
	if err != nil {
		return nil, err
	}
	q := questions{interview.NewForm(ctx, p), b, d, knowledge.WithFigures(b, j.Answers(e))}
	if err := q.entry(kind); err != nil {
		return nil, err
	}
	return q.Settle(func(draft job.Draft) (*job.Kept, error) { return diary.Keep(b, path, e.Name, draft, now) })
}

type questions struct {
	*interview.Form
	base    *rules.Base
	diary   *diary.Diary
	answers rules.Answers
}

func option(id, label string) interview.Option { return interview.Option{ID: id, Label: label} }

func blank(key, text, help string) interview.Blank {
	return interview.Blank{Key: key, Text: text, Help: help}
}

func optional(key, text, help string) interview.Blank {
	return interview.Blank{Key: key, Text: text, Help: help, Optional: true}
}

func (q questions) fill(blanks ...interview.Blank) { q.Fill(diary.CheckField, blanks...) }

var surface = optional("surface_temp", "What is the temperature of the surface?", "With its unit, such as 12 C or 54 F.")

// entry asks for an entry of a kind.
func (q questions) entry(kind string) error {
	if kind == "" {
		var kinds []interview.Option
		for _, k := range diary.Kinds {
			kinds = append(kinds, option(k, words[k]))
		}
		q.Pick("kind", "What is to be entered?", false, kinds...)
		kind = q.Draft["kind"]
	}
	q.Draft.Set("kind", kind)
	if ask := byKind[kind]; ask != nil {
		ask(q)
	} else if q.Err == nil {
		return fmt.Errorf("there is no kind of entry %q. %s", kind, rules.DidYouMean(kind, diary.Kinds))
	}
	q.fill(interview.When, interview.Writer, optional("note", "Anything to remember?", "In words."))
	return q.Err
}

var words = map[string]string{
	diary.WeatherRead: "weather", diary.Crew: "who is on site", diary.HoldMet: "a hold point that is met", diary.Apply: "a batch is put on", diary.Check: "a look at a batch",
	diary.Remove: "a batch is taken off", diary.RinseOff: "a rinse", diary.Neutralise: "acid", diary.PHRead: "a pH", diary.MoistRead: "moisture",
	diary.WasteOut: "waste", diary.Happened: "an incident", diary.PrimedWith: "the first coat",
}

var byKind = map[string]func(questions){
	diary.WeatherRead: questions.weather, diary.Crew: questions.crew, diary.HoldMet: questions.met, diary.Apply: questions.apply, diary.Check: questions.check,
	diary.Remove: questions.remove, diary.RinseOff: questions.rinse, diary.Neutralise: questions.neutralise, diary.PHRead: questions.ph, diary.MoistRead: questions.moisture,
	diary.WasteOut: questions.waste, diary.Happened: questions.incident, diary.PrimedWith: questions.prime,
}

func (q questions) weather() {
	q.fill(optional("air_temp", "What is the temperature of the air?", "In the shade, with its unit, such as 14 C."), surface, optional("humidity", "What is the relative humidity?", "Such as 70 %."))
	q.Pick("rain", "Does it rain, or will it?", true, option(diary.RainNone, "no"), option(diary.RainFalls, "it rains"), option(diary.RainComes, "rain is forecast"))
	if q.Draft["rain"] == diary.RainComes {
		q.fill(blank("rain_at", "When is rain forecast?", "Date and time with its offset, such as 2026-06-01T15:00:00+01:00."))
	}
	q.fill(optional("forecast_low", "What is the lowest temperature forecast for the coming week?", "With its unit, such as 3 C."))
}

func (q questions) crew() { q.fill(blank("who", "Who is on site?", "Names or initials.")) }

func (q questions) met() {
	decision, _, err := q.base.Decide(q.answers) // nil where the answers cannot stand together: then all are listed
	if q.Err == nil {
		q.Err = err
	}
	var holds []interview.Option
	for _, n := range diary.ToTick(q.base, q.diary, decision) {
		holds = append(holds, option(n.ID, n.Say))
	}
	q.Pick("hold", "Which hold point is met?", false, holds...)
}

func (q questions) apply() {
	q.fill(blank("batch", "What is the label of the batch?", "Such as 1. Each batch has its own."))
	var methods []interview.Option
	for _, m := range q.base.Methods {
		if !m.LastResort && m.AlwaysRefused == "" {
			methods = append(methods, option(m.ID, m.Label))
		}
	}
	q.Pick("method", "Which method?", false, methods...)
	if q.Confirm("Is it the confirming patch?") {
		q.Draft.Mark("confirm", true)
	}
	q.fill(optional("area", "How large is it?", "With its unit, such as 2.5 m2."), optional("thickness", "How thick is the wet paste?", "With its unit, such as 3 mm."), surface)
}

// batch asks which batch is meant; all that are off is an answer where the kind of entry allows it.
func (q questions) batch(all bool) {
	var labels []interview.Option
	for _, b := range q.diary.Batches {
		labels = append(labels, option(b.Label, b.String()))
	}
	if len(labels) == 0 && q.Err == nil {
		q.Err = errors.New("no batch was put on yet: enter that first")
	}
	const every = " "
	if all && len(labels) > 1 {
		labels = append(labels, option(every, "all that are off and not primed"))
	}
	q.Pick("batch", "Which batch?", false, labels...)
	if q.Draft["batch"] == every {
		delete(q.Draft, "batch")
	}
}

var (
	left = optional("layers_left", "How many coats are left, in the worst place?", "0 is clean.")
	harm = optional("harm", "What harm is seen?", "Look for raised grain, a soft face, changed colour. Type none if there is none.")
)

func (q questions) check() {
	q.batch(false)
	q.fill(left)
	q.Pick("lifts", "How does the coat lift?", true, option(patches.Easily, "easily"), option(patches.WithWork, "with work"), option(patches.Not, "not"))
	q.fill(harm)
	q.Pick("edges", "How are the edges under the cover?", true, option(diary.EdgesWet, "wet"), option(diary.EdgesDrying, "drying"), option(diary.EdgesDry, "dry"))
	q.fill(surface)
}

func (q questions) remove() {
	q.batch(false)
	q.fill(optional("area", "How much came off?", "With its unit; leave it open if all of it."), optional("took", "How long did that take?", "With its unit, such as 2 h."), left, harm)
}

func (q questions) rinse() {
	q.batch(true)
	q.fill(blank("rinses", "How many rinses, each with fresh water?", "A number, such as 2."), optional("water", "How much water in all?", "With its unit, such as 20 L."))
}

func (q questions) neutralise() {
	q.batch(true)
	q.Pick("with", "With which acid?", false, option(diary.AceticAcid, "acetic acid, such as vinegar"), option(diary.CitricAcid, "citric acid"), option(diary.OtherAcid, "another"))
	q.fill(optional("strength", "How strong, as it was used?", "Such as 1.25 % for one part of household vinegar in four."), optional("volume", "How much of it?", "With its unit, such as 2 L."))
}

func (q questions) ph() {
	q.Pick("spot", "Of what is the pH?", false, option(diary.OnSurface, "the surface"), option(diary.OnControl, "an untouched spot"), option(diary.OfWater, "the rinse water"))
	if q.Draft["spot"] == diary.OnSurface {
		q.batch(true)
	}
	q.fill(blank("ph", "What does it read?", "A number, such as 7.5."))
	if q.Confirm("Was it read with paper?") {
		q.fill(blank("strip", "How far apart do the colours of the paper stand?", "A number, such as 0.5."))
	} else {
		q.Draft.Mark("meter", q.Err == nil)
	}
	if q.Draft["spot"] != diary.OfWater {
		q.Draft.Mark("dry", q.Confirm("Was it dry, and wetted again with distilled water?"))
		q.fill(optional("where", "At which place?", "In words."))
	}
}

func (q questions) moisture() {
	q.batch(true)
	if q.Confirm("Was it read with a meter?") {
		q.fill(blank("moisture", "What does it read?", "Such as 14 %."))
		q.Pick("depth", "Where are the pins?", false, option("deep", "deep in it"), option("skin", "in the skin"))
	} else {
		q.Pick("sheet", "What was under the taped sheet?", false, option(diary.SheetDry, "no water"), option(diary.SheetWet, "water"))
		q.fill(blank("sheet_hours", "How long was it taped?", "With its unit, such as 24 h."))
	}
	q.fill(optional("where", "At which place?", "In words."))
}

func (q questions) waste() {
	var streams []interview.Option
	for _, s := range diary.Streams {
		streams = append(streams, option(s, s))
	}
	q.Pick("stream", "Which waste?", false, streams...)
	q.fill(optional("bags", "How many bags or tubs?", "A number, such as 3."), optional("mass", "How heavy?", "With its unit, such as 12 kg."), optional("where", "Where does it stand?", "In words."))
}

func (q questions) incident() {
	q.fill(blank("what", "What happened?", "In words."), optional("done", "What was done about it?", "In words."))
}

func (q questions) prime() {
	q.batch(true)
	q.fill(optional("product", "What class of first coat?", "In words, such as a primer whose label bears alkali."))
}
