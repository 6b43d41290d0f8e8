package audit

import (
	"encoding/json"
	"io"
	"math/big"
	"net/url"
	"slices"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// issue is one finding of a check as it is written to a file: what, how grave, and where.
type issue struct {
	Kind    string   `json:"kind"`
	Level   string   `json:"level"` // error or warning
	ID      string   `json:"id"`
	File    string   `json:"file"`
	Line    int      `json:"line"`
	Column  int      `json:"column"`
	Says    string   `json:"says"`
	Others  []string `json:"others,omitempty"`
	Broken  *big.Int `json:"broken,omitempty"`
	Of      *big.Int `json:"of,omitempty"`
	Where   []string `json:"where,omitempty"`   // what the broken cases have in common
	Example string   `json:"example,omitempty"` // as a case file gives it
}

func place(i issue, p rules.Pos) issue {
	i.File, i.Line, i.Column = p.File, p.Line, p.Col
	return i
}

func (r *Report) issues() []issue {
	all := []issue{}
	for _, p := range r.Promises {
		if p.Outcome == diagram.None {
			continue
		}
		i := issue{Kind: "promise", Level: "error", ID: p.Promise.ID, Says: p.String(), Broken: p.Broken, Of: p.Cases, Where: p.Where}
		if p.Example != nil {
			i.Example = givenText(p.Example)
		}
		for _, rule := range p.Rules {
			i.Others = append(i.Others, rule.ID)
		}
		all = append(all, place(i, p.Promise.Pos))
	}
	for _, a := range r.Anomalies {
		level := "warning"
		if a.Certain {
			level = "error"
		}
		all = append(all, place(issue{Kind: string(a.Kind), Level: level, ID: a.ID, Says: a.Says, Others: a.Others}, a.Pos))
	}
	for _, f := range r.Failures {
		all = append(all, place(issue{Kind: "case", Level: "error", ID: f.Case.Title, Says: f.What + ", because " + f.Why}, f.Case.Pos))
	}
	return all
}

// JSON writes the report as data.
func (r *Report) JSON(w io.Writer) error {
	type promise struct {
		ID    string   `json:"id"`
		Holds bool     `json:"holds"`
		Cases *big.Int `json:"cases"`
	}
	out := struct {
		Base     string    `json:"base"`
		Digest   string    `json:"digest"`
		Space    *big.Int  `json:"space"`
		Promises []promise `json:"promises"`
		Issues   []issue   `json:"issues"`
		Expected int       `json:"expected"` // anomalies that are not among the issues
		Gaps     Gap       `json:"gaps"`
		Cases    int       `json:"cases"`
	}{r.Base.Version, r.Base.Digest, r.Cells, []promise{}, r.issues(), r.Expected, r.Gaps, r.Cases}
	for _, p := range r.Promises {
		out.Promises = append(out.Promises, promise{p.Promise.ID, p.Outcome == diagram.None, p.Cases})
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(out)
}

// SARIF writes the report in the Static Analysis Results Interchange Format 2.1.0 (OASIS, 2020), which code review tools
// show beside the lines.
func (r *Report) SARIF(w io.Writer) error { return sarif(w, r.issues()) }

// ProblemsSARIF writes the mistakes for which a base could not be read, in the same format.
func ProblemsSARIF(w io.Writer, problems rules.Problems) error {
	var all []issue
	for _, p := range problems {
		says := p.Summary
		if p.Fix != "" {
			says += ". " + p.Fix
		}
		all = append(all, place(issue{Kind: "unreadable", Level: "error", Says: says}, p.Pos))
	}
	return sarif(w, all)
}

func sarif(w io.Writer, all []issue) error {
	type text struct {
		Text string `json:"text"`
	}
	type rule struct {
		ID    string `json:"id"`
		Short text   `json:"shortDescription"`
	}
	type region struct {
		Line   int `json:"startLine"`
		Column int `json:"startColumn,omitempty"`
	}
	type location struct {
		Physical struct {
			Artifact struct {
				URI string `json:"uri"`
			} `json:"artifactLocation"`
			Region *region `json:"region,omitempty"`
		} `json:"physicalLocation"`
	}
	type result struct {
		RuleID    string     `json:"ruleId"`
		Level     string     `json:"level"`
		Message   text       `json:"message"`
		Locations []location `json:"locations"`
	}
	names := map[string]string{"promise": "a promise of the base is broken", "case": "a case does not come out as expected", "unreadable": "the base cannot be read"}
	for kind, means := range Kinds {
		names[string(kind)] = means
	}
	described := []rule{}
	for id, means := range names {
		described = append(described, rule{id, text{means}})
	}
	slices.SortFunc(described, func(a, b rule) int {
		if a.ID < b.ID {
			return -1
		}
		return 1
	})
	results := []result{}
	for _, i := range all {
		at := []location{}
		if i.File != "" {
			var l location
			l.Physical.Artifact.URI = (&url.URL{Path: i.File}).String()
			if i.Line > 0 {
				l.Physical.Region = &region{i.Line, i.Column}
			}
			at = append(at, l)
		}
		results = append(results, result{i.Kind, i.Level, text{i.Says}, at})
	}
	type object = map[string]any
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(object{
		"$schema": "https://json.schemastore.org/sarif-2.1.0.json", "version": "2.1.0",
		"runs": []object{{"tool": object{"driver": object{"name": "patchfirst rules check", "rules": described}}, "results": results}},
	})
}
