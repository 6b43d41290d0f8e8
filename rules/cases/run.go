package cases

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/rules"
)

// Failure is an expectation that did not hold, with the line of the trace that decided it.
type Failure struct {
	Case *Case
	What string
	Why  string
}

func (f Failure) String() string {
	return fmt.Sprintf("%s: %s\n    %s\n    because: %s", f.Case.Pos, f.Case.Title, f.What, f.Why)
}

// Run decides a case and checks its expectations. prepare completes the answers, for instance with figures; nil leaves
// them as they are.
func Run(b *rules.Base, c *Case, prepare func(rules.Answers) rules.Answers) ([]Failure, error) {
	given := c.Given
	if prepare != nil {
		given = prepare(given)
	}
	o, contradiction, err := b.Outline(given)
	if err != nil {
		return nil, err
	}
	if contradiction != nil {
		return []Failure{{c, "the situation cannot occur", contradiction.Error()}}, nil
	}
	met := false
	if err := o.Try(func() { met = c.Met(b, o) }); met || err != nil {
		return nil, err
	}
	return c.explain(b, given)
}

// explain says why a case does not come out as expected.
func (c *Case) explain(b *rules.Base, given rules.Answers) ([]Failure, error) {
	d, _, err := b.Decide(given)
	if err != nil {
		return nil, err
	}
	var failures []Failure
	fail := func(why, format string, args ...any) {
		failures = append(failures, Failure{c, fmt.Sprintf(format, args...), why})
	}
	outcome := func(id string) *rules.Outcome { return d.Methods[b.Method(id).Rank] }
	first := d.First.Method.ID
	if e := c.Expect.First; len(e) > 0 && !slices.Contains(e, first) {
		var why []string
		for _, id := range e {
			why = append(why, outcome(id).Why())
		}
		fail(d.First.Why()+"; "+strings.Join(why, "; "), "the first choice is %s, not %s", first, strings.Join(e, " or "))
	}
	if slices.Contains(c.Expect.NotFirst, first) {
		fail(d.First.Why(), "the first choice is %s, which was not to be first", first)
	}
	for _, id := range c.Expect.Offered {
		if o := outcome(id); !o.Verdict.Offered() {
			fail(o.Why(), "%s is not offered", id)
		}
	}
	for _, id := range c.Expect.RuledOut {
		if o := outcome(id); o.Verdict != rules.RuledOut {
			fail(o.Why(), "%s is not ruled out", id)
		}
	}
	for verdict, ids := range c.Expect.Verdicts {
		for _, id := range ids {
			if o := outcome(id); o.Verdict != verdict {
				fail(o.Why(), "%s is not %s", id, verdict)
			}
		}
	}
	has := func(o *rules.Outcome, id string) bool {
		return slices.ContainsFunc(o.Notes, func(a rules.Attached) bool { return a.Note.ID == id })
	}
	for method, ids := range c.Expect.With {
		for _, id := range ids {
			if o := outcome(method); !has(o, id) {
				fail(o.Why(), "%s is not shown %s", method, id)
			}
		}
	}
	for method, ids := range c.Expect.Without {
		for _, a := range outcome(method).Notes {
			if slices.Contains(ids, a.Note.ID) {
				fail(fmt.Sprintf("%s (%s)", a.Rule.ID, a.Rule.Pos), "%s is shown %s", method, a.Note.ID)
			}
		}
	}
	for kind, ids := range c.Expect.Notes {
		for _, id := range ids {
			if !slices.ContainsFunc(d.Methods, func(o *rules.Outcome) bool { return o.Has(kind, id) }) {
				fail(d.First.Why(), "no method that is offered has the %s %s", kind, id)
			}
		}
	}
	for id, level := range c.Expect.Findings {
		for _, l := range d.Findings {
			if got := l.Finding.Scale[l.Max]; l.Finding.ID == id && got != level {
				var why []string
				for _, r := range l.Rules {
					why = append(why, r.ID)
				}
				fail(strings.Join(append(why, "nothing else raises it"), ", "), "%s is %s, not %s", id, got, level)
			}
		}
	}
	slices.SortFunc(failures, func(x, y Failure) int { return strings.Compare(x.What, y.What) })
	return failures, nil
}

// Met reports whether all that the case expects comes out, without saying why not.
func (c *Case) Met(b *rules.Base, o *rules.Outline) bool {
	e := c.Expect
	first := func(id string) bool { return b.Method(id) == o.First() }
	if len(e.First) > 0 && !slices.ContainsFunc(e.First, first) || slices.ContainsFunc(e.NotFirst, first) {
		return false
	}
	verdict := func(id string) rules.Verdict { return o.Verdict(b.Method(id).Rank) }
	if slices.ContainsFunc(e.Offered, func(id string) bool { return !verdict(id).Offered() }) ||
		slices.ContainsFunc(e.RuledOut, func(id string) bool { return verdict(id) != rules.RuledOut }) {
		return false
	}
	for want, ids := range e.Verdicts {
		if slices.ContainsFunc(ids, func(id string) bool { return verdict(id) != want }) {
			return false
		}
	}
	for method, ids := range e.With {
		if slices.ContainsFunc(ids, func(id string) bool { return !o.Shows(b.Method(method), id) }) {
			return false
		}
	}
	for method, ids := range e.Without {
		if slices.ContainsFunc(ids, func(id string) bool { return o.Shows(b.Method(method), id) }) {
			return false
		}
	}
	for kind, ids := range e.Notes {
		if slices.ContainsFunc(ids, func(id string) bool { return !o.Has(kind, id) }) {
			return false
		}
	}
	for id, level := range e.Findings {
		if f := b.Finding(id); f.Scale[o.Level(f)] != level {
			return false
		}
	}
	return true
}
