package explain

import (
	"slices"

	"patchfirst/rules"
)

// Worth is a question that is not answered and could still change something.
type Worth struct {
	Fact     string   `json:"fact"`
	Name     string   `json:"name"`
	Ask      string   `json:"ask"`
	How      string   `json:"how"`
	Sources  []string `json:"sources"`
	Decisive bool     `json:"decisive"` // an answer could change the first choice
	Lifts    []string `json:"lifts"`    // refusals that hang on it
	Rules    int      `json:"rules"`    // open rules that read it
	Test     bool     `json:"test"`     // it takes a test
}

// Next lists what is worth finding out about a part: what settles most for the least effort comes first.
func Next(b *rules.Base, d *rules.Decision) []Worth {
	all := []Worth{}
	for _, id := range d.Open {
		f := b.Fact(id)
		w := Worth{Fact: id, Name: f.Words(), Ask: f.Ask, How: f.FindOut, Sources: list(f.Sources), Lifts: []string{}, Test: f.Change == "test"}
		w.Decisive = slices.Contains(d.Provisional, id)
		for _, o := range d.Methods {
			if slices.Contains(o.Until, id) {
				w.Lifts = append(w.Lifts, o.Method.ID)
			}
		}
		w.Rules = d.OpenRules(f)
		all = append(all, w)
	}
	rank := func(w Worth) int {
		switch {
		case w.Decisive:
			return 0
		case len(w.Lifts) > 0:
			return 1
		}
		return 2
	}
	slices.SortStableFunc(all, func(v, w Worth) int {
		if rank(v) != rank(w) {
			return rank(v) - rank(w)
		}
		return worthOf(w) - worthOf(v)
	})
	return all
}

// worthOf weighs what an answer settles against the effort: a test is worth three looks.
func worthOf(w Worth) int {
	const perTest = 3
	settles := w.Rules + len(w.Lifts)
	if w.Test {
		return settles / perTest
	}
	return settles
}
