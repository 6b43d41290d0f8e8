package rules

import (
	"maps"
	"slices"

	"patchfirst/rules/diagram"
)

// Space is the base compiled to diagrams for one partial case: answered questions are gone from it, blank ones remain.
// With no answers it is the whole space of cases.
type Space struct {
	Base  *Base
	Store *diagram.Store

	limit    diagram.Case
	findings map[*Finding][]diagram.Node // by level: at least that level
	rules    []diagram.Node              // by place in Base.Rules
	truths   []truth
	parent   []diagram.Var // union-find over the questions that truths join
	joined   map[joinedKey]diagram.Node
}

// truth is a statement that every case keeps.
type truth struct {
	node     diagram.Node
	says     *Constraint // nil for what the base implies by itself
	fact     *Fact       // the fact it is about, if it is not a constraint
	defaults bool        // it only says what a blank means, and an answer may contradict it
}

type joinedKey struct {
	component diagram.Var
	defaults  bool
}

// Compile makes the space of a partial case. nodeCap bounds the diagrams; 0 is diagram.DefaultCap.
func (b *Base) Compile(answers Answers, nodeCap int) (s *Space, err error) {
	sizes := make([]int, len(b.vars))
	for v, variable := range b.vars {
		sizes[v] = variable.size
	}
	s = &Space{Base: b, Store: diagram.New(sizes, b.order, nodeCap), limit: b.limit(answers), findings: map[*Finding][]diagram.Node{}, joined: map[joinedKey]diagram.Node{}}
	err = s.Store.Try(func() {
		s.raise()
		s.rules = make([]diagram.Node, len(b.Rules))
		for i, r := range b.Rules {
			s.rules[i] = s.Node(r.When)
		}
		s.collectTruths(answers)
	})
	return s, err
}

// raise compiles the findings, each after those that its rules read.
func (s *Space) raise() {
	raisers := map[*Finding][]*Rule{}
	for _, r := range s.Base.Rules {
		for id := range r.Raises {
			f := s.Base.findings[id]
			raisers[f] = append(raisers[f], r)
		}
	}
	var compile func(*Finding)
	compile = func(f *Finding) {
		if s.findings[f] != nil {
			return
		}
		levels := make([][]diagram.Node, len(f.Scale))
		for _, r := range raisers[f] {
			r.When.Walk(func(t *Test) {
				if t.Op == OpLevel {
					compile(t.Finding)
				}
			})
			n := s.Node(r.When)
			for k := 1; k <= slices.Index(f.Scale, r.Raises[f.ID]); k++ {
				levels[k] = append(levels[k], n)
			}
		}
		nodes := make([]diagram.Node, len(f.Scale))
		nodes[0] = diagram.True
		for k := 1; k < len(nodes); k++ {
			nodes[k] = s.Store.OrAll(levels[k])
		}
		s.findings[f] = nodes
	}
	for _, f := range s.Base.Findings {
		compile(f)
	}
}

// literal returns the function "the answer to v is in set" inside the space.
func (s *Space) literal(v diagram.Var, set uint64) diagram.Node {
	if possible := s.limit[v]; possible != 0 {
		switch {
		case possible&set == 0:
			return diagram.False
		case possible&^set == 0:
			return diagram.True
		}
	}
	return s.Store.Literal(v, set)
}

// Node compiles a condition; nil is True.
func (s *Space) Node(c *Cond) diagram.Node {
	if c == nil {
		return diagram.True
	}
	return s.test(c.Root)
}

func (s *Space) test(t *Test) diagram.Node {
	switch t.Op {
	case OpAnd, OpOr:
		args := make([]diagram.Node, len(t.Args))
		for i, a := range t.Args {
			args[i] = s.test(a)
		}
		if t.Op == OpAnd {
			return s.Store.AndAll(args)
		}
		return s.Store.OrAll(args)
	case OpNot:
		return s.Store.Not(s.test(t.Args[0]))
	case OpLevel:
		levels := s.findings[t.Finding]
		atLeast := func(k int) diagram.Node {
			if k >= len(levels) {
				return diagram.False
			}
			return levels[k]
		}
		switch t.Cmp {
		case ">=":
			return atLeast(t.Level)
		case ">":
			return atLeast(t.Level + 1)
		case "<":
			return s.Store.Not(atLeast(t.Level))
		case "<=":
			return s.Store.Not(atLeast(t.Level + 1))
		}
		exactly := s.Store.And(atLeast(t.Level), s.Store.Not(atLeast(t.Level+1)))
		if t.Cmp == "!=" {
			return s.Store.Not(exactly)
		}
		return exactly
	}
	return s.literal(t.literal())
}

// Finding returns the function "the finding is at least at this level".
func (s *Space) Finding(f *Finding, level int) diagram.Node { return s.findings[f][level] }

