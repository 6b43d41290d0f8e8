package job

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"gopkg.in/yaml.v3"

	"patchfirst/rules"
	"patchfirst/rules/source"
)

// Entry is one entry of the log of a part: what entries of every kind have. Entries are never changed. A correction is
// a new entry of the same kind that names the old one in Corrects and stands in its place.
type Entry struct {
	ID       int
	Kind     string
	At       time.Time // when it was done or seen; its offset from universal time is that of the clock used
	By       string
	Corrects int    // 0: corrects nothing
	Because  string // of a correction
	Note     string
	Sure     bool           // who wrote it was asked whether it is right
	Fields   *source.Object // all keys of the entry, for whoever knows its kind
}

// Strike is the kind of entry that takes another back without a new one in its place.
const Strike = "strike"

// kinds of entry, with the keys that each may have beside the common ones. A new kind of entry is a line here, and a
// reader in the package whose kind it is.
var kinds = map[string][]string{
	Strike:    {},
	"patch":   {"patch", "method", "thickness", "area", "where", "surface_temp"},
	"look":    {"patch", "layers_left", "lifts", "harm", "ph", "surface_temp", "edges", "passes", "off"},
	"control": {"where", "ph", "surface_temp"},

	"weather":    {"air_temp", "surface_temp", "humidity", "rain", "rain_at", "forecast_low"},
	"crew":       {"who"},
	"met":        {"hold"},
	"apply":      {"batch", "method", "confirm", "area", "thickness", "surface_temp"},
	"check":      {"batch", "layers_left", "lifts", "harm", "edges", "surface_temp"},
	"remove":     {"batch", "area", "took", "layers_left", "harm"},
	"rinse":      {"batch", "rinses", "water"},
	"neutralise": {"batch", "with", "strength", "volume"},
	"ph":         {"batch", "spot", "where", "ph", "strip", "meter", "dry"},
	"moisture":   {"batch", "where", "moisture", "depth", "sheet", "sheet_hours"},
	"waste":      {"stream", "bags", "mass", "where"},
	"incident":   {"what", "done"},
	"prime":      {"batch", "product"},
}

var common = []string{"id", "kind", "at", "by", "corrects", "because", "note", "sure"}

// ReadLog reads the entries of a log, in their order. Mistakes are noted in d with their places; nil is a log without
// entries.
func ReadLog(d *source.Document, log *yaml.Node) []Entry {
	var entries []Entry
	for _, n := range d.Items(log, "a log") {
		if e, ok := ReadEntry(d, n); ok {
			checkPlace(d, entries, e)
			entries = append(entries, e)
		}
	}
	return entries
}

// ReadEntry reads one entry by itself. It reports whether the entry has a known kind, and so can be read further.
func ReadEntry(d *source.Document, n *yaml.Node) (Entry, bool) {
	known := make([]string, 0, len(kinds))
	for k := range kinds {
		known = append(known, k)
	}
	slices.Sort(known)
	kind := ""
	for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == "kind" {
			kind = n.Content[i+1].Value
		}
	}
	keys, ok := kinds[kind]
	if !ok {
		for _, k := range known {
			keys = append(keys, kinds[k]...)
		}
	}
	o := d.Object(n, "an entry of the log", append(slices.Clone(common), keys...)...)
	if o == nil {
		return Entry{}, false
	}
	e := Entry{Kind: o.Word("kind", known...), By: o.Need("by"), Because: o.Text("because"), Note: o.Text("note"), Sure: o.Flag("sure"), Fields: o}
	e.ID = number(o, "id", true)
	e.Corrects = number(o, "corrects", false)
	e.At = Moment(o, "at")
	if e.Corrects > 0 && e.Because == "" {
		d.Fail(o.Place("corrects"), "Add because: ...", "a correction says why")
	}
	if e.Kind == Strike && o.Get("corrects") == nil {
		d.Fail(o.Node, "Add corrects: with the id of the entry.", "a strike names the entry that it takes back")
	}
	return e, ok
}

func number(o *source.Object, key string, needed bool) int {
	n := o.Get(key)
	if n == nil && !needed {
		return 0
	}
	v, err := strconv.Atoi(o.Need(key))
	if n != nil && (err != nil || v < 1) {
		o.Doc.Fail(n, "Write a whole number from 1 on.", "%q must be the number of an entry", key)
		return 0
	}
	return v
}

