package audit

import (
	"fmt"
	"runtime"
	"slices"

	"golang.org/x/sync/errgroup"

	"patchfirst/rules"
	"patchfirst/rules/cases"
	"patchfirst/rules/diagram"
)

// FileChange is a case file that comes out differently.
type FileChange struct {
	Case      *cases.Case
	Says      []string // what differs
	Met, Meet bool     // whether it came out as expected before, and does now
}

// files decides by both bases the cases that the edit can touch. What else differs than whether they come out as expected
// is looked at for the first of them.
func (w *comparer) files(all []cases.Case) error {
	const whole = 100
	meeter := w.st.Meeter()
	var touched []*cases.Case
	for i := range all {
		c := &all[i]
		before, after := w.c.Old.Limit(w.ready(w.c.Old, c.Given)), w.c.New.Limit(w.ready(w.c.New, c.Given))
		touches := func(n diagram.Node) bool { return meeter.Meets(n, before) || meeter.Meets(n, after) }
		blank := func(id string) bool { _, told := c.Given[id]; return !told }
		if slices.ContainsFunc(w.sets, touches) || slices.ContainsFunc(w.c.Blanks, blank) {
			touched = append(touched, c)
		}
	}
	w.c.Decided = len(touched)
	found := make([]*FileChange, len(touched))
	var g errgroup.Group
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i, c := range touched {
		g.Go(func() (err error) {
			found[i], err = w.file(c, i < whole)
			return err
		})
	}
	if err := g.Wait(); err != nil {
		return err
	}
	for _, f := range found {
		if f != nil {
			w.c.Files = append(w.c.Files, *f)
		}
	}
	return nil
}

// differences lists where edited rules do something else, and where a case can occur on one side only. Elsewhere the
// edited rules do the same, so every finding stands at the same level, and so the other rules do the same too.
func (w *comparer) differences() (sets []diagram.Node) {
	type half struct {
		n          diagram.Node
		does, asks string
	}
	was := map[string]half{}
	for i, r := range w.c.Old.Rules {
		was[r.ID] = half{w.old.Rule(i), does(w.c.Old, r), r.When.Asks()}
	}
	add := func(n diagram.Node) {
		if n != diagram.False && !slices.Contains(sets, n) {
			sets = append(sets, n)
		}
	}
	differ := func(a, b diagram.Node) diagram.Node {
		return w.st.Or(w.st.And(a, w.st.Not(b)), w.st.And(b, w.st.Not(a)))
	}
	for i, r := range w.c.New.Rules {
		n := w.new.Rule(i)
		before, ok := was[r.ID]
		delete(was, r.ID)
		switch {
		case !ok:
			add(n)
		case before.does != does(w.c.New, r):
			add(w.st.Or(n, before.n))
		case before.asks != r.When.Asks():
			add(differ(n, before.n))
		}
	}
	for _, h := range was {
		add(h.n)
	}
	if !slices.Equal(w.old.Truths(), w.new.Truths()) {
		add(differ(w.old.All(), w.new.All()))
	}
	for _, s := range w.swapped() {
		add(w.st.Combine(tie, w.old.Place(w.c.Old.Method(s.a)), w.old.Place(w.c.Old.Method(s.b))))
	}
	for _, m := range w.c.New.Methods {
		if twin := w.c.Old.Method(m.ID); twin != nil && twin.LastResort != m.LastResort {
			add(diagram.True)
		}
	}
	return sets
}

// does names the effects of a rule, whatever the places of the methods.
func does(b *rules.Base, r *rules.Rule) (text string) {
	for _, e := range effects(b, r) {
		text += fmt.Sprintf("%s %s %s %d", e.verdict, e.kind, e.id, e.level)
		if e.method != nil {
			text += " " + e.method.ID
		}
		if e.finding != nil {
			text += " " + e.finding.ID
		}
		text += "\n"
	}
	return text
}

// file decides one case by both bases. Nil: it comes out alike, as far as is looked at.
func (w *comparer) file(c *cases.Case, whole bool) (*FileChange, error) {
	var outlines [2]*rules.Outline
	bases := []*rules.Base{w.c.Old, w.c.New}
	f := &FileChange{Case: c}
	for i, b := range bases {
		o, contradiction, err := b.Outline(w.ready(b, c.Given))
		if err != nil {
			return nil, err
		}
		if contradiction != nil {
			f.Says = append(f.Says, [...]string{"before: ", "now: "}[i]+contradiction.Error())
			continue
		}
		outlines[i] = o
	}
	before, after := outlines[0], outlines[1]
	f.Met, f.Meet = before != nil && w.met(c, bases[0], before), after != nil && w.met(c, bases[1], after)
	switch {
	case before == nil && after == nil, !whole && f.Met == f.Meet:
		return nil, nil
	case before != nil && after != nil:
		f.Says = w.tells(before, after)
	}
	if f.Says == nil {
		return nil, nil
	}
	return f, nil
}

// tells lists what differs between two decisions.
func (w *comparer) tells(before, after *rules.Outline) (says []string) {
	old, next := w.c.Old, w.c.New
	if a, b := before.First().ID, after.First().ID; a != b {
		says = append(says, fmt.Sprintf("first %s -> %s", a, b))
	}
	for _, m := range next.Methods {
		if twin := old.Method(m.ID); twin != nil {
			if a, b := before.Verdict(twin.Rank), after.Verdict(m.Rank); a != b {
				says = append(says, fmt.Sprintf("verdict %s: %s -> %s", m.ID, a, b))
			}
		}
	}
	for _, g := range next.Findings {
		if twin := old.Finding(g.ID); twin != nil {
			if a, b := twin.Scale[before.Level(twin)], g.Scale[after.Level(g)]; a != b {
				says = append(says, fmt.Sprintf("finding %s: %s -> %s", g.ID, a, b))
			}
		}
	}
	for _, n := range next.Notes {
		if a, b := before.Has(n.Kind, n.ID), after.Has(n.Kind, n.ID); a != b {
			says = append(says, fmt.Sprintf("%s %s: %s -> %s", n.Kind, n.ID, with(a), with(b)))
		}
	}
	return says
}

func with(has bool) string {
	if has {
		return "with"
	}
	return "without"
}

// met reports whether a case comes out as expected. One that expects what a base does not know does not.
func (w *comparer) met(c *cases.Case, b *rules.Base, o *rules.Outline) bool {
	for _, ids := range [][]string{c.Expect.First, c.Expect.NotFirst, c.Expect.Offered, c.Expect.RuledOut} {
		if slices.ContainsFunc(ids, func(id string) bool { return b.Method(id) == nil }) {
			return false
		}
	}
	for id := range c.Expect.Findings {
		if b.Finding(id) == nil {
			return false
		}
	}
	return c.Met(b, o)
}
