package rules

import (
	"encoding/binary"
	"slices"

	"patchfirst/rules/diagram"
)

// truth is a statement that every case keeps.
type truth struct {
	node     diagram.Node
	says     *Constraint // nil for what the base implies by itself
	fact     *Fact       // the fact it is about, if it is not a constraint
	defaults bool        // it only says what a blank means, and an answer may contradict it
}

// projection names a joint of the truths over some questions.
type projection struct {
	view View
	keep string
}

func (s *Space) collectTruths(answers Answers) {
	b, st := s.Base, s.Store
	add := func(t truth) {
		if t.node != diagram.True {
			s.truths = append(s.truths, t)
		}
	}
	for _, c := range b.Constraints {
		add(truth{node: st.Not(s.Node(c.Never)), says: c})
	}
	for _, f := range b.Facts {
		applies := s.Node(f.Applies)
		if f.Applies != nil {
			add(truth{node: st.Or(applies, s.elseNode(f)), fact: f})
		}
		if a, ok := answers[f.ID]; f.hasDefault() && (!ok || f.isDefault(a)) {
			add(truth{node: st.Or(st.Not(applies), s.literal(f.vars[0], 1<<f.index(f.Blank))), fact: f, defaults: true})
		}
		for _, v := range f.vars {
			if s.limit[v] != 0 {
				if set := s.limit[v]; set&(set-1) != 0 {
					add(truth{node: st.Literal(v, set), fact: f})
				}
			}
		}
		for _, v := range f.strange {
			add(truth{node: st.Not(s.Is(f, v)), fact: f})
		}
		if f.Kind == Several {
			s.severalTruths(f, add)
		}
	}
	s.orderFacts()
}

// elseNode returns the function "the fact has the value that it has where it does not apply".
func (s *Space) elseNode(f *Fact) diagram.Node {
	switch f.Kind {
	case Several:
		nodes := make([]diagram.Node, len(f.vars))
		for i, v := range f.Values {
			nodes[i] = s.literal(f.vars[i], 1)
			if slices.Contains(f.Else, v.ID) {
				nodes[i] = s.literal(f.vars[i], 1<<1)
			}
		}
		return s.Store.AndAll(nodes)
	case Number:
		return s.literal(f.vars[0], 1<<f.Cell(f.ElseNumber))
	}
	return s.literal(f.vars[0], 1<<f.index(f.Else[0]))
}

// severalTruths says how many values can be true at once, and ties the two ends of a list to its values.
func (s *Space) severalTruths(f *Fact, add func(truth)) {
	st := s.Store
	has := func(i int) diagram.Node { return s.literal(f.vars[i], 1<<1) }
	if f.Most > 0 {
		var free []diagram.Var
		left := f.Most
		for _, v := range f.vars {
			switch s.limit[v] {
			case 1 << 1:
				left--
			case 1 << 0:
			default:
				free = append(free, v)
			}
		}
		if left < 0 {
			add(truth{node: diagram.False, fact: f})
		} else if left < len(free) {
			add(truth{node: st.AtMost(free, left), fact: f})
		}
	}
	for _, id := range []string{f.First, f.Last} {
		if id == "" {
			continue
		}
		end := s.Base.facts[id]
		is := func(i int) diagram.Node { return s.literal(end.vars[0], 1<<i) }
		var other, any []diagram.Node
		for i, v := range f.Values {
			any = append(any, has(i))
			if at := end.index(v.ID); at < len(end.named) {
				add(truth{node: st.Or(st.Not(is(at)), has(i)), fact: f})
			} else {
				other = append(other, has(i))
			}
		}
		add(truth{node: st.Or(st.Not(is(len(end.named)+1)), st.OrAll(other)), fact: f})
		// The list is empty exactly where it has no end.
		some, none := st.OrAll(any), is(len(end.named))
		add(truth{node: st.Or(st.Not(none), st.Not(some)), fact: f})
		add(truth{node: st.Or(none, some), fact: f})
	}
}

// orderFacts orders the facts for elimination: those that few truths touch first.
func (s *Space) orderFacts() {
	degree := map[*Fact]int{}
	for _, t := range s.truths {
		seen := map[*Fact]bool{}
		for _, v := range s.Store.Support(t.node) {
			if f := s.Base.vars[v].fact.Parent(); !seen[f] {
				seen[f] = true
				degree[f]++
			}
		}
	}
	for _, f := range s.Base.Facts {
		if degree[f] > 0 {
			s.order = append(s.order, f)
		}
	}
	slices.SortStableFunc(s.order, func(f, g *Fact) int { return degree[f] - degree[g] })
}

// View says which blank facts with a default stand for it.
type View struct {
	free bool
	fact *Fact
}

// The views: every blank with a default has the value that its blank means, or none needs to.
var (
	Defaults = View{}
	Free     = View{free: true}
)

