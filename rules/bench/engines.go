package main

import (
	"maps"

	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/vm"
	"github.com/google/cel-go/cel"

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
