package rules_test

import (
	"slices"
	"testing"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// A case near another has what was asked for, can occur, and keeps the answers that it may keep; one that differs in a
// single fact differs in no other. A rule that fires in it is never told never to fire.
func TestNear(t *testing.T) {
	b := loadToy(t, nil)
	s, err := b.Compile(nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	start, ok := s.Near(nil)
	if !ok {
		t.Fatal("there is no case at all")
	}
	if same, ok := s.Near(start, diagram.True); !ok || len(s.Differ(start, same)) > 0 {
		t.Errorf("the case nearest to one that fits is another: %v", s.Differ(start, same))
	}
	if _, ok := s.Near(start, diagram.False); ok {
		t.Error("a case was found where there is none")
	}
	found := 0
	for i, r := range b.Rules {
		near, ok := s.Near(start, s.Rule(i))
		if !ok {
			continue
		}
		found++
		if s.Store.Eval(s.Rule(i), near) != 1 {
			t.Errorf("%s does not fire in the case that was found for it", r.ID)
		}
		for _, f := range s.Reads(s.Rule(i)) {
			other, ok := s.Near(near, append(s.Same(near, f), s.Store.Not(s.Rule(i)))...)
			if !ok {
				continue
			}
			if differ := s.Differ(near, other); !slices.Equal(differ, []*rules.Fact{f}) {
				t.Errorf("%s: more than %s changed: %v", r.ID, f.ID, differ)
			}
		}
		const each = 6 // deciding takes longer than looking
		if i%each > 0 {
			continue
		}
		d, clash, err := b.Decide(b.Answers(near))
		if err != nil || clash != nil {
			t.Fatalf("%s: the case cannot occur: %v %v", r.ID, clash, err)
		}
		for _, other := range b.Rules { // a default and a list that may be longer leave some of them open
			if d.Always(other) && d.Never(other) || d.Always(other) != d.Chain(other).Sure {
				t.Errorf("%s is told to fire always (%v) and never (%v)", other.ID, d.Always(other), d.Never(other))
			}
		}
		if d.Never(r) {
			t.Errorf("%s fires, and is told never to", r.ID)
		}
	}
	const few = 5
	if found < few {
		t.Errorf("only %d rules were found to fire", found)
	}
}
