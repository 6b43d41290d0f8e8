// Package lessontest opens the built-in lessons for tests.
package lessontest

import (
	"testing"

	"patchfirst/interview/lesson"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

// Open returns the built-in base, its school and all its lessons.
func Open(t testing.TB) (*rules.Base, *lesson.School, []*lesson.Lesson) {
	t.Helper()
	b, err := knowledge.Load("")
	if err != nil {
		t.Fatal(err)
	}
	fsys, folder, err := knowledge.Lessons("")
	if err != nil {
		t.Fatal(err)
	}
	shelf := lesson.NewShelf(b)
	shelf.Add(fsys, folder)
	all, err := shelf.Lessons()
	if err != nil {
		t.Fatal(err)
	}
	s, err := lesson.Open(b)
	if err != nil {
		t.Fatal(err)
	}
	return b, s, all
}

// One returns the school and the lesson with a name.
func One(t testing.TB, name string) (*lesson.School, *lesson.Lesson) {
	t.Helper()
	_, s, all := Open(t)
	return s, lesson.Find(all, name)
}
