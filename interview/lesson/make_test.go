package lesson

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"slices"
	"testing"

	"patchfirst/knowledge"
	"patchfirst/rules"
)

// The same wish makes the same bytes, in a school of its own too; another seed makes others.
func TestMakeIsSeeded(t *testing.T) {
	s, all := shelf()
	write := func(s *School, seed uint64) []byte {
		made, err := s.Make(all, Wish{Topic: "lead", Count: 4, Seed: seed})
		if err != nil {
			t.Fatal(err)
		}
		text, err := Write(made)
		if err != nil {
			t.Fatal(err)
		}
		return text
	}
	other, err := Open(s.Base)
	if err != nil {
		t.Fatal(err)
	}
	first := write(s, 7)
	if !bytes.Equal(first, write(other, 7)) || !bytes.Equal(first, write(s, 7)) {
		t.Error("the same seed makes other lessons")
	}
	if bytes.Equal(first, write(s, 8)) {
		t.Error("another seed makes the same lessons")
	}
}

// However lessons are asked for: each reads back and can be taught; a pair differs in one answer, and that flips the
// method between refused and offered; none is like another; each is about what was asked for, and as hard.
func TestMakeProperties(t *testing.T) {
	s, all := shelf()
	for _, w := range []Wish{
		{"", 3, "", 1}, {"lead", 3, "easy", 2}, {"lead", 2, "middle", 3}, {"lead", 1, "hard", 4}, {"asbestos", 2, "", 5}, {"hot_air", 3, "easy", 6},
		{"near", 2, "", 7}, {"oak", 2, "easy", 8}, {"people", 3, "", 9}, {"harm", 2, "middle", 10},
	} {
		made, err := s.Make(all, w)
		var few *TooFew
		if err != nil && !errors.As(err, &few) {
			t.Fatal(err)
		}
		if len(made) < w.Count != (few != nil) {
			t.Fatalf("%d of %d, and the error is %v", len(made), w.Count, err)
		}
		text, err := Write(made)
		if err != nil {
			t.Fatal(err)
		}
		lessons, problems := Read(s.Base, "made.yaml", text)
		if len(made) > 0 && (len(problems) > 0 || len(lessons) != len(made)) {
			t.Fatalf("%v", problems)
		}
		seen := map[string]bool{}
		for _, l := range lessons {
			c, err := s.Check(l)
			if err != nil || len(c.Problems) > 0 {
				t.Fatalf("%s: %v %v", l.Name, err, c.Problems)
			}
			if w.Level != "" && c.Level != w.Level {
				t.Errorf("%s is %s", l.Name, c.Level)
			}
			rule := s.Base.Rules[slices.IndexFunc(s.Base.Rules, func(r *rules.Rule) bool { return r.ID == l.Teaches[0] })]
			if !s.about(rule, w.Topic) {
				t.Errorf("%s is not about %s", rule.ID, w.Topic)
			}
			alike := fmt.Sprint(l.Teaches, l.Case.Given, l.Exercises[len(l.Exercises)-1])
			if seen[alike] || seen[l.Name] {
				t.Errorf("%s is there twice", l.Name)
			}
			seen[alike], seen[l.Name] = true, true
			flips(t, s, l)
		}
		if w.Topic == "lead" && len(made) == 0 {
			t.Errorf("nothing could be made for %+v", w)
		}
	}
}

func flips(t *testing.T, s *School, l *Lesson) {
	for i, e := range l.Exercises {
		if e.Kind != WhatChanged {
			continue
		}
		if len(e.To) != 1 {
			t.Errorf("%s changes %d answers", l.Name, len(e.To))
		}
		was := l.Answers(i)
		is := maps.Clone(was)
		maps.Copy(is, e.To)
		m := s.Base.Method(e.Method)
		var verdicts []rules.Verdict
		for _, answers := range []rules.Answers{was, is} {
			d, clash, err := s.Base.Decide(knowledge.WithFigures(s.Base, answers))
			if err != nil || clash != nil {
				t.Fatalf("%s: %v %v", l.Name, err, clash)
			}
			verdicts = append(verdicts, d.Methods[m.Rank].Verdict)
		}
		if verdicts[0] != rules.RuledOut || !verdicts[1].Offered() {
			t.Errorf("%s: %s is %s and then %s", l.Name, m.ID, verdicts[0], verdicts[1])
		}
	}
}

func TestMakeRefuses(t *testing.T) {
	s, all := shelf()
	if _, err := s.Make(all, Wish{Topic: "led", Count: 1}); err == nil || !bytes.Contains([]byte(err.Error()), []byte(`Did you mean "lead"`)) {
		t.Errorf("a misspelt topic: %v", err)
	}
	made, err := s.Make(all, Wish{Topic: "always-refused/flame", Count: 50})
	var few *TooFew
	if !errors.As(err, &few) || len(made) == 0 || few.Made != len(made) {
		t.Errorf("fifty about one rule: %d, %v", len(made), err)
	}
}
