package explain

import (
	"maps"
	"slices"
	"strings"

	"patchfirst/rules"
)

// WhatIf is what moves when answers about a part are different.
type WhatIf struct {
	Part     string     `json:"part"`
	If       []Given    `json:"if"`
	First    Moved      `json:"first"`
	Verdicts []Moved    `json:"verdicts"`
	Findings []Moved    `json:"findings"`
	Gained   []NoteSaid `json:"gained"`
	Lost     []NoteSaid `json:"lost"`
}

// Moved is something that was one thing and is now another, and why.
type Moved struct {
	ID      string `json:"id"`
	Label   string `json:"label"`
	Was     string `json:"was"`
	Is      string `json:"is"`
	Because string `json:"because"`

	OnlyIf []rules.Requirement `json:"only_if,omitempty"` // of a method that is offered so
}

// NoteSaid is a caution, step, hold or referral of the first choice.
type NoteSaid struct {
	Kind rules.NoteKind `json:"kind"`
	ID   string         `json:"id"`
	Say  string         `json:"say"`
}

// If explains the part as it would be with other answers, each written fact=value.
func (x *Explainer) If(assignments []string) (*Explainer, error) {
	other := *x.part.Element
	e := &other
	e.Answers, e.NotKnown = maps.Clone(e.Answers), maps.Clone(e.NotKnown)
	for _, a := range assignments {
		if err := x.job.Set(x.base, e, a); err != nil {
			return nil, err
		}
	}
	then, err := decide(x.base, x.job, e)
	if err != nil {
		return nil, err
	}
	y := *x
	y.part = then
	return &y, nil
}

// WhatIf decides the part again with other answers, each written fact=value, and tells what moves.
func (x *Explainer) WhatIf(assignments []string) (*WhatIf, error) {
	y, err := x.If(assignments)
	if err != nil {
		return nil, err
	}
	then := y.part
	w := &WhatIf{Part: then.Element.Name, If: []Given{}, Verdicts: []Moved{}, Findings: []Moved{}, Gained: []NoteSaid{}, Lost: []NoteSaid{}}
	for _, f := range x.base.Facts {
		was, told := x.part.Answers[f.ID]
		is, tells := then.Answers[f.ID]
		switch {
		case !told && !tells || told && tells && Answer(f, was) == Answer(f, is):
		case tells:
			w.If = append(w.If, Given{f.ID, f.Words(), Answer(f, is)})
		default:
			w.If = append(w.If, Given{f.ID, f.Words(), "not known"})
		}
	}
	before, after := x.part.Decision, then.Decision
	w.First = Moved{ID: after.First.Method.ID, Label: after.First.Method.Label, Was: before.First.Method.Label, Is: after.First.Method.Label, Because: firstBecause(after.First.Reasons), OnlyIf: after.First.Conditions}
	for m, o := range after.Methods {
		if old := before.Methods[m]; old.Verdict != o.Verdict {
			because := firstBecause(o.Reasons)
			if o.Verdict < old.Verdict && o.Verdict != rules.Favoured {
				because = "No longer: " + firstBecause(old.Reasons)
			}
			w.Verdicts = append(w.Verdicts, Moved{o.Method.ID, o.Method.Label, old.Verdict.String(), o.Verdict.String(), because, o.Conditions})
		}
	}
	for i, l := range after.Findings {
		if old := before.Findings[i]; old.Min != l.Min || old.Max != l.Max {
			w.Findings = append(w.Findings, Moved{l.Finding.ID, l.Finding.Label, levelWords(old), levelWords(l), firstBecause(l.Rules), nil})
		}
	}
	w.Gained, w.Lost = notesOnlyIn(after.First, before.First), notesOnlyIn(before.First, after.First)
	return w, nil
}

func firstBecause(all []*rules.Rule) string {
	if len(all) == 0 {
		return ""
	}
	return all[0].Because
}

func levelWords(l rules.Level) string {
	words := strings.ReplaceAll(l.Finding.Scale[l.Max], "_", " ")
	if l.Min < l.Max {
		words = "perhaps " + words
	}
	return words
}

func notesOnlyIn(one, other *rules.Outcome) []NoteSaid {
	said := []NoteSaid{}
	for _, kind := range rules.NoteKinds {
		for _, n := range one.Notes {
			if n.Note.Kind == kind && !slices.ContainsFunc(other.Notes, func(a rules.Attached) bool { return a.Note == n.Note }) {
				said = append(said, NoteSaid{kind, n.Note.ID, n.Note.Say})
			}
		}
	}
	return said
}
