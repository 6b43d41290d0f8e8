// Package diary keeps the site diary of a part: the weather, what was put on, seen under the cover, taken off, rinsed,
// neutralised, read and primed. From it, and from the limits of the rule base, it says what may be done now, what must
// wait, and why. A hold point is never passed silently: what was not read, or read beyond its limit, is said with the
// reading, the limit and its source.
//
// The diary stands in the log of the part beside the record of its test patches; see package patches. Nothing in it is
// ever changed: a correction is a new entry.
package diary

import (
	"slices"
	"time"

	"gopkg.in/yaml.v3"

	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/rules"
	"patchfirst/rules/source"
)

// Diary is what the log of a part says, corrections done. Lists are by time.
type Diary struct {
	Patches   *patches.Record
	Entries   []job.Entry // all standing entries, in the order of the log
	Batches   []*Batch
	Weather   []Weather
	Readings  []PH // of untouched spots and of the rinse water
	Waste     []Waste
	Incidents []Incident
	Crews     []job.Entry
	Met       []Met
}

// Batch is so much of the part as is worked at one time.
type Batch struct {
	Label     string
	Method    string
	Confirms  bool     // it is the confirming patch
	Area      *float64 // m²
	Thickness *float64 // mm
	Surface   *float64 // °C when it was put on
	Put       job.Entry
	Looks     []Look
	Removals  []Removal
	Rinses    []Rinse
	Acids     []Acid
	PH        []PH
	Moisture  []Moisture
	Primed    *Prime
}

// Ordered returns the standing entries by time.
func (d *Diary) Ordered() []job.Entry {
	ordered := slices.Clone(d.Entries)
	slices.SortStableFunc(ordered, func(a, b job.Entry) int { return a.At.Compare(b.At) })
	return ordered
}

// Batch returns the batch of a label, or nil.
func (d *Diary) Batch(label string) *Batch {
	for _, b := range d.Batches {
		if b.Label == label {
			return b
		}
	}
	return nil
}

// Off returns when the last of the batch was taken off; false if some of it is still on. A removal that tells no area is of
// all that was left.
func (b *Batch) Off() (time.Time, bool) {
	if len(b.Removals) == 0 {
		return time.Time{}, false
	}
	const nearly = 0.99
	off, all := b.Removed()
	if !all && b.Area != nil && off < *b.Area*nearly {
		return time.Time{}, false
	}
	return b.Removals[len(b.Removals)-1].Entry.At, true
}

// Removed returns how many m² were taken off so far, and whether some removal was of all that was left.
func (b *Batch) Removed() (area float64, all bool) {
	for _, r := range b.Removals {
		if r.Area == nil {
			all = true
			continue
		}
		area += *r.Area
	}
	return area, all
}

// Wetted returns when water last came on the batch: with a rinse or with acid, or else with the paste.
func (b *Batch) Wetted() time.Time {
	at := b.Put.At
	if off, ok := b.Off(); ok {
		at = off
	}
	for _, r := range b.Rinses {
		at = later(at, r.Entry.At)
	}
	for _, a := range b.Acids {
		at = later(at, a.Entry.At)
	}
	return at
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// Read reads the log of a part. All mistakes are returned together, as rules.Problems; file is the name of the job file in
// them.
func Read(b *rules.Base, file string, log *yaml.Node) (*Diary, error) {
	doc := &source.Document{File: file}
	d := read(b, doc, log)
	return d, doc.Problems.Err()
}

func read(b *rules.Base, doc *source.Document, log *yaml.Node) *Diary {
	d := &Diary{Patches: patches.RecordIn(b, doc, log)}
	d.Entries = d.Patches.Entries
	ordered := d.Ordered()
	r := reader{base: b, doc: doc, diary: d}
	// Batches first: an entry written late may stand before the batch that it names.
	for _, e := range ordered {
		if e.Kind == Apply {
			r.batch(e)
		}
	}
	for _, e := range ordered {
		r.link(e)
	}
	// What was corrected must be readable too: it is a record.
	for _, e := range d.Patches.Written {
		if !slices.ContainsFunc(d.Entries, func(s job.Entry) bool { return s.ID == e.ID }) {
			r.alone(e)
		}
	}
	return d
}

// AsOf returns the entries of a log that were written before entry number `before` (0: all of them) and are dated no later
// than a time: the log as it stood then. It never changes the log.
func AsOf(log *yaml.Node, at time.Time, before int) *yaml.Node {
	if log == nil {
		return nil
	}
	out := *log
	out.Content = nil
	for _, e := range job.ReadLog(&source.Document{}, log) {
		if (before == 0 || e.ID < before) && !e.At.After(at) {
			out.Content = append(out.Content, e.Fields.Node)
		}
	}
	return &out
}
