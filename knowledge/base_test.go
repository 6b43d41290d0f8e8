package knowledge_test

import (
	"os"
	"testing"

	"patchfirst/knowledge"
	"patchfirst/rules"
	"patchfirst/rules/audit"
	"patchfirst/rules/cases"
	"patchfirst/rules/diagram"
)

// The promises hold over all cases, by diagram and not by sample.
func TestPromises(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	b, err := knowledge.Load("")
	if err != nil {
		t.Fatal(err)
	}
	s, err := b.Compile(nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	proofs := audit.Prove(s)
	if len(proofs) < 25 {
		t.Errorf("only %d promises", len(proofs))
	}
	for _, p := range proofs {
		if p.Outcome != diagram.None {
			t.Error(p)
		}
	}
}

// What each rule says, and where it says nothing: situations that keep a rule from being lost or widened unseen.
func TestRuleCases(t *testing.T) {
	if testing.Short() {
		t.Skip("many cases are decided")
	}
	b, err := knowledge.Load("")
	if err != nil {
		t.Fatal(err)
	}
	all, err := cases.ReadFS(b, os.DirFS("../testdata/rule-cases"), "testdata/rule-cases")
	if err != nil {
		t.Fatal(err)
	}
	for i := range all {
		failures, err := cases.Run(b, &all[i], func(a rules.Answers) rules.Answers { return knowledge.WithFigures(b, a) })
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range failures {
			t.Error(f)
		}
	}
}

// The published cases: each names its source in the file.
func TestCases(t *testing.T) {
	b, err := knowledge.Load("")
	if err != nil {
		t.Fatal(err)
	}
	all, err := cases.ReadFS(b, os.DirFS("../testdata/cases"), "testdata/cases")
	if err != nil {
		t.Fatal(err)
	}
	published := 0
	for i := range all {
		c := &all[i]
		if c.Source != rules.CommonPractice && c.Source != rules.FromMemory && c.Source != "invented" {
			published++
		}
		failures, err := cases.Run(b, c, func(a rules.Answers) rules.Answers { return knowledge.WithFigures(b, a) })
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range failures {
			t.Error(f)
		}
	}
	if published < 60 {
		t.Errorf("only %d published cases", published)
	}
}

func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		if _, err := knowledge.Load(""); err != nil {
			b.Fatal(err)
		}
	}
}
