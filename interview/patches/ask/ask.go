// Package ask puts the questions of an entry about a test patch, one after the other.
package ask

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"patchfirst/interview"
	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/rules"
)

var putOn = []interview.Blank{
	{Key: "patch", Text: "What is the label of the new patch?", Help: "Such as A1. Each patch has its own."},
	{Key: "thickness", Text: "How thick is the wet paste?", Help: "With its unit, such as 3 mm.", Optional: true},
	{Key: "where", Text: "Where is it, so that anyone finds it?", Help: "In words.", Optional: true},
}

var seen = []interview.Blank{
	{Key: "layers_left", Text: "How many coats are left, in the worst place of the patch?", Help: "0 is clean.", Optional: true},
	{Key: "harm", Text: "What harm is seen?", Help: "Look for raised grain, a soft face, changed colour. Type none if there is none.", Optional: true},
	{Key: "ph", Text: "What pH does the surface read?", Help: "A number, such as 7.5.", Optional: true},
}

var control = []interview.Blank{
	{Key: "where", Text: "Where is the untouched spot?", Help: "In words; of the same material.", Optional: true},
	{Key: "ph", Text: "What pH does it read?", Help: "A number, such as 6.5."},
}

var (
	passes  = interview.Blank{Key: "passes", Text: "How often was the paste put on so far?", Help: "1 is once.", Optional: true}
	surface = interview.Blank{Key: "surface_temp", Text: "What is the temperature of the surface?", Help: "With its unit, such as 12 C or 54 F.", Optional: true}
	because = interview.Blank{Key: "because", Text: "What was wrong with it?", Help: "In words."}
)

// Keep asks for an entry of a part and writes it to the job file. What is possible and yet unlikely is asked about; if it
// is not right nothing is written, and the job.DoubtError returned. Otherwise errors are those of Draft and patches.Keep.
func Keep(ctx context.Context, p interview.Prompter, b *rules.Base, path, element string, now time.Time) (*job.Kept, error) {
	j, err := job.ReadFile(b, path, nil)
	if err != nil {
		return nil, err
	}
	e, err := j.NeedElement(element)
	if err != nil {
		return nil, err
	}
	record, err := patches.ReadRecord(b, path, e.Log)
	if err != nil {
		return nil, err
	}
	form, err := ask(ctx, p, b, record)
	if err != nil {
		return nil, err
	}
	return form.Settle(func(draft job.Draft) (*job.Kept, error) { return patches.Keep(b, path, e.Name, draft, now) })
}

// Draft asks for an entry: that a patch was put on, what is seen of one or of an untouched spot, or that an entry was
// wrong. It returns interview.ErrStopped or
// interview.ErrInputEnded if there is no answer to come.
func Draft(ctx context.Context, p interview.Prompter, b *rules.Base, r *patches.Record) (job.Draft, error) {
	form, err := ask(ctx, p, b, r)
	if err != nil {
		return nil, err
	}
	return form.Draft, form.Err
}

func ask(ctx context.Context, p interview.Prompter, b *rules.Base, r *patches.Record) (*interview.Form, error) {
	q := questions{interview.NewForm(ctx, p), b, r}
	const amend = "amend"
	q.Pick("kind", "What is to be recorded?", false, option(patches.PutOn, "a patch was put on"), option(patches.LookAt, "a look at a patch"),
		option(patches.Control, "a reading of an untouched spot"), option(amend, "an entry that stands in the record was wrong"))
	var err error
	switch q.Draft["kind"] {
	case patches.PutOn:
		q.putOn()
	case patches.LookAt:
		err = q.look()
	case patches.Control:
		q.Fill(patches.CheckField, control...)
	case amend:
		err = q.amend()
	}
	if err != nil {
		return nil, errors.Join(q.Err, err)
	}
	if q.Draft["kind"] != job.Strike {
		q.Fill(patches.CheckField, surface)
		if q.Draft["corrects"] == "" {
			q.Fill(patches.CheckField, interview.When)
		}
	}
	q.Fill(patches.CheckField, interview.Writer)
	return q.Form, nil
}

type questions struct {
	*interview.Form
	base   *rules.Base
	record *patches.Record
}

func option(id, label string) interview.Option { return interview.Option{ID: id, Label: label} }

func (q questions) putOn() {
	var methods []interview.Option
	for _, m := range q.base.Methods {
		if !m.Keeps && !m.LastResort && m.AlwaysRefused == "" {
			methods = append(methods, option(m.ID, m.Label))
		}
	}
	q.Pick("method", "Which method?", false, methods...)
	q.Fill(patches.CheckField, putOn...)
	q.Pick("area", "On which area?", true, option(patches.Worst, "the worst build-up"), option(patches.Soundest, "the soundest"))
}

func (q questions) look() error {
	var labels []interview.Option
	for _, patch := range q.record.Patches {
		labels = append(labels, option(patch.Label, "patch "+patch.Label))
	}
	if len(labels) == 0 {
		return errors.New("no patch was put on yet: record that first")
	}
	q.Pick("patch", "Which patch?", false, labels...)
	q.Fill(patches.CheckField, seen[:1]...)
	q.Pick("lifts", "How does the coat lift?", true, option(patches.Easily, "easily"), option(patches.WithWork, "with work"), option(patches.Not, "not"))
	q.Fill(patches.CheckField, seen[1:]...)
	if p := q.record.Patch(q.Draft["patch"]); p != nil && p.Thickness > 0 {
		q.Pick("edges", "How are the edges of the paste?", true, option(patches.EdgesWet, "wet"), option(patches.EdgesDrying, "drying"), option(patches.EdgesDry, "dry"))
		q.Fill(patches.CheckField, passes)
		q.Pick("off", "Was the paste taken off for good?", true, option("true", "yes"), option("false", "no"))
		if q.Draft["off"] == "false" {
			delete(q.Draft, "off")
		}
	}
	return nil
}

// amend asks which entry was wrong, why, and what is to stand in its place.
func (q questions) amend() error {
	var entries []interview.Option
	kinds := map[string]string{}
	for _, e := range q.record.Entries {
		if words := map[string]string{patches.PutOn: "patch put on", patches.LookAt: "look", patches.Control: "untouched spot"}[e.Kind]; words != "" {
			id := strconv.Itoa(e.ID)
			label := e.Fields.Text("patch")
			entries, kinds[id] = append(entries, option(id, strings.TrimSpace(fmt.Sprintf("entry %d, %s: %s %s", e.ID, e.At.Format("2 Jan 15:04"), words, label)))), e.Kind
		}
	}
	if len(entries) == 0 {
		return errors.New("there is no entry to correct yet")
	}
	q.Pick("corrects", "Which entry was wrong?", false, entries...)
	q.Fill(patches.CheckField, because)
	q.Pick("kind", "What is to become of it?", false, option(kinds[q.Draft["corrects"]], "another stands in its place: I give it whole"), option(job.Strike, "it is taken back"))
	switch q.Draft["kind"] {
	case patches.PutOn:
		q.putOn()
	case patches.LookAt:
		return q.look()
	case patches.Control:
		q.Fill(patches.CheckField, control...)
	}
	return nil
}
