package lesson

import (
	"sync"
	"testing"

	"patchfirst/knowledge"
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

// Every built-in lesson can be taught, is as hard as it says, and teaches what it is for.
func TestBuiltInLessons(t *testing.T) {
	s, all := shelf()
	checked, err := s.CheckAll(all, nil)
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
	checked, err := s.CheckAll(all, nil)
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
