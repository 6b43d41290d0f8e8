package audit

import (
	"slices"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// notes compares each note, as far as the methods it stands with are offered by both.
func (w *comparer) notes() {
	type key struct {
		kind   rules.NoteKind
		id     string
		method string
	}
	attached := func(s *rules.Space) map[key]diagram.Node {
		at := map[key][]diagram.Node{}
		for i, r := range s.Base.Rules {
			for kind, ids := range r.Attach {
				for _, id := range ids {
					for _, m := range s.Base.Methods {
						if r.With.Has(m.Rank) {
							k := key{kind, id, m.ID}
							at[k] = append(at[k], s.Rule(i))
						}
					}
				}
			}
		}
		joined := map[key]diagram.Node{}
		for k, nodes := range at {
			joined[k] = w.st.OrAll(nodes)
		}
		return joined
	}
	offered := map[string]diagram.Node{}
	open := func(s *rules.Space, m *rules.Method) diagram.Node {
		return w.st.Not(w.st.Or(s.Gives(rules.RuledOut, m), s.Gives(rules.NoUse, m)))
	}
	for _, m := range w.new.Base.Methods {
		if twin := w.old.Base.Method(m.ID); twin != nil {
			if offered[m.ID] = diagram.True; !m.LastResort {
				offered[m.ID] = w.st.And(open(w.new, m), open(w.old, twin))
			}
		}
	}
	before, after := attached(w.old), attached(w.new)
	type note struct {
		kind rules.NoteKind
		id   string
	}
	var all []note
	for _, b := range []*rules.Base{w.new.Base, w.old.Base} {
		for _, n := range b.Notes {
			if k := (note{n.Kind, n.ID}); !slices.Contains(all, k) {
				all = append(all, k)
			}
		}
	}
	// A method is named if a case that can occur shows the change with it.
	shows := func(n diagram.Node) bool {
		_, outcome := w.st.Joint([]diagram.Node{n, w.both}, nil, budget)
		return outcome != diagram.None
	}
	for _, n := range all {
		gained, lost := diagram.False, diagram.False
		var gainers, losers []string
		for _, m := range w.methods() {
			k := key{n.kind, n.id, m}
			was, is := before[k], after[k]
			if was == is || offered[m] == 0 {
				continue
			}
			if more := w.st.AndAll([]diagram.Node{is, w.st.Not(was), offered[m]}); shows(more) {
				gained, gainers = w.st.Or(gained, more), append(gainers, m)
			}
			if less := w.st.AndAll([]diagram.Node{was, w.st.Not(is), offered[m]}); shows(less) {
				lost, losers = w.st.Or(lost, less), append(losers, m)
			}
		}
		var g group
		g.node = w.st.Max(w.st.Scale(w.st.Or(lost, gained), 1), w.st.Max(w.st.Scale(gained, 2), w.st.Scale(w.st.And(lost, gained), 3)))
		for _, c := range []Change{
			{What: string(n.kind), ID: n.id, Methods: losers, From: "with", To: "without"},
			{What: string(n.kind), ID: n.id, Methods: gainers, From: "without", To: "with"},
		} {
			if c.Methods != nil {
				g.all = append(g.all, c)
				g.leaves = append(g.leaves, map[string][]int{"with": {1, 3}, "without": {2, 3}}[c.From])
			}
		}
		w.add(g)
	}
}
