// Package patches looks after the test patches of a part: the record of what was put on and seen, what it shows of each
// method, what to do next, and the plan of patches to make. Nothing here lifts a refusal: what may be patched is asked
// of the rule base. What a figure rests on stands in figures.yaml.
//
// A record is kept in the log of the part, one entry for each patch that was put on and each look at it. It may hold
// mistakes that only its writer can settle: those are Questions, and a reading shows them.
package patches

import (
	"slices"
	"time"

	"gopkg.in/yaml.v3"

	"patchfirst/interview/job"
	"patchfirst/rules"
	"patchfirst/rules/source"
)

// Kinds of entry that belong to patches.
const (
	PutOn   = "patch"   // a patch is put on
	LookAt  = "look"    // a patch is looked at
	Control = "control" // an untouched spot of the same material is read
)

// Record is what the log of a part says of its patches, corrections done.
type Record struct {
	Patches  []*Patch // in the order of the time they were put on
	Controls []Look
	Entries  []job.Entry // all standing entries, in the order of the log
	Written  []job.Entry // every entry, corrected ones too
}

// Patch is one trial of one method on one place.
type Patch struct {
	Label     string
	Method    string
	Thickness float64 // of the wet paste in mm; 0: none, or not measured
	Area      string  // Worst, Soundest or empty
	Where     string
	Put       job.Entry
	Surface   *float64 // temperature in °C when it was put on
	Looks     []Look   // by time
}

// Areas of the part, by its build-up.
const (
	Worst    = "worst"
	Soundest = "soundest"
)

// Look is what was seen of a patch, or of the untouched spot, at one time. What was not looked at is nil or empty.
type Look struct {
	Entry      job.Entry
	LayersLeft *float64
	Lifts      string // Easily, WithWork, Not
	Harm       string // what was seen; NoHarm: looked for, and none
	PH         *float64
	Surface    *float64 // temperature in °C
	Passes     int      // applications so far; 0: not counted
	Edges      string   // EdgesWet, EdgesDrying, EdgesDry: of the paste under its cover
	Off        bool     // the paste was taken off for good
}

// How a coat lifts.
const (
	Easily   = "easily"
	WithWork = "with_work"
	Not      = "not"
)

// Edges of the paste. Only dry ones spoil a patch; drying ones are wetted in time.
const (
	EdgesWet    = "wet"
	EdgesDrying = "drying"
	EdgesDry    = "dry"
)

// NoHarm says that harm was looked for and none was seen.
const NoHarm = job.NoHarm

// Harmed reports whether harm was seen.
func (l Look) Harmed() bool { return l.Harm != "" && l.Harm != NoHarm }

// Clean reports whether no coat was left.
func (l Look) Clean() bool { return l.LayersLeft != nil && *l.LayersLeft == 0 }

// NotClean reports whether some coat was left.
func (l Look) NotClean() bool { return l.LayersLeft != nil && *l.LayersLeft > 0 }

// Patch returns the patch of a label, or nil.
func (r *Record) Patch(label string) *Patch {
	for _, p := range r.Patches {
		if p.Label == label {
			return p
		}
	}
	return nil
}

// ReadRecord reads the log of a part. All mistakes are returned together, as rules.Problems; file is the name of the
// job file in them.
func ReadRecord(b *rules.Base, file string, log *yaml.Node) (*Record, error) {
	d := &source.Document{File: file}
	r := RecordIn(b, d, log)
	return r, d.Problems.Err()
}

// RecordIn reads the log of a part as ReadRecord does, and notes mistakes in d.
func RecordIn(b *rules.Base, d *source.Document, log *yaml.Node) *Record {
	r := &Record{Written: job.ReadLog(d, log)}
	r.Entries = job.Standing(r.Written)
	for _, e := range r.Entries {
		if e.Kind == PutOn {
			r.readPatch(b, d, e)
		}
	}
	for _, e := range r.Entries {
		switch e.Kind {
		case LookAt:
			r.readLook(d, e)
		case Control:
			r.Controls = append(r.Controls, look(d, e))
		}
	}
	// What was corrected must be readable too: it is a record.
	for _, e := range r.Written {
		if slices.ContainsFunc(r.Entries, func(s job.Entry) bool { return s.ID == e.ID }) {
			continue
		}
		switch e.Kind {
		case PutOn:
			patch(b, d, e)
		case LookAt, Control:
			look(d, e)
		}
	}
	byTime := func(a, b job.Entry) int {
		if c := a.At.Compare(b.At); c != 0 {
			return c
		}
		return a.ID - b.ID
	}
	slices.SortFunc(r.Patches, func(a, b *Patch) int { return byTime(a.Put, b.Put) })
	for _, p := range r.Patches {
		slices.SortFunc(p.Looks, func(a, b Look) int { return byTime(a.Entry, b.Entry) })
	}
	return r
}

func (r *Record) readPatch(b *rules.Base, d *source.Document, e job.Entry) {
	p := patch(b, d, e)
	if p.Label == "" {
		return
	}
	if old := r.Patch(p.Label); old != nil {
		d.Fail(e.Fields.Place("patch"), "Give the new patch a label of its own, on a fresh place.", "there is already a patch %q, put on in entry %d", p.Label, old.Put.ID)
		return
	}
	r.Patches = append(r.Patches, p)
}

func patch(b *rules.Base, d *source.Document, e job.Entry) *Patch {
	o := e.Fields
	p := &Patch{Label: o.Need("patch"), Where: o.Text("where"), Put: e, Surface: job.Celsius.Measure(o, "surface_temp"), Area: job.ChoiceOf(o, "area", Worst, Soundest)}
	var known []string
	for _, m := range b.Methods {
		if !m.LastResort && !m.Keeps && m.AlwaysRefused == "" {
			known = append(known, m.ID)
		}
	}
	p.Method = o.Word("method", known...)
	if t := job.Millimetres.Measure(o, "thickness"); t != nil {
		p.Thickness = *t
	}
	return p
}

func (r *Record) readLook(d *source.Document, e job.Entry) {
	l := look(d, e)
	label := e.Fields.Need("patch")
	if label == "" {
		return
	}
	p := r.Patch(label)
	if p == nil {
		var known []string
		for _, p := range r.Patches {
			known = append(known, p.Label)
		}
		fix := rules.DidYouMean(label, known)
		if len(known) == 0 {
			fix = "Record first that the patch was put on: kind: patch."
		}
		d.Fail(e.Fields.Place("patch"), fix, "no patch %q was put on", label)
		return
	}
	if !e.At.IsZero() && e.At.Before(p.Put.At) {
		d.Fail(e.Fields.Place("at"), "Correct the one that is wrong.", "entry %d looks at %s before it was put on, at %s", e.ID, label, p.Put.At.Format(time.RFC3339))
		return
	}
	p.Looks = append(p.Looks, l)
}

func look(d *source.Document, e job.Entry) Look {
	o := e.Fields
	return Look{
		Entry: e, Lifts: job.ChoiceOf(o, "lifts", Easily, WithWork, Not), Harm: job.Harm(o), Off: o.Get("off") != nil && o.Flag("off"),
		LayersLeft: job.Coats.Measure(o, "layers_left"), PH: job.Acidity.Measure(o, "ph"), Surface: job.Celsius.Measure(o, "surface_temp"),
		Edges:  job.ChoiceOf(o, "edges", EdgesWet, EdgesDrying, EdgesDry),
		Passes: int(pointed(job.Passes.Measure(o, "passes"))),
	}
}

func pointed(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}
