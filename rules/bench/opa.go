package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/open-policy-agent/opa/v1/rego"

	"patchfirst/rules"
)

// regoEngine asks OPA for the set of the rules that fire; findings are rules of the policy.
type regoEngine struct {
	b     *rules.Base
	query rego.PreparedEvalQuery
	cases []rego.EvalOption
}

func openRego(b *rules.Base, inputs []input) (engine, error) {
	var p policy
	p.WriteString("package p\n")
	for _, f := range b.Findings {
		for k := 1; k < len(f.Scale); k++ {
			fmt.Fprintf(&p, "default f_%s_%d := false\n", f.ID, k)
		}
		fmt.Fprintf(&p, "f_%s_0 := true\n", f.ID)
	}
	for i, r := range b.Rules {
		root := "true"
		if r.When != nil {
			root = p.test(r.When.Root)
		}
		fmt.Fprintf(&p, "fired contains %d if %s\n", i, root)
		for id, level := range r.Raises {
			for k, name := range b.Finding(id).Scale[1:] {
				fmt.Fprintf(&p, "f_%s_%d if %s\n", id, k+1, root)
				if name == level {
					break
				}
			}
		}
	}
	ctx := context.Background()
	query, err := rego.New(rego.Query("data.p.fired"), rego.Module("p.rego", p.String())).PrepareForEval(ctx)
	if err != nil {
		return nil, err
	}
	e := &regoEngine{b: b, query: query}
	for _, in := range inputs {
		e.cases = append(e.cases, rego.EvalInput(map[string]any(in)))
	}
	return e, nil
}

func (e *regoEngine) name() string { return "OPA, set of fired rules" }

func (e *regoEngine) fired(c int) ([]bool, error) {
	results, err := e.query.Eval(context.Background(), e.cases[c])
	if err != nil {
		return nil, err
	}
	fired := make([]bool, len(e.b.Rules))
	for _, v := range results[0].Expressions[0].Value.([]any) {
		var i int
		if _, err := fmt.Sscan(fmt.Sprint(v), &i); err != nil {
			return nil, err
		}
		fired[i] = true
	}
	return fired, nil
}

// policy writes conditions as Rego: a rule for each part of one, since Rego has no "or" inside a body.
type policy struct {
	strings.Builder
	parts int
}

// test writes a part and returns how to ask for it.
func (p *policy) test(t *rules.Test) string {
	switch t.Op {
	case rules.OpAnd, rules.OpOr:
		asks := make([]string, len(t.Args))
		for i, a := range t.Args {
			asks[i] = p.test(a)
		}
		p.parts++
		name := fmt.Sprintf("t_%d", p.parts)
		fmt.Fprintf(p, "default %s := false\n", name)
		if t.Op == rules.OpAnd {
			fmt.Fprintf(p, "%s if {\n\t%s\n}\n", name, strings.Join(asks, "\n\t"))
			return name
		}
		for _, a := range asks {
			fmt.Fprintf(p, "%s if %s\n", name, a)
		}
		return name
	case rules.OpNot:
		inner := p.test(t.Args[0])
		p.parts++
		name := fmt.Sprintf("t_%d", p.parts)
		fmt.Fprintf(p, "default %s := false\n%s if %s\n", name, name, inner)
		return "not " + name
	case rules.OpHas:
		return fmt.Sprintf("%q in input.%s", t.Values[0], t.Fact.ID)
	case rules.OpCmp:
		return fmt.Sprintf("input.%s %s %f", t.Fact.ID, t.Cmp, t.Number)
	case rules.OpLevel:
		level := func(k int) string {
			if k >= len(t.Finding.Scale) {
				return "false"
			}
			return fmt.Sprintf("f_%s_%d", t.Finding.ID, k)
		}
		switch t.Cmp {
		case ">=":
			return level(t.Level)
		case ">":
			return level(t.Level + 1)
		case "<":
			return "not " + level(t.Level)
		case "<=":
			return "not " + level(t.Level+1)
		}
		p.parts++
		name := fmt.Sprintf("t_%d", p.parts)
		fmt.Fprintf(p, "default %s := false\n%s if {\n\t%s\n\tnot %s\n}\n", name, name, level(t.Level), level(t.Level+1))
		if t.Cmp == "!=" {
			return "not " + name
		}
		return name
	}
	in := fmt.Sprintf("input.%s in {%s}", t.Fact.ID, quoted(t.Values))
	if t.Negated {
		return "not " + in
	}
	return in
}
