package patches_test

import (
	"slices"
	"strings"
	"testing"

	"patchfirst/interview/patches"
	"patchfirst/rules"
)

// Every name in the figures is one of the base, and every sentence is short.
func TestFiguresNameTheBase(t *testing.T) {
	b := load(t)
	f := figures(t, b)
	method := func(where, id string) {
		if b.Method(id) == nil {
			t.Errorf("%s: there is no method %q", where, id)
		}
	}
	findings := func(where string, levels map[string]string) {
		for id, level := range levels {
			if fd := b.Finding(id); fd == nil || slices.Index(fd.Scale, level) < 1 {
				t.Errorf("%s: there is no finding %s at %q", where, id, level)
			}
		}
	}
	answers := func(name string, w patches.Where) {
		for id, values := range w {
			fact := b.Fact(id)
			if fact == nil {
				t.Errorf("%s: there is no fact %q", name, id)
				continue
			}
			for _, v := range values {
				if !fact.Has(v) {
					t.Errorf("%s: %q is not a value of %q", name, v, id)
				}
			}
		}
	}
	known := func(where string, sources []string) {
		for _, s := range sources {
			is := func(x *rules.Source) bool { return x.ID == s }
			if s != rules.CommonPractice && s != rules.FromMemory && !slices.ContainsFunc(b.Sources, is) && !slices.ContainsFunc(f.Sources, is) {
				t.Errorf("%s: there is no source %q", where, s)
			}
		}
	}
	short := func(where string, sentences ...string) {
		for _, text := range sentences {
			for sentence := range strings.SplitSeq(text, ". ") {
				if n := len(strings.Fields(sentence)); n > 25 {
					t.Errorf("%s: %d words: %s", where, n, sentence)
				}
			}
		}
	}
	for _, r := range f.Ranges {
		for _, m := range r.Methods {
			method(r.ID, m)
		}
		findings(r.ID, r.Finding)
		answers(r.ID, r.StopWhere)
		known(r.ID, r.SourceNames)
		short(r.ID, r.Say, r.StopBecause)
		if r.From > r.To || r.Thin > r.Thick || !slices.IsSorted(r.Look) {
			t.Errorf("%s runs backwards: %+v", r.ID, r)
		}
	}
	for _, s := range f.NoPatch {
		method("no_patch", s.ID)
	}
	for _, s := range slices.Concat(f.NoPatch, f.Few, f.Slow, f.Means) {
		answers(s.ID, s.Where)
		known(s.ID, s.SourceNames)
		short(s.ID, s.Say)
	}
	for _, n := range f.Never {
		answers(n.ID, n.Where)
		findings(n.ID, n.Finding)
		known(n.ID, n.SourceNames)
		short(n.ID, n.Say)
	}
	for _, s := range f.Sizes {
		answers(s.ID, s.Where)
		known(s.ID, s.SourceNames)
	}
	if last := f.Sizes[len(f.Sizes)-1]; last.Where != nil {
		t.Errorf("the last size is for %v only", last.Where)
	}
	findings("layout", f.Layout.Finding)
	known("layout", f.Layout.SourceNames)
	known("neutral", f.Neutral.SourceNames)
	known("finish", f.Ending.SourceNames)
	short("finish", f.Ending.Say)
	for _, id := range f.Ending.Notes {
		if b.Note(rules.Step, id) == nil && b.Note(rules.Hold, id) == nil {
			t.Errorf("finish: there is no step or hold point %q", id)
		}
	}
	known("again", f.Again.SourceNames)
	known("temperature", f.Warmth.SourceNames)
	short("temperature", f.Warmth.Say, f.Warmth.SayAbove, f.Warmth.SayBelow)
}

// A base of another trade has none of the names, and breaks nothing.
func TestFiguresOfAnotherBase(t *testing.T) {
	f, err := patches.LoadFigures(&rules.Base{})
	if err != nil {
		t.Fatal(err)
	}
	if s := f.Size(rules.Answers{}); s.ID != "any" {
		t.Errorf("size %s", s.ID)
	}
}
