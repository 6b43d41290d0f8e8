package audit

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// Example is a case with few answers that comes out differently, and what else is not told is blank on both sides.
type Example struct {
	About         string // the method, finding or note that it was chosen for
	Given         []Given
	Before, After []string // what comes out, and why
}

// Given is one answer, as a case file writes it.
type Given struct{ Fact, Answer string }

// witness is a whole case that comes out differently, by the diagrams.
type witness struct {
	about  string
	values []uint8
	differ func(a, b *rules.Outline) bool
}

// example finds an example of the gravest change: of the first choice if there is one, else of a verdict, else another.
// What is computed from answers can be otherwise in a case of the diagrams than from any answers, so several are tried.
func (w *comparer) example() error {
	const most = 12
	var witnesses []witness
	for _, m := range w.c.First.Moves {
		witnesses = append(witnesses, witness{"first choice", m.Values, func(a, b *rules.Outline) bool { return a.First().ID != b.First().ID }})
	}
	witnesses = witnesses[:min(most, len(witnesses))]
	gravest := slices.Clone(w.c.Changes)
	slices.SortStableFunc(gravest, func(a, b Change) int { return a.gravity() - b.gravity() })
	for _, c := range gravest[:min(most, len(gravest))] {
		if values, outcome := w.st.Joint([]diagram.Node{w.where(c), w.both}, nil, budget); outcome == diagram.Found {
			witnesses = append(witnesses, witness{c.ID, values, w.differs(c)})
		}
	}
	var spoken []string // what the edit speaks of stays
	for _, need := range w.new.Needs(w.box) {
		spoken = append(spoken, need.Fact)
	}
	for _, x := range witnesses {
		var keep []string
		for _, c := range w.c.Changes {
			if slices.Contains(c.leaves, w.st.Eval(c.group, x.values)) {
				for _, r := range w.new.Needs(w.counter.Ranges(w.where(c))) {
					keep = append(keep, r.Fact)
				}
				break
			}
		}
		answers, ok, err := simplest(w.c.New, w.c.New.Answers(x.values), keep, spoken, func(answers rules.Answers) (bool, error) {
			return w.decideBoth(answers, x.differ)
		})
		if err != nil {
			return err
		}
		if ok {
			return w.show(x.about, answers)
		}
	}
	return nil
}

// gravity is lower for a change that is graver: what was ruled out is open, or the other way round.
func (c Change) gravity() int {
	ruledOut := rules.RuledOut.String()
	switch {
	case c.What == "verdict" && c.From == ruledOut && c.To != rules.NoUse.String():
		return 0
	case c.What == "verdict" && (c.From == ruledOut || c.To == ruledOut):
		return 1
	case c.What == "verdict":
		return 2
	}
	return 3
}

// differs tells a change of a verdict, finding or note from two decisions.
func (w *comparer) differs(c Change) func(a, b *rules.Outline) bool {
	switch c.What {
	case "verdict":
		return func(a, b *rules.Outline) bool {
			m, n := w.c.Old.Method(c.ID), w.c.New.Method(c.ID)
			return m == nil || n == nil || a.Verdict(m.Rank) != b.Verdict(n.Rank)
		}
	case "finding":
		return func(a, b *rules.Outline) bool {
			f, g := w.c.Old.Finding(c.ID), w.c.New.Finding(c.ID)
			return f.Scale[a.Level(f)] != g.Scale[b.Level(g)]
		}
	}
	return func(a, b *rules.Outline) bool {
		kind := rules.NoteKind(c.What)
		return a.Has(kind, c.ID) != b.Has(kind, c.ID)
	}
}

// decideBoth decides some answers by both bases, and reports whether they differ.
func (w *comparer) decideBoth(answers rules.Answers, differ func(a, b *rules.Outline) bool) (bool, error) {
	var outlines [2]*rules.Outline
	for i, b := range []*rules.Base{w.c.Old, w.c.New} {
		o, contradiction, err := b.Outline(w.ready(b, answers))
		if err != nil || contradiction != nil {
			return false, err
		}
		outlines[i] = o
	}
	return differ(outlines[0], outlines[1]), nil
}

func (w *comparer) ready(b *rules.Base, answers rules.Answers) rules.Answers {
	return ready(b, answers, w.prepare)
}

