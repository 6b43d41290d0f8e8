package explain

import (
	"encoding/json"
	"io"

	"patchfirst/rules"
)

// Schema names the form of the JSON output; it changes when a field changes its meaning or goes away.
const Schema = "patchfirst/advice/1"

type jsonAdvice struct {
	Schema   string     `json:"schema"`
	Job      string     `json:"job"`
	Base     jsonBase   `json:"base"`
	Elements []jsonPart `json:"elements"`
}

type jsonBase struct {
	Version string `json:"version"`
	Digest  string `json:"digest"`
}

type jsonPart struct {
	Name        string               `json:"name"`
	First       string               `json:"first"`
	Provisional []string             `json:"provisional"`
	Stages      []jsonStage          `json:"stages"`
	Unreached   []string             `json:"unreached,omitempty"`
	Fallback    []string             `json:"fallback"`
	Findings    map[string]jsonLevel `json:"findings"`
	Methods     []jsonMethod         `json:"methods"`
	Figures     map[string]float64   `json:"figures"`
	Open        []string             `json:"open"`
	Refer       []jsonNote           `json:"refer"`
}

type jsonStage struct {
	Takes  []string `json:"takes"`
	Method string   `json:"method"`
	Others []string `json:"others"`
}

type jsonLevel struct {
	AtLeast string   `json:"at_least"`
	AtMost  string   `json:"at_most"`
	Rules   []string `json:"rules"`
}

type jsonMethod struct {
	ID         string              `json:"id"`
	Verdict    rules.Verdict       `json:"verdict"`
	Shown      rules.Shown         `json:"shown,omitempty"` // by test patches
	Until      []string            `json:"until"`
	Conditions []rules.Requirement `json:"conditions"`
	Reasons    []jsonReason        `json:"reasons"`
	Cautions   []jsonNote          `json:"cautions"`
	Steps      []jsonNote          `json:"steps"`
	Holds      []jsonNote          `json:"holds"`
}

type jsonReason struct {
	Rule    string   `json:"rule"`
	Because string   `json:"because"`
	Sources []string `json:"sources"`
}

type jsonNote struct {
	ID      string              `json:"id"`
	Gravity string              `json:"gravity,omitempty"`
	Stage   string              `json:"stage,omitempty"`
	Say     string              `json:"say"`
	Do      string              `json:"do,omitempty"`
	If      []rules.Requirement `json:"if,omitempty"`
	Else    bool                `json:"else,omitempty"` // it may hold where If is not met
	Rule    string              `json:"rule"`
	Sources []string            `json:"sources"`
}

// JSON writes the advice as data.
func (a *Advice) JSON(w io.Writer) error {
	out := jsonAdvice{Schema: Schema, Job: a.Job.Title, Base: jsonBase{a.Base.Version, a.Base.Digest}, Elements: []jsonPart{}}
	for _, p := range a.Parts {
		out.Elements = append(out.Elements, a.jsonPart(p))
	}
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(out)
}

func (a *Advice) jsonPart(p Part) jsonPart {
	d := p.Decision
	out := jsonPart{
		Name: p.Element.Name, First: d.First.Method.ID, Provisional: list(d.Provisional), Stages: []jsonStage{}, Unreached: d.Unreached,
		Fallback: ids(d.Fallback), Findings: map[string]jsonLevel{}, Figures: map[string]float64{}, Open: list(d.Open), Refer: []jsonNote{},
	}
	for _, s := range d.Stages {
		out.Stages = append(out.Stages, jsonStage{s.Rows, s.Method.Method.ID, ids(s.Others)})
	}
	for _, l := range d.Findings {
		level := jsonLevel{AtLeast: l.Finding.Scale[l.Min], AtMost: l.Finding.Scale[l.Max], Rules: []string{}}
		for _, r := range l.Rules {
			level.Rules = append(level.Rules, r.ID)
		}
		out.Findings[l.Finding.ID] = level
	}
	for _, f := range a.Base.Facts {
		if answer, ok := p.Answers[f.ID]; ok && f.Figure != "" {
			out.Figures[f.ID] = answer.Lo
		}
	}
	for _, o := range d.Methods {
		out.Methods = append(out.Methods, jsonOutcome(o))
	}
	for _, n := range d.First.Notes {
		if n.Note.Kind == rules.Refer {
			out.Refer = append(out.Refer, jsonAttached(n))
		}
	}
	return out
}

func jsonOutcome(o *rules.Outcome) jsonMethod {
	m := jsonMethod{
		ID: o.Method.ID, Verdict: o.Verdict, Shown: o.Shown, Until: list(o.Until), Conditions: list(o.Conditions),
		Reasons: []jsonReason{}, Cautions: []jsonNote{}, Steps: []jsonNote{}, Holds: []jsonNote{},
	}
	for _, r := range o.Reasons {
		m.Reasons = append(m.Reasons, jsonReason{r.ID, r.Because, r.Sources})
	}
	for _, n := range o.Notes {
		switch n.Note.Kind {
		case rules.Caution:
			m.Cautions = append(m.Cautions, jsonAttached(n))
		case rules.Step:
			m.Steps = append(m.Steps, jsonAttached(n))
		case rules.Hold:
			m.Holds = append(m.Holds, jsonAttached(n))
		}
	}
	return m
}

func jsonAttached(a rules.Attached) jsonNote {
	n := a.Note
	do := n.Do
	if n.Kind == rules.Refer {
		do = n.Meanwhile
	}
	return jsonNote{ID: n.ID, Gravity: n.Gravity, Stage: n.Stage, Say: n.Say, Do: do, If: a.If, Else: a.Else, Rule: a.Rule.ID, Sources: n.Sources}
}

// list makes a nil list an empty one, so that JSON shows [].
func list[T any](l []T) []T {
	if l == nil {
		return []T{}
	}
	return l
}

func ids(outcomes []*rules.Outcome) []string {
	all := make([]string, len(outcomes))
	for i, o := range outcomes {
		all[i] = o.Method.ID
	}
	return all
}
