package rules

import (
	"encoding/binary"
	"fmt"
	"slices"
	"strings"

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
	order    []*Fact // in which facts are eliminated from the truths
	supports map[diagram.Node]varSet
	valid    map[string]diagram.Node // projections of the truths
	dropped  map[string]diagram.Node // steps of projections
}

// varSet is a set of questions.
type varSet []uint64

func (s varSet) add(v diagram.Var)      { s[v/64] |= 1 << (v % 64) }
func (s varSet) has(v diagram.Var) bool { return s[v/64]>>(v%64)&1 == 1 }

func (s varSet) union(t varSet) {
	for i := range s {
		s[i] |= t[i]
	}
}

func (s varSet) meets(t varSet) bool {
	for i := range s {
		if s[i]&t[i] != 0 {
			return true
		}
	}
	return false
}

func (s varSet) key(b []byte) []byte {
	for _, w := range s {
		b = binary.LittleEndian.AppendUint64(b, w)
	}
	return b
}

// truth is a statement that every case keeps.
type truth struct {
	node     diagram.Node
	says     *Constraint // nil for what the base implies by itself
	fact     *Fact       // the fact it is about, if it is not a constraint
	defaults bool        // it only says what a blank means, and an answer may contradict it
}

// Compile makes the space of a partial case. nodeCap bounds the diagrams; 0 is diagram.DefaultCap.
func (b *Base) Compile(answers Answers, nodeCap int) (s *Space, err error) {
	sizes := make([]int, len(b.vars))
	for v, variable := range b.vars {
		sizes[v] = variable.size
	}
	s = &Space{Base: b, Store: diagram.New(sizes, b.order, nodeCap), limit: b.limit(answers), findings: map[*Finding][]diagram.Node{}, supports: map[diagram.Node]varSet{}, valid: map[string]diagram.Node{}, dropped: map[string]diagram.Node{}}
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

// support returns the questions that a function depends on. It must not be changed.
func (s *Space) support(n diagram.Node) varSet {
	set, ok := s.supports[n]
	if !ok {
		set = make(varSet, (len(s.Base.vars)+63)/64)
		for _, v := range s.Store.Support(n) {
			set.add(v)
		}
		s.supports[n] = set
	}
	return set
}

// Valid returns the function "this case can occur", as far as the questions that the given functions depend on can tell.
// A blank fact with a default has the value that its blank means.
func (s *Space) Valid(nodes ...diagram.Node) diagram.Node {
	return s.project(func(t truth) bool { return true }, 'd', nodes)
}

// ValidWithout is Valid with the default of one fact left out, or of all facts if it is nil.
func (s *Space) ValidWithout(f *Fact, nodes ...diagram.Node) diagram.Node {
	mode := byte('n')
	if f != nil {
		if !f.hasDefault() {
			return s.Valid(nodes...)
		}
		mode = byte(f.vars[0]) | 0x80
	}
	return s.project(func(t truth) bool { return !t.defaults || f != nil && t.fact != f }, mode, nodes)
}

// project joins the truths and takes out of them every question that none of the nodes depends on, one fact at a time:
// the truths that touch it are joined and it is quantified away. Steps are remembered, since the same ones come again.
func (s *Space) project(use func(truth) bool, mode byte, nodes []diagram.Node) diagram.Node {
	keep := make(varSet, (len(s.Base.vars)+63)/64)
	for _, n := range nodes {
		keep.union(s.support(n))
	}
	key := string(keep.key([]byte{mode}))
	if n, ok := s.valid[key]; ok {
		return n
	}
	var active []diagram.Node
	for _, t := range s.truths {
		if use(t) {
			active = append(active, t.node)
		}
	}
	for _, f := range s.order {
		gone := make(varSet, len(keep))
		var vars []diagram.Var
		for _, v := range slices.Concat(f.vars, s.Base.endVars(f)) {
			if !keep.has(v) {
				gone.add(v)
				vars = append(vars, v)
			}
		}
		rest := make([]diagram.Node, 0, len(active))
		var touching []diagram.Node
		for _, n := range active {
			if gone.meets(s.support(n)) {
				touching = append(touching, n)
			} else {
				rest = append(rest, n)
			}
		}
		if touching == nil {
			continue
		}
		step := gone.key(nil)
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
	n := s.Store.AndAll(active)
	s.valid[key] = n
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
	if s.Valid() != diagram.False {
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

// First returns, for each way in which the method could be the first choice, the functions that must all hold: it has
// one verdict and place, and every other method a worse one. It is not joined, since that would take gigabytes.
func (s *Space) First(m *Method) (ways [][]diagram.Node) {
	b, st := s.Base, s.Store
	if m.LastResort {
		var nodes []diagram.Node
		for _, other := range b.Methods {
			if other != m {
				nodes = append(nodes, st.AtLeast(s.Verdict(other), int(NoUse)))
			}
		}
		return [][]diagram.Node{nodes}
	}
	// The classes from best to worst; better[k] says that a method is in a class before k.
	classes := []Verdict{Favoured, Possible, Discouraged}
	is := func(n diagram.Node, v Verdict) diagram.Node {
		return st.And(st.AtLeast(n, int(v)), st.Not(st.AtLeast(n, int(v)+1)))
	}
	for k, class := range classes {
		for _, care := range []bool{false, true} {
			mine := st.And(is(s.Verdict(m), class), s.careIs(m, care))
			if mine == diagram.False {
				continue
			}
			nodes := []diagram.Node{mine}
			for _, other := range b.Methods {
				if other == m || other.LastResort {
					continue
				}
				verdict := s.Verdict(other)
				ahead := diagram.False
				for _, better := range classes[:k] {
					ahead = st.Or(ahead, is(verdict, better))
				}
				same := is(verdict, class)
				if care {
					ahead = st.Or(ahead, st.And(same, s.careIs(other, false)))
				}
				if other.Rank < m.Rank {
					ahead = st.Or(ahead, st.And(same, s.careIs(other, care)))
				}
				nodes = append(nodes, st.Not(ahead))
			}
			ways = append(ways, nodes)
		}
	}
	return ways
}

// careIs returns the function "a ranking table gives the method a caution", or its opposite.
func (s *Space) careIs(m *Method, care bool) diagram.Node {
	var nodes []diagram.Node
	for i, r := range s.Base.Rules {
		if r.Cell != "" && r.With.Has(m.Rank) && r.Attach[Caution] != nil && s.Base.ranks(r.Cell) {
			nodes = append(nodes, s.rules[i])
		}
	}
	n := s.Store.OrAll(nodes)
	if !care {
		n = s.Store.Not(n)
	}
	return n
}

// Words names the answers of a complete case to the questions that some functions depend on.
func (s *Space) Words(values []uint8, nodes ...diagram.Node) []string {
	var words []string
	lists := map[*Fact][]string{}
	seen := map[*Fact]bool{}
	for _, n := range nodes {
		for _, v := range s.Store.Support(n) {
			f := s.Base.vars[v].fact
			if seen[f] && f.Kind != Several {
				continue
			}
			i := int(values[v])
			switch {
			case f.Kind == Several:
				if i == 1 {
					lists[f] = append(lists[f], f.Values[s.Base.vars[v].value].ID)
				}
			case f.Kind == Number:
				words = append(words, fmt.Sprintf("%s = %g", f.ID, f.Sample(i)))
			case f.ends != nil:
				if i < len(f.named) {
					words = append(words, f.ID+" = "+f.named[i])
				}
			default:
				words = append(words, f.ID+" = "+f.Values[i].ID)
			}
			seen[f] = true
		}
	}
	for _, f := range s.Base.Facts {
		if seen[f] && f.Kind == Several {
			words = append(words, fmt.Sprintf("%s = [%s]", f.ID, strings.Join(lists[f], ", ")))
		}
	}
	return words
}