// Moment reads a date and time with its offset from universal time; the zero time if there is none.
func Moment(o *source.Object, key string) time.Time {
	text := o.Need(key)
	if text == "" {
		return time.Time{}
	}
	at, err := time.Parse(time.RFC3339, text)
	if err == nil {
		return at
	}
	fix := "Write it as 2026-06-01T09:30:00+01:00."
	for _, layout := range []string{"2006-01-02T15:04:05", "2006-01-02T15:04", "2006-01-02 15:04", "2006-01-02 15:04:05"} {
		if _, err := time.Parse(layout, text); err == nil {
			fix = "Add the offset of the clock from universal time: " + strings.Replace(text, " ", "T", 1) + "+01:00 in British summer, Z for universal time."
		}
	}
	o.Doc.Fail(o.Get(key), fix, "%q is not a date and time with its offset", text)
	return time.Time{}
}

// checkPlace checks an entry against those before it.
func checkPlace(d *source.Document, before []Entry, e Entry) {
	last := 0
	if len(before) > 0 {
		last = before[len(before)-1].ID
	}
	if e.ID > 0 && e.ID <= last {
		d.Fail(e.Fields.Place("id"), fmt.Sprintf("Number it %d.", last+1), "the entry has the number %d, and the one before it %d", e.ID, last)
	}
	if e.Corrects == 0 {
		return
	}
	at := e.Fields.Place("corrects")
	i := slices.IndexFunc(before, func(b Entry) bool { return b.ID == e.Corrects })
	by := slices.IndexFunc(before, func(b Entry) bool { return b.Corrects == e.Corrects })
	switch {
	case i < 0:
		d.Fail(at, "Name an entry that stands above.", "there is no entry %d to correct", e.Corrects)
	case by >= 0:
		d.Fail(at, fmt.Sprintf("Correct entry %d.", before[by].ID), "entry %d was corrected before, by entry %d", e.Corrects, before[by].ID)
	case e.Kind != before[i].Kind && e.Kind != Strike:
		d.Fail(at, fmt.Sprintf("Write kind: %s, or take it back with kind: %s.", before[i].Kind, Strike), "entry %d is of the kind %s, and this one of the kind %s", e.Corrects, before[i].Kind, e.Kind)
	}
}

// Standing leaves out the entries that others correct, and those that only take others back.
func Standing(entries []Entry) []Entry {
	corrected := map[int]bool{}
	for _, e := range entries {
		corrected[e.Corrects] = true
	}
	return slices.DeleteFunc(slices.Clone(entries), func(e Entry) bool { return corrected[e.ID] || e.Kind == Strike })
}

// Append adds an entry to the log of the part. The entries that are there stay as they were written.
func (e *Element) Append(entry *yaml.Node) {
	if e.Log == nil {
		e.Log = &yaml.Node{Kind: yaml.SequenceNode, Tag: "!!seq"}
	}
	if len(e.Log.Content) == 0 {
		e.Log.Style = 0 // [] would put the entry on its own line
	}
	e.Log.Content = append(e.Log.Content, entry)
}

// NextEntry returns the number of the next entry of the log.
func (e *Element) NextEntry() int {
	last := 0
	if e.Log == nil {
		return 1
	}
	d := &source.Document{}
	for _, entry := range ReadLog(d, e.Log) {
		last = max(last, entry.ID)
	}
	return last + 1
}

// NeedElement returns the part of a name, or the only part of the job if the name is empty.
func (j *Job) NeedElement(name string) (*Element, error) {
	names := make([]string, len(j.Elements))
	for i, e := range j.Elements {
		names[i] = e.Name
	}
	switch e := j.Element(name); {
	case e != nil:
		return e, nil
	case name == "" && len(names) == 1:
		return j.Elements[0], nil
	case len(names) == 0:
		return nil, fmt.Errorf("the job has no parts yet: add one with the survey")
	case name == "":
		return nil, fmt.Errorf("the job has %d parts: name one with --element, such as --element %q", len(names), names[0])
	}
	return nil, fmt.Errorf("the job has no part named %q. %s", name, rules.DidYouMean(name, names))
}

// Common reports whether a key is one that entries of every kind may have.
func Common(key string) bool { return slices.Contains(common, key) }