// FreeOf is Defaults but for one fact, which may have any value.
func FreeOf(f *Fact) View {
	if !f.hasDefault() {
		return Defaults
	}
	return View{fact: f}
}

func (v View) keeps(t truth) bool { return !t.defaults || !v.free && t.fact != v.fact }

// Valid returns the function "this case can occur", as far as the questions that the given functions depend on can tell.
func (s *Space) Valid(v View, nodes ...diagram.Node) diagram.Node {
	keep := s.Store.NewSet()
	for _, n := range nodes {
		keep.Union(s.Store.SupportSet(n))
	}
	key := projection{v, string(setKey(keep))}
	if n, ok := s.valid[key]; ok {
		return n
	}
	var active []diagram.Node
	for _, t := range s.truths {
		if v.keeps(t) {
			active = append(active, t.node)
		}
	}
	n := s.project(active, keep)
	s.valid[key] = n
	return n
}

// project joins truths and takes out of them every question that is not to be kept, one fact at a time: the truths that
// touch it are joined and it is quantified away. Steps are remembered, since the same ones come again.
func (s *Space) project(active []diagram.Node, keep diagram.Set) diagram.Node {
	for _, f := range s.order {
		gone := s.Store.NewSet()
		var vars []diagram.Var
		for _, v := range slices.Concat(f.vars, s.Base.endVars(f)) {
			if !keep.Has(v) {
				gone.Add(v)
				vars = append(vars, v)
			}
		}
		rest := make([]diagram.Node, 0, len(active))
		var touching []diagram.Node
		for _, n := range active {
			if gone.Meets(s.Store.SupportSet(n)) {
				touching = append(touching, n)
			} else {
				rest = append(rest, n)
			}
		}
		if touching == nil {
			continue
		}
		step := setKey(gone)
		for _, n := range touching {
			step = binary.LittleEndian.AppendUint32(step, uint32(n))
		}
		n, ok := s.dropped[string(step)]
		if !ok {
			n = s.Store.Exists(s.Store.AndAll(touching), vars)
			s.dropped[string(step)] = n
		}
		active = rest
		if n != diagram.True {
			active = append(active, n)
		}
	}
	return s.Store.AndAll(active)
}

func setKey(set diagram.Set) (key []byte) {
	for _, w := range set {
		key = binary.LittleEndian.AppendUint64(key, w)
	}
	return key
}

// All returns the function "this case can occur" over every question.
func (s *Space) All() diagram.Node { return s.Store.AndAll(s.Truths()) }

// Truths returns the functions of which All is made.
func (s *Space) Truths() (parts []diagram.Node) {
	for _, t := range s.truths {
		if !t.defaults {
			parts = append(parts, t.node)
		}
	}
	return parts
}

// Contradiction is an answer set that no case can have.
type Contradiction struct {
	Facts       []string      // the answered facts that cannot stand together
	Constraints []*Constraint // that they break
}

// contradiction looks for truths that cannot hold together, and if there are some names as few as it takes.
func (s *Space) contradiction(answers Answers) *Contradiction {
	if s.Occurs(Defaults, diagram.True) {
		return nil
	}
	impossible := func(ts []truth) bool {
		nodes := make([]diagram.Node, len(ts))
		for i, t := range ts {
			nodes[i] = t.node
		}
		return s.Store.AndAll(nodes) == diagram.False
	}
	// What blanks mean comes last, so that it is blamed only where the answers alone could stand.
	var ts, blanks []truth
	for _, t := range s.truths {
		if t.defaults {
			blanks = append(blanks, t)
		} else {
			ts = append(ts, t)
		}
	}
	ts = append(ts, blanks...)
	// The first truth that makes the ones before it impossible is in; then as many of the others as can go are left out.
	n := 1
	for !impossible(ts[:n]) {
		n++
	}
	ts = ts[:n]
	for i := 0; i < len(ts); {
		if fewer := slices.Concat(ts[:i], ts[i+1:]); impossible(fewer) {
			ts = fewer
		} else {
			i++
		}
	}
	c := &Contradiction{}
	for _, t := range ts {
		var conds []*Cond
		if t.says != nil {
			c.Constraints = append(c.Constraints, t.says)
			conds = append(conds, t.says.Never)
		} else {
			c.Facts = append(c.Facts, t.fact.ID)
			conds = append(conds, t.fact.Applies)
		}
		for _, cond := range conds {
			cond.Walk(func(test *Test) {
				if test.Fact == nil {
					return
				}
				if f := test.Fact.Parent(); answers.has(f.ID) {
					c.Facts = append(c.Facts, f.ID)
				}
			})
		}
	}
	slices.Sort(c.Facts)
	c.Facts = slices.Compact(c.Facts)
	return c
}
