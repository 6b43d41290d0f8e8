package diary

import (
	"math"
	"strings"
	"time"

	"patchfirst/interview/job"
	"patchfirst/rules"
)

// Names of the forms of the JSON output; one changes when a field changes its meaning or goes away.
const (
	Schema      = "patchfirst/diary/1"
	EntrySchema = "patchfirst/diary-entry/1"
)

// Data is a diary with what may be done, as data.
type Data struct {
	AsOf      time.Time      `json:"as_of"`
	Method    string         `json:"method,omitempty"`
	Entries   []EntryData    `json:"entries"`
	Batches   []BatchData    `json:"batches"`
	Now       []ActionData   `json:"now"`
	Passed    []PassedData   `json:"passed_although"`
	Questions []job.Question `json:"questions"`
}

// EntryData is an entry as it was written, without those that were corrected.
type EntryData struct {
	ID       int               `json:"id"`
	Kind     string            `json:"kind"`
	At       time.Time         `json:"at"`
	By       string            `json:"by"`
	Corrects int               `json:"corrects,omitempty"`
	Because  string            `json:"because,omitempty"`
	Note     string            `json:"note,omitempty"`
	Sure     bool              `json:"sure,omitempty"`
	Fields   map[string]string `json:"fields"`
}

// BatchData is where a batch stands; null is not yet, or not read.
type BatchData struct {
	Label      string     `json:"label"`
	Method     string     `json:"method"`
	Confirms   bool       `json:"confirms"`
	Area       *float64   `json:"area_m2"`
	Thickness  *float64   `json:"thickness_mm"`
	PutOn      time.Time  `json:"put_on"`
	Off        *time.Time `json:"taken_off"`
	LayersLeft *float64   `json:"layers_left"`
	Harm       string     `json:"harm,omitempty"`
	Primed     *time.Time `json:"primed"`
}

// ActionData is a piece of work that is next.
type ActionData struct {
	Do    Doing         `json:"do"`
	Batch string        `json:"batch,omitempty"`
	May   bool          `json:"may"`
	From  *time.Time    `json:"from"`
	By    *time.Time    `json:"by"`
	Waits []FindingData `json:"waits_for"`
	Late  []FindingData `json:"overdue"`
	Kept  []FindingData `json:"kept"`
	Says  []SayData     `json:"says"`
}

// FindingData is a reading held against a limit or a hold point; a null value was not read, or is none.
type FindingData struct {
	ID      string              `json:"id"`
	Hold    string              `json:"hold,omitempty"`
	Reading string              `json:"reading"`
	Value   *float64            `json:"value"`
	Limit   string              `json:"limit,omitempty"`
	Say     string              `json:"say,omitempty"`
	Because string              `json:"because,omitempty"`
	Sources []string            `json:"sources"`
	If      []rules.Requirement `json:"if,omitempty"`
	Else    bool                `json:"else,omitempty"` // it may hold where If is not met
}

// SayData is something to know about an action.
type SayData struct {
	Text    string   `json:"text"`
	Sources []string `json:"sources"`
}

// PassedData is an entry that was written although something should have waited.
type PassedData struct {
	Entry int           `json:"entry"`
	Waits []FindingData `json:"waited_for"`
}

// Data returns a report as data, as of a time.
func (r *Report) Data(now time.Time) Data {
	out := Data{
		AsOf: now, Entries: []EntryData{}, Batches: []BatchData{}, Now: []ActionData{}, Passed: []PassedData{},
		Questions: list(r.Questions),
	}
	if r.Method != nil {
		out.Method = r.Method.ID
	}
	for _, e := range r.Diary.Ordered() {
		out.Entries = append(out.Entries, entryData(e))
	}
	for _, b := range r.Diary.Batches {
		d := BatchData{
			Label: b.Label, Method: b.Method, Confirms: b.Confirms, Area: b.Area, Thickness: b.Thickness, PutOn: b.Put.At,
			LayersLeft: b.layersLeft(), Harm: b.harm(),
		}
		if off, ok := b.Off(); ok {
			d.Off = &off
		}
		if b.Primed != nil {
			d.Primed = &b.Primed.Entry.At
		}
		out.Batches = append(out.Batches, d)
	}
	for _, a := range r.Actions {
		d := ActionData{
			Do: a.Do, May: a.May(now), From: moment(a.From), By: moment(a.By), Waits: findings(a.Waits), Late: findings(a.Late),
			Kept: findings(a.Kept), Says: []SayData{},
		}
		if a.Batch != nil {
			d.Batch = a.Batch.Label
		}
		for _, s := range a.Says {
			d.Says = append(d.Says, SayData{s.Text, list(s.Sources)})
		}
		out.Now = append(out.Now, d)
	}
	for _, p := range r.Passed {
		out.Passed = append(out.Passed, PassedData{p.Entry.ID, findings(p.Waits)})
	}
	return out
}

func entryData(e job.Entry) EntryData {
	d := EntryData{
		ID: e.ID, Kind: e.Kind, At: e.At, By: e.By, Corrects: e.Corrects, Because: e.Because, Note: e.Note, Sure: e.Sure,
		Fields: map[string]string{},
	}
	for _, key := range e.Fields.Keys() {
		if !job.Common(key) {
			d.Fields[key] = strings.TrimSpace(e.Fields.Text(key))
		}
	}
	return d
}

func findings(all []Finding) []FindingData {
	out := []FindingData{}
	for _, f := range all {
		d := FindingData{f.ID, f.Hold, f.Reading, f.Value, f.Limit, f.Say, f.Because, list(f.Sources), f.If, f.Else}
		if d.Value != nil && math.IsInf(*d.Value, 0) {
			d.Value = nil
		}
		out = append(out, d)
	}
	return out
}

func moment(t time.Time) *time.Time {
	if t.IsZero() {
		return nil
	}
	return &t
}

// list makes a nil list an empty one, so that JSON shows [].
func list[T any](l []T) []T {
	if l == nil {
		return []T{}
	}
	return l
}
