package explain

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/rules"
)

// Compared is one method beside others, for one part.
type Compared struct {
	Method     string   `json:"method"`
	Label      string   `json:"label"`
	Verdict    string   `json:"verdict"`
	Because    string   `json:"because"`
	Harm       string   `json:"harm"`
	Dust       string   `json:"dust"`
	Fume       string   `json:"fume"`
	Mess       string   `json:"mess"`
	Time       string   `json:"time"`
	Competence string   `json:"competence"`
	Needs      []string `json:"needs"`
	OnlyIf     []string `json:"only_if"`
}

// Compare puts methods side by side: the given ones, or the first choice and its fallbacks.
func (x *Explainer) Compare(ids []string) ([]Compared, error) {
	d := x.part.Decision
	if len(ids) == 0 {
		const most = 4
		all := append([]*rules.Outcome{d.First}, d.Fallback...)
		for _, o := range all[:min(most, len(all))] {
			ids = append(ids, o.Method.ID)
		}
	}
	rows := []Compared{}
	for _, id := range ids {
		m := x.base.Method(id)
		if m == nil {
			var known []string
			for _, m := range x.base.Methods {
				known = append(known, m.ID)
			}
			return nil, fmt.Errorf("there is no method %q. %s", id, rules.DidYouMean(id, known))
		}
		o := d.Methods[m.Rank]
		row := Compared{
			Method: id, Label: m.Label, Verdict: o.Verdict.String(), Because: firstBecause(o.Reasons), Harm: x.harm(o),
			Dust: m.Dust, Fume: m.Fume, Mess: m.Mess, Time: m.Time, Competence: m.Competence, Needs: list(m.Needs), OnlyIf: []string{},
		}
		for _, c := range o.Conditions {
			row.OnlyIf = append(row.OnlyIf, Requirement(x.base, c))
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// harm says what the tables that rank by care hold for a method on this case.
func (x *Explainer) harm(o *rules.Outcome) string {
	var cells []string
	for _, t := range x.base.Tables {
		if !t.Ranks {
			continue
		}
		a, ok := x.part.Answers[t.Rows]
		if !ok {
			return "not known"
		}
		for _, row := range a.Values {
			if is := t.At(row, o.Method); !slices.Contains(cells, is) {
				cells = append(cells, is)
			}
		}
	}
	return strings.Join(cells, " or ")
}
