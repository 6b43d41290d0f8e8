package main

import (
	"fmt"
	"strings"

	"github.com/hyperjumptech/grule-rule-engine/ast"
	"github.com/hyperjumptech/grule-rule-engine/builder"
	grule "github.com/hyperjumptech/grule-rule-engine/engine"
	"github.com/hyperjumptech/grule-rule-engine/pkg"

	"patchfirst/rules"
)

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
	case rules.OpAnd, rules.OpOr, rules.OpNot:
		return joined(t, grlText)
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
