package rules

import (
	"fmt"
	"slices"
	"strings"

	"github.com/expr-lang/expr/ast"
	"github.com/expr-lang/expr/file"
	"github.com/expr-lang/expr/parser"

	"patchfirst/rules/diagram"
)

// Cond is a checked condition. Its tree is a small one of our own: what the diagrams need, and where each part stands.
type Cond struct {
	Text string
	Root *Test
	Pos  Pos
}

// Op is what a node of a condition does.
type Op int

// The operations of a condition.
const (
	OpAnd   Op = iota // all of Args
	OpOr              // any of Args
	OpNot             // not Args[0]
	OpIn              // the answer to Fact is one of Values
	OpHas             // Values[0] is in the list of the several-fact Fact
	OpCmp             // Fact is on the Cmp side of Number
	OpLevel           // Finding is on the Cmp side of level Level
)

// Test is a node of a condition.
type Test struct {
	Op       Op
	Args     []*Test
	Fact     *Fact
	Finding  *Finding
	Values   []string
	Negated  bool   // of OpIn: written with != or not in
	Cmp      string // < <= > >= == !=
	Number   float64
	Level    int
	From, To int // runes of Cond.Text

	// Of OpIn, OpHas and OpCmp: the question of the diagrams, and the answers to it for which the test holds.
	asks  diagram.Var
	holds uint64
}

// Parse checks a condition against the facts, findings and groups of the base. All mistakes are returned at once; at
// gives the place of a rune of the text.
func (b *Base) Parse(text string, at func(rune int) Pos) (*Cond, Problems) {
	p := condParser{base: b, text: text, at: at}
	tree, err := parser.Parse(text)
	if err != nil {
		d := Diagnostic{Pos: at(0), Summary: "the condition cannot be read: " + err.Error()}
		if fe, ok := err.(*file.Error); ok {
			d.Pos, d.Summary = at(fe.From), "the condition cannot be read: "+fe.Message
		}
		d.Fix = `Write comparisons such as fact == "value", joined by && and ||.`
		return nil, Problems{d}
	}
	root := p.bool(tree.Node)
	if len(p.problems) > 0 {
		return nil, p.problems
	}
	c := &Cond{Text: text, Root: root, Pos: at(0)}
	if b.vars != nil {
		c.Walk((*Test).place)
	}
	return c, nil
}

type condParser struct {
	base     *Base
	text     string
	at       func(int) Pos
	problems Problems
}

func (p *condParser) fail(n ast.Node, fix, format string, args ...any) *Test {
	from, _ := span(n)
	p.problems = append(p.problems, Diagnostic{Pos: p.at(from), Summary: fmt.Sprintf(format, args...), Fix: fix})
	return &Test{Op: OpOr}
}

// span returns the runes that a node covers: a binary node's own location is only its operator.
func span(n ast.Node) (from, to int) {
	from, to = n.Location().From, n.Location().To
	widen := func(child ast.Node) {
		f, t := span(child)
		from, to = min(from, f), max(to, t)
	}
	switch n := n.(type) {
	case *ast.BinaryNode:
		widen(n.Left)
		widen(n.Right)
	case *ast.UnaryNode:
		widen(n.Node)
	}
	return from, to
}

func (p *condParser) bool(n ast.Node) *Test {
	from, to := span(n)
	switch n := n.(type) {
	case *ast.BinaryNode:
		var t *Test
		switch n.Operator {
		case "&&", "and":
			if chained(n) {
				return p.fail(n, "Write the two comparisons apart, joined by &&.", "comparisons cannot be chained")
			}
			t = p.join(OpAnd, n.Left, n.Right)
		case "||", "or":
			t = p.join(OpOr, n.Left, n.Right)
		case "==", "!=", "<", "<=", ">", ">=":
			t = p.compare(n)
		case "in":
			t = p.in(n)
		default:
			t = p.fail(n, "Conditions know == != < <= > >= in && || and !.", "%q is not known in conditions", n.Operator)
		}
		t.From, t.To = from, to
		return t
	case *ast.UnaryNode:
		if n.Operator == "!" || n.Operator == "not" {
			return &Test{Op: OpNot, Args: []*Test{p.bool(n.Node)}, From: from, To: to}
		}
		return p.fail(n, "", "%q is not known in conditions", n.Operator)
	case *ast.IdentifierNode:
		if f := p.base.facts[n.Value]; f != nil && f.YesNo {
			return p.fail(n, fmt.Sprintf(`Write %s == "yes".`, n.Value), "%q alone is not a comparison", n.Value)
		}
		return p.fail(n, `Write a comparison such as fact == "value".`, "%q alone is not a comparison", n.Value)
	case *ast.BoolNode:
		return p.fail(n, "Leave the condition out where it always holds.", "true and false are not conditions")
	}
	return p.fail(n, `Write a comparison such as fact == "value" or number < 10.`, "conditions know no %s", nodeName(n))
}