// Rule returns the function "the rule fires", by the rule's place in the base.
func (s *Space) Rule(i int) diagram.Node { return s.rules[i] }

// Gives returns the function "some rule gives the method this verdict".
func (s *Space) Gives(verdict Verdict, m *Method) diagram.Node {
	var nodes []diagram.Node
	for i, r := range s.Base.Rules {
		if r.Gives[verdict].Has(m.Rank) {
			nodes = append(nodes, s.rules[i])
		}
	}
	return s.Store.OrAll(nodes)
}

// Verdict returns the function whose leaf is the verdict of the method.
func (s *Space) Verdict(m *Method) diagram.Node {
	n := diagram.False
	for v := Favoured; v <= RuledOut; v++ {
		n = s.Store.Max(n, s.Store.Scale(s.Gives(v, m), int(v)))
	}
	return n
}

// Attaches returns the function "some rule attaches the note to the method".
func (s *Space) Attaches(kind NoteKind, id string, m *Method) diagram.Node {
	var nodes []diagram.Node
	for i, r := range s.Base.Rules {
		if r.With.Has(m.Rank) && slices.Contains(r.Attach[kind], id) {
			nodes = append(nodes, s.rules[i])
		}
	}
	return s.Store.OrAll(nodes)
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
		if f.Kind == Several {
			s.severalTruths(f, add)
		}
	}
	s.join()
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

// join finds the components of questions that truths tie together: a truth of another component cannot matter.
func (s *Space) join() {
	s.parent = make([]diagram.Var, len(s.Base.vars))
	for v := range s.parent {
		s.parent[v] = diagram.Var(v)
	}
	for _, t := range s.truths {
		support := s.Store.Support(t.node)
		for _, v := range support {
			s.parent[s.component(v)] = s.component(support[0])
		}
	}
}

func (s *Space) component(v diagram.Var) diagram.Var {
	for s.parent[v] != v {
		s.parent[v] = s.parent[s.parent[v]]
		v = s.parent[v]
	}
	return v
}

// Valid returns the function "this case can occur", as far as it touches the questions that the given functions depend
// on. With defaults a blank fact has the value that its blank means.
func (s *Space) Valid(defaults bool, nodes ...diagram.Node) diagram.Node {
	var parts []diagram.Node
	seen := map[diagram.Var]bool{}
	for _, n := range nodes {
		for _, v := range s.Store.Support(n) {
			if c := s.component(v); !seen[c] {
				seen[c] = true
				parts = append(parts, s.part(c, defaults))
			}
		}
	}
	return s.Store.AndAll(parts)
}

func (s *Space) part(component diagram.Var, defaults bool) diagram.Node {
	key := joinedKey{component, defaults}
	if n, ok := s.joined[key]; ok {
		return n
	}
	var nodes []diagram.Node
	for _, t := range s.truths {
		if t.defaults && !defaults {
			continue
		}
		if support := s.Store.Support(t.node); len(support) > 0 && s.component(support[0]) == component {
			nodes = append(nodes, t.node)
		}
	}
	n := s.Store.AndAll(nodes)
	s.joined[key] = n
	return n
}

// All returns the function "this case can occur" over every question.
func (s *Space) All() diagram.Node {
	var parts []diagram.Node
	for _, t := range s.truths {
		if !t.defaults {
			parts = append(parts, t.node)
		}
	}
	return s.Store.AndAll(parts)
}

// Contradiction is an answer set that no case can have.
type Contradiction struct {
	Facts       []string      // the answered facts that cannot stand together
	Constraints []*Constraint // that they break
}

// contradiction looks for truths that cannot hold together, and if there are some names as few as it takes.
func (s *Space) contradiction(answers Answers) *Contradiction {
	impossible := func(ts []truth) bool {
		nodes := make([]diagram.Node, len(ts))
		for i, t := range ts {
			nodes[i] = t.node
		}
		return s.Store.AndAll(nodes) == diagram.False
	}
	byComponent := map[diagram.Var][]truth{}
	for _, t := range s.truths {
		if t.defaults {
			continue
		}
		key := diagram.Var(-1)
		if support := s.Store.Support(t.node); len(support) > 0 {
			key = s.component(support[0])
		}
		byComponent[key] = append(byComponent[key], t)
	}
	for _, key := range slices.Sorted(maps.Keys(byComponent)) {
		ts := byComponent[key]
		if !impossible(ts) {
			continue
		}
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
					if f := test.Fact.parent(); answers.has(f.ID) {
						c.Facts = append(c.Facts, f.ID)
					}
				})
			}
		}
		slices.Sort(c.Facts)
		c.Facts = slices.Compact(c.Facts)
		return c
	}
	return nil
}
