package lesson

import (
	"sync"
	"testing"

	"patchfirst/knowledge"
	"patchfirst/rules"
)

// shelf is the built-in base with its lessons, read once.
var shelf = sync.OnceValues(func() (*School, []*Lesson) {
	b, err := knowledge.Load("")
	if err != nil {
		panic(err)
	}
	fsys, name, err := knowledge.Lessons("")
	if err != nil {
		panic(err)
	}
	s := NewShelf(b)
	s.Add(fsys, name)
	all, err := s.Lessons()
	if err != nil {
		panic(err)
	}
	school, err := Open(b)
	if err != nil {
		panic(err)
	}
	return school, all
})

// allChecked are the built-in lessons, checked once.
var allChecked = sync.OnceValues(func() ([]*Checked, error) {
	s, all := shelf()
	return s.CheckAll(all, nil)
})

// Every built-in lesson can be taught, is as hard as it says, and teaches what it is for.
func TestBuiltInLessons(t *testing.T) {
	check := allChecked
	if testing.Short() {
		check = func() ([]*Checked, error) {
			s, all := shelf()
			return s.CheckAll(all[:len(all)/4], nil)
		}
	}
	checked, err := check()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range checked {
		for _, p := range c.Problems {
			t.Errorf("%s: %s", c.Lesson.Name, p)
		}
		if c.Level != c.Lesson.Level {
			t.Errorf("%s is called %s, and seems %s (%.1f)", c.Lesson.Name, c.Lesson.Level, c.Level, c.Hardness)
		}
		if len(c.Lesson.Teaches) == 0 {
			t.Errorf("%s does not say what it teaches", c.Lesson.Name)
		}
	}
}

// What is taught by some lesson or by one that can be made is every rule that rules something out.
func TestEveryRefusalIsTaught(t *testing.T) {
	if testing.Short() {
		t.Skip("makes a lesson for each rule")
	}
	s, all := shelf()
	checked, err := allChecked()
	if err != nil {
		t.Fatal(err)
	}
	covered, err := s.Cover(all, checked)
	if err != nil {
		t.Fatal(err)
	}
	const least = 100 // the base has more refusing rules than that
	if len(covered) < least {
		t.Errorf("only %d rules are looked at", len(covered))
	}
	for _, c := range covered {
		if !c.Taught() {
			t.Errorf("%s: nothing teaches %s", c.Rule.Pos, c.Rule.ID)
		}
	}
}

// The built-in lessons range over every material, kind of exercise and level, and over the findings that are hazards.
func TestBuiltInLessonsRange(t *testing.T) {
	if testing.Short() {
		t.Skip("poses every exercise")
	}
	s, all := shelf()
	const least = 24
	if len(all) < least {
		t.Errorf("there are only %d lessons", len(all))
	}
	materials, kinds, levels, hazards := map[string]bool{}, map[Kind]bool{}, map[string]bool{}, map[string]bool{}
	for _, l := range all {
		levels[l.Level] = true
		for i, e := range l.Exercises {
			kinds[e.Kind] = true
			q, err := s.Pose(l, i)
			if err != nil {
				t.Fatal(err)
			}
			for _, answers := range []rules.Answers{q.Answers, e.To} {
				for _, v := range answers["substrate"].Values {
					materials[v] = true
				}
			}
			for _, f := range q.Decision.Findings {
				hazards[f.Finding.ID] = hazards[f.Finding.ID] || f.Max > 0
			}
		}
	}
	for _, v := range s.Base.Fact("substrate").Values {
		if !materials[v.ID] {
			t.Errorf("no lesson is about %s", v.ID)
		}
	}
	for _, k := range Kinds {
		if !kinds[k] {
			t.Errorf("no lesson asks to %s", k.Words())
		}
	}
	for _, level := range Levels {
		if !levels[level] {
			t.Errorf("no lesson is %s", level)
		}
	}
	for _, f := range s.Base.Findings {
		if !hazards[f.ID] {
			t.Errorf("%s is found in no lesson", f.ID)
		}
	}
}