// chained reports whether a conjunction was written as 5 < x < 10: the parser then uses the node of x twice.
func chained(n *ast.BinaryNode) bool {
	left, ok := n.Left.(*ast.BinaryNode)
	right, also := n.Right.(*ast.BinaryNode)
	return ok && also && left.Right == right.Left
}

func nodeName(n ast.Node) string {
	switch n.(type) {
	case *ast.CallNode, *ast.BuiltinNode:
		return "functions"
	case *ast.PredicateNode, *ast.PointerNode:
		return "closures"
	case *ast.ConditionalNode:
		return "choices with ? and :"
	case *ast.MemberNode, *ast.ChainNode, *ast.SliceNode:
		return "members"
	case *ast.StringNode:
		return "text standing alone"
	case *ast.IntegerNode, *ast.FloatNode:
		return "number standing alone"
	}
	return "such expression"
}

func (p *condParser) join(op Op, left, right ast.Node) *Test {
	t := &Test{Op: op}
	for _, n := range []ast.Node{left, right} {
		arg := p.bool(n)
		if arg.Op == op && len(arg.Args) > 0 {
			t.Args = append(t.Args, arg.Args...)
		} else {
			t.Args = append(t.Args, arg)
		}
	}
	return t
}

var mirrored = map[string]string{"<": ">", "<=": ">=", ">": "<", ">=": "<=", "==": "==", "!=": "!="}

func (p *condParser) compare(n *ast.BinaryNode) *Test {
	left, right, op := n.Left, n.Right, n.Operator
	name, ok := left.(*ast.IdentifierNode)
	if !ok {
		if name, ok = right.(*ast.IdentifierNode); ok {
			left, right, op = right, left, mirrored[op]
		}
	}
	if !ok {
		return p.fail(n, `Write the question on one side: fact == "value".`, "a comparison needs a question")
	}
	if f := p.base.findings[name.Value]; f != nil {
		s, ok := right.(*ast.StringNode)
		if !ok {
			return p.fail(right, "Levels: "+strings.Join(f.Scale, ", ")+".", "%q is compared with one of its levels, in quotes", f.ID)
		}
		level := slices.Index(f.Scale, s.Value)
		if level < 0 {
			return p.fail(right, DidYouMean(s.Value, f.Scale), "%q is not a level of %q", s.Value, f.ID)
		}
		return &Test{Op: OpLevel, Finding: f, Cmp: op, Level: level}
	}
	f := p.fact(name)
	if f == nil {
		return &Test{Op: OpOr}
	}
	switch f.Kind {
	case Several:
		return p.fail(n, fmt.Sprintf(`Write "value" in %s.`, f.ID), "%q is a list: it cannot be compared", f.ID)
	case Number:
		v, ok := number(right)
		if !ok {
			return p.fail(right, "Write a number without quotes.", "%q is a number", f.ID)
		}
		return &Test{Op: OpCmp, Fact: f, Cmp: op, Number: v}
	}
	if op != "==" && op != "!=" {
		return p.fail(n, "Use == or !=, or make it a finding with a scale.", "the values of %q have no order", f.ID)
	}
	values := p.values(f, right)
	return &Test{Op: OpIn, Fact: f, Values: values, Negated: op == "!="}
}

func number(n ast.Node) (float64, bool) {
	switch n := n.(type) {
	case *ast.IntegerNode:
		return float64(n.Value), true
	case *ast.FloatNode:
		return n.Value, true
	case *ast.UnaryNode:
		if v, ok := number(n.Node); ok && n.Operator == "-" {
			return -v, true
		}
	}
	return 0, false
}

func (p *condParser) fact(n *ast.IdentifierNode) *Fact {
	f := p.base.facts[n.Value]
	if f == nil {
		known := make([]string, 0, len(p.base.facts)+len(p.base.findings))
		for id := range p.base.facts {
			known = append(known, id)
		}
		for id := range p.base.findings {
			known = append(known, id)
		}
		slices.Sort(known)
		p.fail(n, DidYouMean(n.Value, known), "there is no question or finding %q", n.Value)
	}
	return f
}

// values checks one quoted value of a fact.
func (p *condParser) values(f *Fact, n ast.Node) []string {
	s, ok := n.(*ast.StringNode)
	if !ok {
		p.fail(n, fmt.Sprintf(`Put the value in quotes, as in %s == %q.`, f.ID, f.Values[0].ID), "%q is compared with one of its values", f.ID)
		return nil
	}
	if !f.Has(s.Value) {
		p.fail(n, DidYouMean(s.Value, f.ValueIDs()), "%q is not a value of %q", s.Value, f.ID)
		return nil
	}
	return []string{s.Value}
}

