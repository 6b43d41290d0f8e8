package audit

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// questions finds those whose answer changes nothing.
func (in *inspector) questions() {
	missing := unread(in.s.Base)
	for _, f := range in.s.Base.Facts {
		if slices.Contains(missing, f.ID) {
			in.add(Anomaly{Kind: Unread, ID: f.ID, Pos: f.Pos, Certain: true, Says: fmt.Sprintf("question %s is read by nothing", f.ID)})
			continue
		}
		if f.Figure == "" && !in.matters(f) && !in.feeds(f) {
			in.add(Anomaly{Kind: NoEffect, ID: f.ID, Pos: f.Pos, Certain: true, Says: fmt.Sprintf("question %s can change nothing: no rule that can fire depends on it", f.ID)})
		}
	}
}

// feeds reports whether a figure is computed from the fact, or it says whether a list is complete or another question
// applies.
func (in *inspector) feeds(f *rules.Fact) bool {
	for _, g := range in.s.Base.Facts {
		if slices.Contains(g.Inputs, f.ID) {
			return true
		}
		if g.AtLeastWhen.Facts()[f] || g.Applies.Facts()[f] {
			return true
		}
	}
	return false
}

// matters reports whether two cases can occur that differ, as far as a rule can see, in the answer to one fact only, and
// in which the rule fires once and once not.
func (in *inspector) matters(f *rules.Fact) bool {
	st := in.s.Store
	vars := in.s.Vars(f)
	for i := range in.s.Base.Rules {
		n := in.s.Rule(i)
		reads := st.SupportSet(n)
		if !slices.ContainsFunc(vars, reads.Has) {
			continue
		}
		valid := in.s.Valid(rules.Free, n)
		fires := st.Exists(st.And(valid, n), vars)
		not := st.Exists(st.And(valid, st.Not(n)), vars)
		if st.And(fires, not) != diagram.False {
			return true
		}
	}
	return false
}

// answers finds answers to one question between which no rule and no truth makes a difference.
func (in *inspector) answers() {
	st := in.s.Store
	roots := []diagram.Node{in.s.All()}
	for i := range in.s.Base.Rules {
		roots = append(roots, in.s.Rule(i))
	}
	// Two answers are alike as long as every node that asks the question goes to the same place for both.
	alike := make([][]int, st.Vars())
	for v := range alike {
		alike[v] = make([]int, st.Values(diagram.Var(v)))
	}
	st.Visit(roots, func(n diagram.Node) {
		class := alike[st.Var(n)]
		kids := st.Kids(n)
		type key struct {
			class int
			kid   diagram.Node
		}
		now := map[key]int{}
		for i, kid := range kids {
			k := key{class[i], kid}
			if _, ok := now[k]; !ok {
				now[k] = len(now)
			}
			class[i] = now[k]
		}
	})
	for _, f := range in.s.Base.Facts {
		if f.Kind != rules.Choice {
			continue
		}
		groups := map[int][]string{}
		classes := alike[in.s.Vars(f)[0]]
		for i, class := range classes {
			groups[class] = append(groups[class], f.Values[i].ID)
		}
		for class := range len(classes) {
			if same := groups[class]; len(same) > 1 {
				in.add(Anomaly{Kind: SameAnswers, ID: f.ID, Pos: f.Pos, Others: same, Says: fmt.Sprintf("answers to %s that no rule tells apart: %s", f.ID, strings.Join(same, ", "))})
			}
		}
	}
}
