package audit

import (
	"fmt"
	"slices"

	"patchfirst/rules"
	"patchfirst/rules/cases"
	"patchfirst/rules/diagram"
)

// PromiseChange is a promise that one base keeps and the other does not, or that stands in one only.
type PromiseChange struct {
	ID            string
	Before, After string // kept, broken, not settled or absent
	Proof         *Proof // by the new base, if it is broken there
}

// promises proves again, on both sides, what the edit can touch, in a store of its own.
func (w *comparer) promises(nodeCap int) error {
	in, err := w.inBox(nodeCap)
	if err == nil {
		err = in.st.Try(in.proveBoth)
	}
	if err != nil {
		return err
	}
	var broken []*Proof
	for _, p := range w.c.Promises {
		if p.Proof != nil {
			broken = append(broken, p.Proof)
		}
	}
	if broken == nil {
		return nil
	}
	whole, err := w.c.New.Compile(nil, nodeCap)
	if err != nil {
		return err
	}
	err = whole.Store.Try(func() {
		counter := whole.Counter()
		for _, proof := range broken {
			proof.Cases = counter.Count(whole.Node(proof.Promise.When))
		}
	})
	for _, proof := range broken {
		if err == nil {
			err = proof.exemplify(w.c.New, w.prepare)
		}
	}
	return err
}

// proveBoth proves on both sides. Where the functions of a promise are the same on both sides it comes out the same.
func (w *comparer) proveBoth() {
	same := slices.Equal(w.old.Truths(), w.new.Truths()) && len(w.swapped()) == 0
	outcome := func(s *rules.Space, p *rules.Promise) (string, *Proof) {
		if p == nil {
			return "absent", nil
		}
		proof := (&prover{s: s, counter: w.counter, box: w.box}).prove(p)
		return [...]string{diagram.None: "kept", diagram.Found: "broken", diagram.NotSettled: "not settled"}[proof.Outcome], &proof
	}
	find := func(b *rules.Base, id string) *rules.Promise {
		if i := slices.IndexFunc(b.Promises, func(p *rules.Promise) bool { return p.ID == id }); i >= 0 {
			return b.Promises[i]
		}
		return nil
	}
	var ids []string
	for _, b := range []*rules.Base{w.c.New, w.c.Old} {
		for _, p := range b.Promises {
			if !slices.Contains(ids, p.ID) {
				ids = append(ids, p.ID)
			}
		}
	}
	for _, id := range ids {
		was, is := find(w.c.Old, id), find(w.c.New, id)
		if same && was != nil && is != nil && w.alike(was, is) {
			continue
		}
		w.c.Proved++
		after, proof := outcome(w.new, is)
		before, _ := outcome(w.old, was)
		if before == after {
			continue
		}
		c := PromiseChange{ID: id, Before: before, After: after}
		if after == "broken" {
			c.Proof = proof
		}
		w.c.Promises = append(w.c.Promises, c)
	}
}

// alike reports whether a promise asks the same on both sides.
func (w *comparer) alike(was, is *rules.Promise) bool {
	return slices.EqualFunc(ways(w.old, was, w.old.Node(was.When)), ways(w.new, is, w.new.Node(is.When)), func(a, b way) bool {
		return a.method.ID == b.method.ID && slices.Equal(a.nodes, b.nodes)
	})
}

// FileChange is a case file that comes out differently.
type FileChange struct {
	Case      *cases.Case
	Says      []string // what differs
	Met, Meet bool     // whether it came out as expected before, and does now
}

// files decides by both bases the cases that the edit can touch.
func (w *comparer) files(all []cases.Case) error {
	meeter := w.st.Meeter()
	for i := range all {
		c := &all[i]
		before, after := w.c.Old.Limit(w.ready(w.c.Old, c.Given)), w.c.New.Limit(w.ready(w.c.New, c.Given))
		touches := func(n diagram.Node) bool { return meeter.Meets(n, before) || meeter.Meets(n, after) }
		if !slices.ContainsFunc(w.sets, touches) {
			continue
		}
		w.c.Decided++
		if err := w.file(c); err != nil {
			return err
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

func (w *comparer) file(c *cases.Case) error {
	var outlines [2]*rules.Outline
	bases := []*rules.Base{w.c.Old, w.c.New}
	f := FileChange{Case: c}
	for i, b := range bases {
		o, contradiction, err := b.Outline(w.ready(b, c.Given))
		if err != nil {
			return err
		}
		if contradiction != nil {
			f.Says = append(f.Says, [...]string{"before: ", "now: "}[i]+contradiction.Error())
			continue
		}
		outlines[i] = o
	}
	before, after := outlines[0], outlines[1]
	if before == nil || after == nil {
		if before != nil || after != nil {
			f.Met, f.Meet = before != nil && w.met(c, bases[0], before), after != nil && w.met(c, bases[1], after)
			w.c.Files = append(w.c.Files, f)
		}
		return nil
	}
	if a, b := before.First().ID, after.First().ID; a != b {
		f.Says = append(f.Says, fmt.Sprintf("first %s -> %s", a, b))
	}
	for _, m := range bases[1].Methods {
		if twin := bases[0].Method(m.ID); twin != nil {
			if a, b := before.Verdict(twin.Rank), after.Verdict(m.Rank); a != b {
				f.Says = append(f.Says, fmt.Sprintf("verdict %s: %s -> %s", m.ID, a, b))
			}
		}
	}
	for _, g := range bases[1].Findings {
		if twin := bases[0].Finding(g.ID); twin != nil {
			if a, b := twin.Scale[before.Level(twin)], g.Scale[after.Level(g)]; a != b {
				f.Says = append(f.Says, fmt.Sprintf("finding %s: %s -> %s", g.ID, a, b))
			}
		}
	}
	for _, n := range bases[1].Notes {
		if a, b := before.Has(n.Kind, n.ID), after.Has(n.Kind, n.ID); a != b {
			f.Says = append(f.Says, fmt.Sprintf("%s %s: %s -> %s", n.Kind, n.ID, with(a), with(b)))
		}
	}
	if f.Says != nil {
		f.Met, f.Meet = w.met(c, bases[0], before), w.met(c, bases[1], after)
		w.c.Files = append(w.c.Files, f)
	}
	return nil
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
