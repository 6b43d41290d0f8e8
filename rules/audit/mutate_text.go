package audit

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"

	"patchfirst/rules"
)

// HasRule reports whether a base has a rule of an id, those of table cells too.
func HasRule(b *rules.Base, id string) bool {
	return slices.ContainsFunc(b.Rules, func(r *rules.Rule) bool { return r.ID == id })
}

func (m *Mutation) String() string {
	var b strings.Builder
	for _, t := range m.Tried {
		if t.Fate != Live {
			continue
		}
		fmt.Fprintf(&b, "%s\n", t.Mutant)
		if t.Diff != nil {
			fmt.Fprintf(&b, "    %s\n", t.Diff)
		}
		if t.Case != "" {
			fmt.Fprintf(&b, "%s", t.Case)
		}
	}
	fmt.Fprintf(&b, "%-8s %8s %8s %11s %6s\n", "fault", "killed", "live", "equivalent", "score")
	for _, f := range append(slices.Clone(Faults), "") {
		killed, live, same := m.Count(f, Killed), m.Count(f, Live), m.Count(f, Equivalent)
		name, score := string(f), "-"
		if f == "" {
			name = "all"
		}
		if killed+live > 0 {
			score = fmt.Sprintf("%.1f %%", 100*float64(killed)/float64(killed+live))
		}
		fmt.Fprintf(&b, "%-8s %8d %8d %11d %6s\n", name, killed, live, same, score)
	}
	fmt.Fprintf(&b, "%d case files were run\n", m.Cases)
	return b.String()
}

// String says what a fault changes.
func (d *difference) String() string {
	verb := "gains"
	if d.lost {
		verb = "loses"
	}
	switch {
	case d.finding != nil:
		return fmt.Sprintf("some case %s %s %s", verb, d.finding.ID, d.finding.Scale[d.level])
	case d.kind != "":
		return fmt.Sprintf("some case %s the %s %s with %s", verb, d.kind, d.id, d.method.ID)
	}
	return fmt.Sprintf("some case %s %s for %s", verb, d.verdict, d.method.ID)
}

// JSON writes the outcome as data.
func (m *Mutation) JSON(w io.Writer) error {
	type live struct {
		Fault Fault  `json:"fault"`
		Rule  string `json:"rule"`
		File  string `json:"file"`
		Line  int    `json:"line"`
		Says  string `json:"says"`
		Shows string `json:"shows"`
		Case  string `json:"case,omitempty"`
	}
	type count struct {
		Fault      Fault `json:"fault"`
		Killed     int   `json:"killed"`
		Live       int   `json:"live"`
		Equivalent int   `json:"equivalent"`
	}
	out := struct {
		Score  float64 `json:"score"`
		Cases  int     `json:"cases"`
		Faults []count `json:"faults"`
		Live   []live  `json:"live"`
	}{m.Score(), m.Cases, nil, []live{}}
	for _, f := range Faults {
		out.Faults = append(out.Faults, count{f, m.Count(f, Killed), m.Count(f, Live), m.Count(f, Equivalent)})
	}
	for _, t := range m.Tried {
		if t.Fate == Live {
			out.Live = append(out.Live, live{t.Fault, t.Rule.ID, t.Rule.Pos.File, t.Rule.Pos.Line, t.Mutant.String(), t.Diff.String(), t.Case})
		}
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(out)
}
