// Package ask puts the questions of an entry about a test patch, one after the other.
package ask

import (
	"context"
	"errors"
	"slices"
	"strings"
	"time"

	"patchfirst/interview"
	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/rules"
)

// line is a question whose answer is typed in words; an optional one may be left open.
type line struct {
	key, text, help string
	optional        bool
}

var putOn = []line{
	{"patch", "What is the label of the new patch?", "Such as A1. Each patch has its own.", false},
	{"thickness", "How thick is the wet paste?", "With its unit, such as 3 mm.", true},
	{"where", "Where is it, so that anyone finds it?", "In words.", true},
}

var seen = []line{
	{"layers_left", "How many coats are left, in the worst place of the patch?", "0 is clean.", true},
	{"harm", "What harm is seen?", "Look for raised grain, a soft face, changed colour. Type none if there is none.", true},
	{"ph", "What pH does the surface read?", "A number, such as 7.5.", true},
}

var always = []line{
	{"surface_temp", "What is the temperature of the surface?", "With its unit, such as 12 C or 54 F.", true},
	{"by", "Who writes this?", "A name or initials.", false},
}

// Keep asks for an entry of a part and writes it to the job file. What is possible and yet unlikely is asked about; if it
// is not right nothing is written, and the job.DoubtError returned. Otherwise errors are those of Draft and
// patches.Keep.
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
	draft, err := Draft(ctx, p, b, record)
	if err != nil {
		return nil, err
	}
	kept, err := patches.Keep(b, path, e.Name, draft, now)
	var doubt *job.DoubtError
	if !errors.As(err, &doubt) {
		return kept, err
	}
	a := asker{ctx: ctx, p: p, draft: job.Draft{}}
	for _, q := range doubt.Questions {
		p.Say(q.Ask)
	}
	a.pick("sure", "Is it right as it stands?", false, interview.Option{ID: "yes", Label: "yes"}, interview.Option{ID: "no", Label: "no"})
	if a.err != nil {
		return nil, a.err
	}
	if a.draft["sure"] == "no" {
		return nil, doubt
	}
	draft.Mark("sure", true)
	return patches.Keep(b, path, e.Name, draft, now)
}

// Draft asks for an entry: that a patch was put on, or what is seen of one. It returns interview.ErrStopped or
// interview.ErrInputEnded if there is no answer to come.
func Draft(ctx context.Context, p interview.Prompter, b *rules.Base, r *patches.Record) (job.Draft, error) {
	a := asker{ctx: ctx, p: p, draft: job.Draft{}}
	a.pick("kind", "What is to be recorded?", false, interview.Option{ID: patches.PutOn, Label: "a patch was put on"}, interview.Option{ID: patches.LookAt, Label: "a look at a patch"})
	if a.draft["kind"] == patches.PutOn {
		var methods []interview.Option
		for _, m := range b.Methods {
			if !m.Keeps && !m.LastResort && m.AlwaysRefused == "" {
				methods = append(methods, interview.Option{ID: m.ID, Label: m.Label})
			}
		}
		a.pick("method", "Which method?", false, methods...)
		a.lines(putOn)
		a.pick("area", "On which area?", true, interview.Option{ID: patches.Worst, Label: "the worst build-up"}, interview.Option{ID: patches.Soundest, Label: "the soundest"})
	} else {
		var labels []interview.Option
		for _, patch := range r.Patches {
			labels = append(labels, interview.Option{ID: patch.Label, Label: "patch " + patch.Label})
		}
		if len(labels) == 0 {
			return nil, errors.Join(a.err, errors.New("no patch was put on yet: record that first"))
		}
		a.pick("patch", "Which patch?", false, labels...)
		a.lines(seen[:1])
		a.pick("lifts", "How does the coat lift?", true, interview.Option{ID: patches.Easily, Label: "easily"}, interview.Option{ID: patches.WithWork, Label: "with work"}, interview.Option{ID: patches.Not, Label: "not"})
		a.lines(seen[1:])
	}
	a.lines(always)
	return a.draft, a.err
}

// asker asks until something stops it.
type asker struct {
	ctx    context.Context
	p      interview.Prompter
	draft  job.Draft
	number int
	err    error
}

func (a *asker) ask(key string, q *interview.Ask) {
	if a.err != nil {
		return
	}
	a.number++
	q.Number, q.Heading = a.number, "the entry"
	reply, err := a.p.Ask(a.ctx, q)
	if a.err = err; err != nil || reply.Act != interview.Answered {
		return
	}
	a.draft[key] = strings.Join(append(slices.Clone(reply.Values), strings.TrimSpace(reply.Line)), "")
}

func (a *asker) pick(key, text string, optional bool, options ...interview.Option) {
	a.ask(key, &interview.Ask{Text: text, Kind: interview.One, Options: options, Unknown: optional})
}

func (a *asker) lines(lines []line) {
	for _, l := range lines {
		a.ask(l.key, &interview.Ask{Text: l.text, Help: l.help, Kind: interview.Line, Unknown: l.optional, Check: func(r interview.Reply) error {
			return patches.CheckField(l.key, r.Line)
		}})
	}
}
