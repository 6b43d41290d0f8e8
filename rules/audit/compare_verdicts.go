package audit

import (
	"slices"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// group is changes of one thing, as one function: its leaf says which of them a case is.
type group struct {
	node   diagram.Node
	leaves [][]int // by change: the leaves that stand for it
	all    []Change
}

// mark gives a change of a group a leaf of its own.
func (g *group) mark(st *diagram.Store, c Change, n diagram.Node) {
	if n == diagram.False {
		return
	}
	leaf := len(g.all) + 1
	g.node = st.Max(g.node, st.Scale(n, leaf))
	g.all = append(g.all, c)
	g.leaves = append(g.leaves, []int{leaf})
}

func (w *comparer) add(g group) {
	if len(g.all) > 0 {
		w.groups = append(w.groups, g)
	}
}

// verdicts compares each method. One that only one base has is ruled out by the other.
func (w *comparer) verdicts() {
	verdict := func(s *rules.Space, id string) diagram.Node {
		if m := s.Base.Method(id); m != nil {
			return s.Verdict(m)
		}
		return w.st.Leaf(int(rules.RuledOut))
	}
	for _, id := range w.methods() {
		before, after := verdict(w.old, id), verdict(w.new, id)
		if before == after {
			continue
		}
		for _, d := range []*direction{better, worse} {
			n := w.st.Combine(d.table, before, after)
			var g group
			dense := map[int]int{} // few leaves are counted faster than many
			for _, leaf := range w.st.Leaves(n) {
				if leaf > 0 {
					c := d.changes[leaf-1]
					g.all = append(g.all, Change{What: "verdict", ID: id, From: c[0].String(), To: c[1].String()})
					dense[leaf] = len(g.all)
					g.leaves = append(g.leaves, []int{len(g.all)})
				}
			}
			g.node = w.st.Combine(diagram.NewTable(func(leaf, _ int) int { return dense[leaf] }), n, diagram.False)
			w.add(g)
		}
	}
}

// direction is half of the changes of a verdict: the 20 of them take more leaves than there are.
type direction struct {
	changes [][2]rules.Verdict // by leaf, from 1 on
	table   *diagram.Table     // of the verdicts before and after
}

var (
	better = changesOf(func(from, to rules.Verdict) bool { return to < from })
	worse  = changesOf(func(from, to rules.Verdict) bool { return to > from })
)

func changesOf(is func(from, to rules.Verdict) bool) *direction {
	d := &direction{}
	leaf := map[[2]int]int{}
	for from := rules.Possible; from <= rules.RuledOut; from++ {
		for to := rules.Possible; to <= rules.RuledOut; to++ {
			if is(from, to) {
				d.changes = append(d.changes, [2]rules.Verdict{from, to})
				leaf[[2]int{int(from), int(to)}] = len(d.changes)
			}
		}
	}
	d.table = diagram.NewTable(func(before, after int) int { return leaf[[2]int{before, after}] })
	return d
}

// methods lists the ids of all methods, those of the new base first.
func (w *comparer) methods() (ids []string) {
	for _, b := range []*rules.Base{w.new.Base, w.old.Base} {
		for _, m := range b.Methods {
			if !slices.Contains(ids, m.ID) {
				ids = append(ids, m.ID)
			}
		}
	}
	return ids
}

// findings compares each finding. One that only one base has stands at its lowest level, or at none, in the other.
func (w *comparer) findings() {
	var ids []string
	for _, b := range []*rules.Base{w.new.Base, w.old.Base} {
		for _, f := range b.Findings {
			if !slices.Contains(ids, f.ID) {
				ids = append(ids, f.ID)
			}
		}
	}
	at := func(s *rules.Space, id, name string) diagram.Node {
		f := s.Base.Finding(id)
		if f == nil {
			return diagram.False
		}
		k := slices.Index(f.Scale, name)
		switch {
		case k < 0:
			return diagram.False
		case k+1 == len(f.Scale):
			return s.Finding(f, k)
		}
		return w.st.And(s.Finding(f, k), w.st.Not(s.Finding(f, k+1)))
	}
	scale := func(b *rules.Base, id string) []string {
		if f := b.Finding(id); f != nil {
			return f.Scale
		}
		return nil
	}
	for _, id := range ids {
		before, after := scale(w.old.Base, id), scale(w.new.Base, id)
		if before == nil || after == nil {
			continue // an edit, and no case can be compared
		}
		for _, from := range before {
			var g group
			for _, to := range after {
				if from != to {
					g.mark(w.st, Change{What: "finding", ID: id, From: from, To: to}, w.st.And(at(w.old, id, from), at(w.new, id, to)))
				}
			}
			w.add(g)
		}
	}
}
