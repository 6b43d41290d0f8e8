package diary

import (
	"fmt"
	"slices"
	"time"

	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/rules"
	"patchfirst/rules/source"
)

var lifts = []string{patches.Easily, patches.WithWork, patches.Not}

// reader reads the entries of the diary one by one.
type reader struct {
	base  *rules.Base
	doc   *source.Document
	diary *Diary
}

func (r reader) batch(e job.Entry) {
	b := r.applied(e)
	if b.Label == "" {
		return
	}
	if old := r.diary.Batch(b.Label); old != nil {
		r.doc.Fail(e.Fields.Place("batch"), "Give the new batch a label of its own.", "there is already a batch %q, put on in entry %d", b.Label, old.Put.ID)
		return
	}
	r.diary.Batches = append(r.diary.Batches, b)
}

func (r reader) applied(e job.Entry) *Batch {
	o := e.Fields
	b := &Batch{Label: o.Need("batch"), Confirms: o.Flag("confirm"), Area: squareMetres.Measure(o, "area"), Thickness: job.Millimetres.Measure(o, "thickness"),
		Surface: job.Celsius.Measure(o, "surface_temp"), Put: e}
	var known []string
	for _, m := range r.base.Methods {
		if !m.LastResort && m.AlwaysRefused == "" {
			known = append(known, m.ID)
		}
	}
	b.Method = o.Word("method", known...)
	return b
}

// link puts an entry where it belongs.
func (r reader) link(e job.Entry) {
	d := r.diary
	o := e.Fields
	switch e.Kind {
	case WeatherRead:
		d.Weather = append(d.Weather, weather(o, e))
	case Crew:
		o.Need("who")
		d.Crews = append(d.Crews, e)
	case HoldMet:
		d.Met = append(d.Met, r.met(e))
	case WasteOut:
		d.Waste = append(d.Waste, waste(o, e))
	case Happened:
		d.Incidents = append(d.Incidents, Incident{e, o.Need("what"), o.Text("done")})
	case Check:
		look := check(o, e)
		r.on(e, true, func(b *Batch) { b.Looks = append(b.Looks, look) })
	case Remove:
		off := removal(o, e)
		r.on(e, true, func(b *Batch) { b.Removals = append(b.Removals, off) })
	case RinseOff:
		water := rinse(o, e)
		r.on(e, false, func(b *Batch) { b.Rinses = append(b.Rinses, water) })
	case Neutralise:
		used := acid(o, e)
		r.on(e, false, func(b *Batch) { b.Acids = append(b.Acids, used) })
	case PHRead:
		read := reading(o, e)
		if read.Spot != OnSurface {
			d.Readings = append(d.Readings, read)
			return
		}
		r.on(e, false, func(b *Batch) { b.PH = append(b.PH, read) })
	case MoistRead:
		read := moistureRead(o, e)
		r.on(e, false, func(b *Batch) { b.Moisture = append(b.Moisture, read) })
	case PrimedWith:
		r.on(e, false, func(b *Batch) { r.prime(b, e) })
	}
}

// alone reads an entry by itself, for its mistakes.
func (r reader) alone(e job.Entry) {
	apart := r
	apart.diary = &Diary{Batches: []*Batch{{Label: e.Fields.Text("batch")}}}
	if e.Kind == Apply {
		apart.applied(e)
		return
	}
	apart.link(e)
}

func (r reader) prime(b *Batch, e job.Entry) {
	if b.Primed != nil {
		if e.Fields.Get("batch") != nil {
			r.doc.Fail(e.Fields.Get("batch"), "Correct the one that is wrong.", "batch %q was primed before, in entry %d", b.Label, b.Primed.Entry.ID)
		}
		return
	}
	b.Primed = &Prime{e, e.Fields.Text("product")}
}

// on hands the batch of an entry to a function. An entry without a batch is of the only one; or, if its kind allows that,
// of all that were off by then and not primed.
func (r reader) on(e job.Entry, one bool, do func(*Batch)) {
	var there []*Batch
	var labels []string
	for _, b := range r.diary.Batches {
		_, off := b.Off() // as of the entry, since the entries come by time
		if !b.Put.At.After(e.At) && (one || off && b.Primed == nil) {
			there = append(there, b)
		}
		labels = append(labels, b.Label)
	}
	label, at := e.Fields.Text("batch"), e.Fields.Place("batch")
	if label == "" {
		switch {
		case len(labels) == 0:
			r.doc.Fail(at, "Enter first what was put on: kind: apply.", "no batch was put on yet")
		case len(there) == 0:
			r.doc.Fail(at, "Add batch: with its label.", "no batch was off by then, and not primed")
		case one && len(there) > 1:
			r.doc.Fail(at, "Add batch: with its label.", "there are %d batches: which one is meant?", len(there))
		default:
			for _, b := range there {
				do(b)
			}
		}
		return
	}
	b := r.diary.Batch(label)
	switch {
	case b == nil && len(labels) == 0:
		r.doc.Fail(at, "Enter first what was put on: kind: apply.", "no batch %q was put on", label)
	case b == nil:
		r.doc.Fail(at, rules.DidYouMean(label, labels), "no batch %q was put on", label)
	case !e.At.IsZero() && e.At.Before(b.Put.At):
		r.doc.Fail(e.Fields.Place("at"), "Correct the one that is wrong.", "entry %d is of batch %s before it was put on, at %s", e.ID, label, b.Put.At.Format(time.RFC3339))
	default:
		do(b)
	}
}

func (r reader) met(e job.Entry) Met {
	m := Met{e, e.Fields.Need("hold")}
	var known []string
	for _, n := range r.base.Notes {
		if n.Kind == rules.Hold && !measured(r.base, n.ID) {
			known = append(known, n.ID)
		}
	}
	switch at := e.Fields.Place("hold"); {
	case m.Hold == "" || slices.Contains(known, m.Hold):
	case measured(r.base, m.Hold):
		r.doc.Fail(at, "Enter the readings; the diary then says whether it is passed.", "the hold point %q is passed by readings, not by word", m.Hold)
	default:
		r.doc.Fail(at, rules.DidYouMean(m.Hold, known), "there is no hold point %q", m.Hold)
	}
	return m
}

// patchHold is the hold point that test patches pass.
const patchHold = "patch_passed"

// measured reports whether readings or patches pass a hold point.
func measured(b *rules.Base, hold string) bool {
	return hold == patchHold || slices.ContainsFunc(b.Limits, func(l *rules.Limit) bool { return l.Hold == hold })
}

// String names a batch for people.
func (b *Batch) String() string {
	if b.Confirms {
		return fmt.Sprintf("confirming patch %s", b.Label)
	}
	return "batch " + b.Label
}

// ToTick lists the hold points that somebody must answer for, and nobody has yet: those that the decision has for some
// method, or all of the base where the part is not decided.
func ToTick(b *rules.Base, d *Diary, decision *rules.Decision) (notes []*rules.Note) {
	for _, n := range b.Notes {
		met := slices.ContainsFunc(d.Met, func(m Met) bool { return m.Hold == n.ID })
		if n.Kind == rules.Hold && !met && !measured(b, n.ID) && asked(decision, n) {
			notes = append(notes, n)
		}
	}
	return notes
}

func asked(d *rules.Decision, n *rules.Note) bool {
	return d == nil || slices.ContainsFunc(d.Methods, func(o *rules.Outcome) bool { return o.Has(n.Kind, n.ID) })
}