// show decides an example by both bases and says what comes out.
func (w *comparer) show(about string, answers rules.Answers) error {
	e := &Example{About: about, Given: given(w.c.New, answers)}
	var decisions [2]*rules.Decision
	for i, b := range []*rules.Base{w.c.Old, w.c.New} {
		d, contradiction, err := b.Decide(w.ready(b, answers))
		if err != nil || contradiction != nil {
			return err
		}
		decisions[i] = d
	}
	before, after := decisions[0], decisions[1]
	say := func(d *rules.Decision, ids []string) (lines []string) {
		lines = append(lines, "first choice "+d.First.Method.ID)
		for _, id := range ids {
			for _, o := range d.Methods {
				if o.Method.ID == id {
					lines = append(lines, o.Why())
				}
			}
		}
		return lines
	}
	var ids []string
	for _, o := range before.Methods {
		for _, p := range after.Methods {
			if o.Method.ID == p.Method.ID && (o.Verdict != p.Verdict || (o == before.First) != (p == after.First)) {
				ids = append(ids, o.Method.ID)
			}
		}
	}
	const most = 4
	ids = ids[:min(most, len(ids))]
	e.Before, e.After = say(before, ids), say(after, ids)
	for _, f := range before.Findings {
		for _, g := range after.Findings {
			if f.Finding.ID == g.Finding.ID && f.Finding.Scale[f.Max] != g.Finding.Scale[g.Max] {
				e.Before = append(e.Before, fmt.Sprintf("%s is %s", f.Finding.ID, f.Finding.Scale[f.Max]))
				e.After = append(e.After, fmt.Sprintf("%s is %s", g.Finding.ID, g.Finding.Scale[g.Max]))
			}
		}
	}
	notes := func(d, other *rules.Decision) (lines []string) {
		for _, o := range d.Methods {
			for _, p := range other.Methods {
				if o.Method.ID != p.Method.ID || o.Verdict.Offered() != p.Verdict.Offered() {
					continue
				}
				for _, a := range o.Notes {
					if !p.Has(a.Note.Kind, a.Note.ID) {
						lines = append(lines, fmt.Sprintf("%s %s with %s, by %s (%s)", a.Note.Kind, a.Note.ID, o.Method.ID, a.Rule.ID, a.Rule.Pos))
					}
				}
			}
		}
		return lines[:min(most, len(lines))]
	}
	e.Before, e.After = append(e.Before, notes(before, after)...), append(e.After, notes(after, before)...)
	var err error
	if e.Before, err = w.fired(w.c.Old, answers, e.Before); err == nil {
		e.After, err = w.fired(w.c.New, answers, e.After)
	}
	w.c.Example = e
	return err
}

// fired adds to some lines whether the edited rules of a base fire in an example, as far as its answers tell.
func (w *comparer) fired(b *rules.Base, answers rules.Answers, lines []string) ([]string, error) {
	const most = 3
	o, contradiction, err := b.Outline(w.ready(b, answers))
	if err != nil || contradiction != nil {
		return lines, err
	}
	edited := map[string]bool{}
	for _, e := range w.c.Edits {
		edited[e.ID] = edited[e.ID] || e.Kind == "rule" || e.Kind == "cell"
	}
	told := 0
	err = o.Try(func() {
		for _, r := range b.Rules {
			if !edited[r.ID] || told == most {
				continue
			}
			told++
			fires, never := true, false
			if r.When != nil {
				fires, never = o.Settles(r.When.Root)
			}
			does := "may fire"
			if fires {
				does = "fires"
			} else if never {
				does = "does not fire"
			}
			lines = append(lines, fmt.Sprintf("rule %s %s (%s)", r.ID, does, r.Pos))
		}
	})
	return lines, err
}

// given writes answers as a case file does.
func given(b *rules.Base, answers rules.Answers) (all []Given) {
	for _, f := range b.Facts {
		a, ok := answers[f.ID]
		if !ok || !f.Asked() {
			continue
		}
		g := Given{Fact: f.ID}
		switch {
		case f.Kind == rules.Number && a.Lo == a.Hi:
			g.Answer = fmt.Sprintf("%g", a.Lo)
		case f.Kind == rules.Number:
			g.Answer = fmt.Sprintf("%g..%g", a.Lo, a.Hi)
		case f.Kind == rules.Several || len(a.Values) != 1:
			g.Answer = "[" + strings.Join(a.Values, ", ") + "]"
		case f.YesNo:
			g.Answer = fmt.Sprintf("%q", a.Values[0])
		default:
			g.Answer = a.Values[0]
		}
		all = append(all, g)
	}
	return all
}

func givenText(all []Given) string {
	var parts []string
	for _, g := range all {
		parts = append(parts, g.Fact+": "+g.Answer)
	}
	return "{" + strings.Join(parts, ", ") + "}"
}