func (p *condParser) in(n *ast.BinaryNode) *Test {
	if s, ok := n.Left.(*ast.StringNode); ok {
		name, ok := n.Right.(*ast.IdentifierNode)
		if !ok {
			return p.fail(n.Right, `Write "value" in fact.`, "on the right of in there must be a question with a list")
		}
		f := p.fact(name)
		switch {
		case f == nil:
			return &Test{Op: OpOr}
		case f.Kind != Several:
			return p.fail(n, fmt.Sprintf(`Write %s == %q.`, f.ID, s.Value), "%q is not a list", f.ID)
		case !f.Has(s.Value):
			return p.fail(n.Left, DidYouMean(s.Value, f.ValueIDs()), "%q is not a value of %q", s.Value, f.ID)
		}
		return &Test{Op: OpHas, Fact: f, Values: []string{s.Value}}
	}
	name, ok := n.Left.(*ast.IdentifierNode)
	if !ok {
		return p.fail(n.Left, `Write fact in ["a", "b"] or "value" in fact.`, "on the left of in there must be a question or a value")
	}
	f := p.fact(name)
	if f == nil {
		return &Test{Op: OpOr}
	}
	if f.Kind != Choice {
		return p.fail(n, fmt.Sprintf(`Write "value" in %s, or compare a number with < and >=.`, f.ID), "%q has not one value", f.ID)
	}
	t := &Test{Op: OpIn, Fact: f}
	switch right := n.Right.(type) {
	case *ast.ArrayNode:
		for _, el := range right.Nodes {
			t.Values = append(t.Values, p.values(f, el)...)
		}
	case *ast.IdentifierNode:
		g := p.base.groups[right.Value]
		if g == nil {
			known := make([]string, 0, len(p.base.groups))
			for id := range p.base.groups {
				known = append(known, id)
			}
			slices.Sort(known)
			return p.fail(right, DidYouMean(right.Value, known), "there is no group %q", right.Value)
		}
		for _, v := range g.Is {
			if !f.Has(v) {
				return p.fail(right, "", "the group %q is of %q, and %q is not a value of %q", g.ID, g.Of, v, f.ID)
			}
		}
		t.Values = g.Is
	default:
		return p.fail(right, `Write fact in ["a", "b"] or fact in group.`, "ranges and other lists are not known in conditions")
	}
	return t
}

// anyOf returns the condition that the fact has, or holds, one of the values.
func anyOf(f *Fact, values []string, pos Pos) *Cond {
	quoted := make([]string, len(values))
	c := &Cond{Pos: pos}
	if f.Kind == Several {
		c.Root = &Test{Op: OpOr}
		from := 0
		for i, v := range values {
			quoted[i] = fmt.Sprintf("%q in %s", v, f.ID)
			c.Root.Args = append(c.Root.Args, &Test{Op: OpHas, Fact: f, Values: []string{v}, From: from, To: from + len(quoted[i])})
			from += len(quoted[i]) + len(" || ")
		}
		c.Text = strings.Join(quoted, " || ")
		return c
	}
	for i, v := range values {
		quoted[i] = fmt.Sprintf("%q", v)
	}
	c.Text = fmt.Sprintf("%s in [%s]", f.ID, strings.Join(quoted, ", "))
	c.Root = &Test{Op: OpIn, Fact: f, Values: values, To: len(c.Text)}
	return c
}

// Facts returns the facts that the condition reads: of the end of a list, the list. A nil condition reads none.
func (c *Cond) Facts() map[*Fact]bool {
	facts := map[*Fact]bool{}
	c.Walk(func(t *Test) {
		if t.Fact != nil {
			facts[t.Fact.Parent()] = true
		}
	})
	return facts
}

// Walk calls f on every node of the condition, parents first. A nil condition has none.
func (c *Cond) Walk(f func(*Test)) {
	if c == nil {
		return
	}
	var visit func(*Test)
	visit = func(t *Test) {
		f(t)
		for _, a := range t.Args {
			visit(a)
		}
	}
	visit(c.Root)
}

// Asks writes what the condition asks, groups spelled out: two conditions that write the same ask the same.
func (c *Cond) Asks() string {
	var b strings.Builder
	c.Walk(func(t *Test) {
		fmt.Fprintf(&b, "%d/%d %q %v %s %g %d;", t.Op, len(t.Args), t.Values, t.Negated, t.Cmp, t.Number, t.Level)
		if t.Fact != nil {
			b.WriteString(t.Fact.ID)
		}
		if t.Finding != nil {
			fmt.Fprintf(&b, "%s %s", t.Finding.ID, t.Finding.Scale)
		}
	})
	return b.String()
}
