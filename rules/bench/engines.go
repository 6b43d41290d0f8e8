package main

import (
	"context"
	"fmt"
	"maps"
	"strings"

	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/vm"
	"github.com/google/cel-go/cel"
	"github.com/hyperjumptech/grule-rule-engine/ast"
	"github.com/hyperjumptech/grule-rule-engine/builder"
	grule "github.com/hyperjumptech/grule-rule-engine/engine"
	"github.com/hyperjumptech/grule-rule-engine/pkg"
	"github.com/open-policy-agent/opa/v1/rego"

	"patchfirst/rules"
)

// exprEngine runs one expr program a rule.
type exprEngine struct {
	b           *rules.Base
	envs        []map[string]any
	programs    []*vm.Program
	raise, rest []int
	vm          vm.VM
}

func openExpr(b *rules.Base, inputs []input) (engine, error) {
	e := &exprEngine{b: b, programs: make([]*vm.Program, len(b.Rules))}
	e.raise, e.rest = stages(b)
	for _, in := range inputs {
		e.envs = append(e.envs, maps.Clone(in))
	}
	env := maps.Clone(inputs[0])
	for _, f := range b.Findings {
		env[f.ID] = 0
	}
	for i, r := range b.Rules {
		if r.When == nil {
			continue
		}
		p, err := expr.Compile(text(r.When.Root), expr.Env(map[string]any(env)), expr.AsBool())
		if err != nil {
			return nil, err
		}
		e.programs[i] = p
	}
	return e, nil
}

func (e *exprEngine) name() string { return "expr, a program a rule" }

func (e *exprEngine) fired(c int) ([]bool, error) {
	env := e.envs[c]
	return inLevels(e.b, e.raise, e.rest, env, func(i int) (bool, error) {
		if e.programs[i] == nil {
			return true, nil
		}
		out, err := e.vm.Run(e.programs[i], env)
		if err != nil {
			return false, err
		}
		return out.(bool), nil
	})
}

// celEngine runs one CEL program a rule.
type celEngine struct {
	b           *rules.Base
	envs        []map[string]any
	programs    []cel.Program
	raise, rest []int
}

func openCEL(b *rules.Base, inputs []input) (engine, error) {
	e := &celEngine{b: b, programs: make([]cel.Program, len(b.Rules))}
	e.raise, e.rest = stages(b)
	for _, in := range inputs {
		e.envs = append(e.envs, maps.Clone(in))
	}
	var vars []cel.EnvOption
	for id, v := range inputs[0] {
		kind := cel.StringType
		switch v.(type) {
		case []string:
			kind = cel.ListType(cel.StringType)
		case float64:
			kind = cel.DoubleType
		}
		vars = append(vars, cel.Variable(id, kind))
	}
	for _, f := range b.Findings {
		vars = append(vars, cel.Variable(f.ID, cel.IntType))
	}
	env, err := cel.NewEnv(vars...)
	if err != nil {
		return nil, err
	}
	for i, r := range b.Rules {
		if r.When == nil {
			continue
		}
		tree, issues := env.Compile(text(r.When.Root))
		if issues.Err() != nil {
			return nil, issues.Err()
		}
		if e.programs[i], err = env.Program(tree, cel.EvalOptions(cel.OptOptimize)); err != nil {
			return nil, err
		}
	}
	return e, nil
}

func (e *celEngine) name() string { return "cel-go, a program a rule" }

func (e *celEngine) fired(c int) ([]bool, error) {
	env := e.envs[c]
	return inLevels(e.b, e.raise, e.rest, env, func(i int) (bool, error) {
		if e.programs[i] == nil {
			return true, nil
		}
		out, _, err := e.programs[i].Eval(env)
		if err != nil {
			return false, err
		}
		return out.Value().(bool), nil
	})
}

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

// gruleEngine matches all rules at once, with the findings given: its cycles would take far longer.
type gruleEngine struct {
	b     *rules.Base
	base  *ast.KnowledgeBase
	facts []*facts
}

