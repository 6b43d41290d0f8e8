package rules

import (
	"cmp"
	"slices"

	"patchfirst/rules/diagram"
)

// Align lays two bases out alike, over the union of their facts, values and cuts, so that both can be compiled in one
// store and their functions compared. A fact that only one base knows may have any value in the other; a value that only
// one knows does not occur in the other. Both bases are changed and should be used for nothing else afterwards.
//
// It returns what only one of them knows, as "fact" or "fact = value".
func Align(old, new *Base) (onlyOld, onlyNew []string, err error) {
	type key struct {
		id   string
		kind Kind
	}
	find := func(b *Base) map[key]*Fact {
		known := map[key]*Fact{}
		for _, f := range b.Facts {
			known[key{f.ID, f.Kind}] = f
		}
		return known
	}
	olds, news := find(old), find(new)
	var oldFacts, newFacts []*Fact
	for _, f := range new.Facts {
		twin := olds[key{f.ID, f.Kind}]
		if twin == nil {
			onlyNew = append(onlyNew, f.ID)
			twin = old.adopt(f)
		}
		newFacts, oldFacts = append(newFacts, f), append(oldFacts, twin)
	}
	for _, f := range old.Facts {
		if news[key{f.ID, f.Kind}] == nil {
			onlyOld = append(onlyOld, f.ID)
			oldFacts, newFacts = append(oldFacts, f), append(newFacts, new.adopt(f))
		}
	}
	old.Facts, new.Facts = oldFacts, newFacts
	for i, f := range new.Facts {
		left, right := old.unite(oldFacts[i], f, new)
		onlyOld, onlyNew = append(onlyOld, left...), append(onlyNew, right...)
	}
	meet := append(old.meetings(), new.meetings()...)
	var problems Problems
	for _, b := range []*Base{old, new} {
		b.vars = nil
		for _, f := range b.facts {
			f.vars = nil
		}
		for _, f := range b.Facts {
			f.vars = nil
		}
		problems = append(problems, b.placeVariables(meet)...)
	}
	return onlyOld, onlyNew, problems.Err()
}

// adopt gives a base a fact of another one, about which it says nothing.
func (b *Base) adopt(f *Fact) *Fact {
	twin := &Fact{ID: f.ID, Name: f.Name, Topic: f.Topic, Scope: f.Scope, Kind: f.Kind, Year: f.Year, YesNo: f.YesNo, Values: slices.Clone(f.Values), Most: f.Most, Unit: f.Unit, From: f.From, To: f.To, Step: f.Step, Blank: Refuses, Change: f.Change, Order: f.Order, Figure: f.Figure, Pos: f.Pos}
	if b.facts[f.ID] == nil {
		b.facts[f.ID] = twin
	}
	return twin
}

// unite gives a fact of b and the same fact of another base the same values and cuts in the same order.
func (b *Base) unite(f, g *Fact, other *Base) (onlyF, onlyG []string) {
	fValues, gValues := f.ValueIDs(), g.ValueIDs()
	add := func(to, from *Fact) (names []string) {
		for _, v := range from.Values {
			if !to.Has(v.ID) {
				to.Values = append(to.Values, v)
				to.strange = append(to.strange, v.ID)
				names = append(names, from.ID+" = "+v.ID)
			}
		}
		return names
	}
	onlyF = add(g, f)
	onlyG = add(f, g)
	place := map[string]int{}
	for i, v := range append(gValues, fValues...) {
		if _, ok := place[v]; !ok {
			place[v] = i
		}
	}
	for _, one := range []*Fact{f, g} {
		slices.SortStableFunc(one.Values, func(x, y Value) int { return cmp.Compare(place[x.ID], place[y.ID]) })
	}
	for _, c := range g.cuts {
		if !slices.Contains(f.cuts, c) {
			f.cuts = append(f.cuts, c)
		}
	}
	slices.SortFunc(f.cuts, cut.compare)
	g.cuts = slices.Clone(f.cuts)
	b.uniteEnd(f, &f.First, g.First, other)
	b.uniteEnd(f, &f.Last, g.Last, other)
	other.uniteEnd(g, &g.First, f.First, b)
	other.uniteEnd(g, &g.Last, f.Last, b)
	return onlyF, onlyG
}

// uniteEnd gives the end of a list that only the other base speaks of to this one, and both the same named values.
func (b *Base) uniteEnd(f *Fact, end *string, twin string, other *Base) {
	if twin == "" {
		return
	}
	theirs := other.facts[twin]
	if *end == "" {
		*end = twin
		b.facts[twin] = &Fact{ID: twin, Topic: f.Topic, Scope: f.Scope, Kind: Choice, Blank: f.Blank, Change: f.Change, Pos: f.Pos, ends: f}
	}
	ours := b.facts[*end]
	ours.Values = append(slices.Clone(f.Values), Value{"none", "none"})
	for _, v := range theirs.named {
		if !slices.Contains(ours.named, v) {
			ours.named = append(ours.named, v)
		}
	}
	slices.Sort(ours.named)
	theirs.named = slices.Clone(ours.named)
}

func (c cut) compare(d cut) int {
	switch {
	case c.at < d.at || c.at == d.at && !c.below && d.below:
		return -1
	case c == d:
		return 0
	}
	return 1
}

// CompileBoth compiles two aligned bases in one store, for the cases inside a box; nil is all cases. A nodeCap of 0 is
// diagram.DefaultCap.
func CompileBoth(old, new *Base, box diagram.Case, nodeCap int) (o, n *Space, err error) {
	if box == nil {
		box = make(diagram.Case, len(new.vars))
	}
	st := new.store(new.order, nodeCap)
	if o, err = old.spaceIn(st, box, nil); err == nil {
		err = o.compile()
	}
	if err != nil {
		return nil, nil, err
	}
	if n, err = new.spaceIn(st, box, nil); err == nil {
		err = n.compile()
	}
	return o, n, err
}

// store returns an empty store over the questions of the base, in an order.
func (b *Base) store(order []diagram.Var, nodeCap int) *diagram.Store {
	sizes := make([]int, len(b.vars))
	for v, variable := range b.vars {
		sizes[v] = variable.size
	}
	return diagram.New(sizes, order, nodeCap)
}
