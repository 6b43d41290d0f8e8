package rules

import (
	"slices"

	"patchfirst/rules/diagram"
)

// Space is the base compiled to diagrams for one partial case: answered questions are gone from it, blank ones remain.
// With no answers it is the whole space of cases.
type Space struct {
	Base  *Base
	Store *diagram.Store

	limit    diagram.Case
	findings map[*Finding][]diagram.Node // by level: at least that level; those that were asked for
	raisers  map[*Finding][]*Rule
	rules    []diagram.Node // by place in Base.Rules, or uncompiled
	verdicts []diagram.Node // by rank of the method, or uncompiled
	places   []diagram.Node // the same
	truths   []truth
	order    []*Fact // in which facts are eliminated from the truths
	valid    map[projection]diagram.Node
	dropped  map[string]diagram.Node // steps of projections
	worlds   map[View]*world
}

const uncompiled diagram.Node = -1

// Compile makes the space of a partial case. nodeCap bounds the diagrams; 0 is diagram.DefaultCap.
func (b *Base) Compile(answers Answers, nodeCap int) (*Space, error) {
	s, err := b.space(answers, nodeCap)
	if err != nil {
		return nil, err
	}
	return s, s.compile()
}

// compile compiles all rules and findings.
func (s *Space) compile() error {
	return s.Store.Try(func() {
		for _, f := range s.Base.Findings {
			s.levels(f)
		}
		for i := range s.Base.Rules {
			s.Rule(i)
		}
	})
}

// space makes the space of a partial case, and compiles rules and findings only when they are asked for.
func (b *Base) space(answers Answers, nodeCap int) (*Space, error) {
	return b.spaceIn(b.store(b.order, nodeCap), b.limit(answers), answers)
}

// spaceIn makes the space of the cases inside a limit.
func (b *Base) spaceIn(st *diagram.Store, limit diagram.Case, answers Answers) (*Space, error) {
	s := &Space{Base: b, Store: st, limit: limit,
		findings: map[*Finding][]diagram.Node{}, raisers: map[*Finding][]*Rule{}, rules: unknown(len(b.Rules)), verdicts: unknown(len(b.Methods)), places: unknown(len(b.Methods)),
		valid: map[projection]diagram.Node{}, dropped: map[string]diagram.Node{}, worlds: map[View]*world{}}
	for _, r := range b.Rules {
		for id := range r.Raises {
			s.raisers[b.findings[id]] = append(s.raisers[b.findings[id]], r)
		}
	}
	err := s.Store.Try(func() { s.collectTruths(answers) })
	return s, err
}

func unknown(n int) []diagram.Node { return slices.Repeat([]diagram.Node{uncompiled}, n) }

// levels compiles a finding, and so those that its rules read.
func (s *Space) levels(f *Finding) []diagram.Node {
	if nodes := s.findings[f]; nodes != nil {
		return nodes
	}
	raised := make([][]diagram.Node, len(f.Scale))
	for _, r := range s.raisers[f] {
		n := s.Node(r.When)
		for k := 1; k <= slices.Index(f.Scale, r.Raises[f.ID]); k++ {
			raised[k] = append(raised[k], n)
		}
	}
	nodes := make([]diagram.Node, len(f.Scale))
	nodes[0] = diagram.True
	for k := 1; k < len(nodes); k++ {
		nodes[k] = s.Store.OrAll(raised[k])
	}
	s.findings[f] = nodes
	return nodes
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
		levels := s.levels(t.Finding)
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
	return s.literal(t.asks, t.holds)
}

// Finding returns the function "the finding is at least at this level".
func (s *Space) Finding(f *Finding, level int) diagram.Node { return s.levels(f)[level] }

// Rule returns the function "the rule fires", by the rule's place in the base.
func (s *Space) Rule(i int) diagram.Node {
	if s.rules[i] == uncompiled {
		s.rules[i] = s.Node(s.Base.Rules[i].When)
	}
	return s.rules[i]
}

// Gives returns the function "some rule gives the method this verdict".
func (s *Space) Gives(verdict Verdict, m *Method) diagram.Node {
	var nodes []diagram.Node
	for i, r := range s.Base.Rules {
		if r.Gives[verdict].Has(m.Rank) {
			nodes = append(nodes, s.Rule(i))
		}
	}
	return s.Store.OrAll(nodes)
}

// strongest holds by verdict the tables "this verdict where it is given, if it is stronger than the one before".
var strongest = func() map[Verdict]*diagram.Table {
	tables := map[Verdict]*diagram.Table{}
	for v := Favoured; v <= RuledOut; v++ {
		tables[v] = diagram.NewTable(func(before, given int) int { return max(before, int(v)*given) % (diagram.MaxLeaf + 1) })
	}
	return tables
}()

// Verdict returns the function whose leaf is the verdict of the method.
func (s *Space) Verdict(m *Method) diagram.Node {
	if n := s.verdicts[m.Rank]; n != uncompiled {
		return n
	}
	n := diagram.False
	for v := Favoured; v <= RuledOut; v++ {
		n = s.Store.Combine(strongest[v], n, s.Gives(v, m))
	}
	s.verdicts[m.Rank] = n
	return n
}

// Attaches returns the function "some rule attaches the note to the method".
func (s *Space) Attaches(kind NoteKind, id string, m *Method) diagram.Node {
	var nodes []diagram.Node
	for i, r := range s.Base.Rules {
		if r.With.Has(m.Rank) && slices.Contains(r.Attach[kind], id) {
			nodes = append(nodes, s.Rule(i))
		}
	}
	return s.Store.OrAll(nodes)
}