// facts is what the rules of gruleEngine ask.
type facts struct {
	texts  map[string]string
	lists  map[string]map[string]bool
	nums   map[string]float64
	levels map[string]int64
	Fired  bool
}

// Is reports whether a text has a value.
func (f *facts) Is(fact, value string) bool { return f.texts[fact] == value }

// Has reports whether a list has a value.
func (f *facts) Has(fact, value string) bool { return f.lists[fact][value] }

// Num returns a number.
func (f *facts) Num(fact string) float64 { return f.nums[fact] }

// Level returns how high a finding stands.
func (f *facts) Level(finding string) int64 { return f.levels[finding] }

func openGrule(b *rules.Base, inputs []input) (engine, error) {
	var grl strings.Builder
	for i, r := range b.Rules {
		when := "true"
		if r.When != nil {
			when = grlText(r.When.Root)
		}
		fmt.Fprintf(&grl, "rule R%d \"r\" { when %s then F.Fired = true; }\n", i, when)
	}
	library := ast.NewKnowledgeLibrary()
	if err := builder.NewRuleBuilder(library).BuildRuleFromResource("p", "1", pkg.NewBytesResource([]byte(grl.String()))); err != nil {
		return nil, err
	}
	base, err := library.NewKnowledgeBaseInstance("p", "1")
	if err != nil {
		return nil, err
	}
	e := &gruleEngine{b: b, base: base}
	other, err := openExpr(b, inputs)
	if err != nil {
		return nil, err
	}
	for c, in := range inputs {
		f := &facts{texts: map[string]string{}, lists: map[string]map[string]bool{}, nums: map[string]float64{}, levels: map[string]int64{}}
		for id, v := range in {
			switch v := v.(type) {
			case string:
				f.texts[id] = v
			case float64:
				f.nums[id] = v
			case []string:
				f.lists[id] = map[string]bool{}
				for _, one := range v {
					f.lists[id][one] = true
				}
			}
		}
		if _, err := other.fired(c); err != nil {
			return nil, err
		}
		for _, finding := range b.Findings {
			f.levels[finding.ID] = int64(other.(*exprEngine).envs[c][finding.ID].(int))
		}
		e.facts = append(e.facts, f)
	}
	return e, nil
}

func (e *gruleEngine) name() string { return "grule, match only" }

func (e *gruleEngine) fired(c int) ([]bool, error) {
	data := ast.NewDataContext()
	if err := data.Add("F", e.facts[c]); err != nil {
		return nil, err
	}
	matched, err := grule.NewGruleEngine().FetchMatchingRules(data, e.base)
	if err != nil {
		return nil, err
	}
	fired := make([]bool, len(e.b.Rules))
	for _, r := range matched {
		var i int
		if _, err := fmt.Sscanf(r.RuleName, "R%d", &i); err != nil {
			return nil, err
		}
		fired[i] = true
	}
	return fired, nil
}

func grlText(t *rules.Test) string {
	switch t.Op {
	case rules.OpAnd, rules.OpOr:
		parts := make([]string, len(t.Args))
		for i, a := range t.Args {
			parts[i] = "(" + grlText(a) + ")"
		}
		return strings.Join(parts, map[rules.Op]string{rules.OpAnd: " && ", rules.OpOr: " || "}[t.Op])
	case rules.OpNot:
		return "!(" + grlText(t.Args[0]) + ")"
	case rules.OpHas:
		return fmt.Sprintf("F.Has(%q, %q)", t.Fact.ID, t.Values[0])
	case rules.OpCmp:
		return fmt.Sprintf("F.Num(%q) %s %f", t.Fact.ID, t.Cmp, t.Number)
	case rules.OpLevel:
		return fmt.Sprintf("F.Level(%q) %s %d", t.Finding.ID, t.Cmp, t.Level)
	}
	parts := make([]string, len(t.Values))
	for i, v := range t.Values {
		parts[i] = fmt.Sprintf("F.Is(%q, %q)", t.Fact.ID, v)
	}
	any := strings.Join(parts, " || ")
	if t.Negated {
		return "!(" + any + ")"
	}
	return "(" + any + ")"
}
