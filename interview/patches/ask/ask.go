// Package ask puts the questions of an entry about a test patch, one after the other.
package ask

import (
	"context"
	"errors"
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

var always = []interview.Blank{
	{Key: "surface_temp", Text: "What is the temperature of the surface?", Help: "With its unit, such as 12 C or 54 F.", Optional: true},
	{Key: "by", Text: "Who writes this?", Help: "A name or initials."},
}

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

// Draft asks for an entry: that a patch was put on, or what is seen of one. It returns interview.ErrStopped or
// interview.ErrInputEnded if there is no answer to come.
func Draft(ctx context.Context, p interview.Prompter, b *rules.Base, r *patches.Record) (job.Draft, error) {
	form, err := ask(ctx, p, b, r)
	if err != nil {
		return nil, err
	}
	return form.Draft, form.Err
}

func ask(ctx context.Context, p interview.Prompter, b *rules.Base, r *patches.Record) (*interview.Form, error) {
	f := interview.NewForm(ctx, p)
	f.Pick("kind", "What is to be recorded?", false, interview.Option{ID: patches.PutOn, Label: "a patch was put on"}, interview.Option{ID: patches.LookAt, Label: "a look at a patch"})
	if f.Draft["kind"] == patches.PutOn {
		var methods []interview.Option
		for _, m := range b.Methods {
			if !m.Keeps && !m.LastResort && m.AlwaysRefused == "" {
				methods = append(methods, interview.Option{ID: m.ID, Label: m.Label})
			}
		}
		f.Pick("method", "Which method?", false, methods...)
		f.Fill(patches.CheckField, putOn...)
		f.Pick("area", "On which area?", true, interview.Option{ID: patches.Worst, Label: "the worst build-up"}, interview.Option{ID: patches.Soundest, Label: "the soundest"})
	} else {
		var labels []interview.Option
		for _, patch := range r.Patches {
			labels = append(labels, interview.Option{ID: patch.Label, Label: "patch " + patch.Label})
		}
		if len(labels) == 0 {
			return nil, errors.Join(f.Err, errors.New("no patch was put on yet: record that first"))
		}
		f.Pick("patch", "Which patch?", false, labels...)
		f.Fill(patches.CheckField, seen[:1]...)
		f.Pick("lifts", "How does the coat lift?", true, interview.Option{ID: patches.Easily, Label: "easily"}, interview.Option{ID: patches.WithWork, Label: "with work"}, interview.Option{ID: patches.Not, Label: "not"})
		f.Fill(patches.CheckField, seen[1:]...)
	}
	f.Fill(patches.CheckField, always...)
	return f, nil
}
