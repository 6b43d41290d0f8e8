package lesson

import (
	"fmt"
	"io/fs"
	"path"

	"patchfirst/rules"
)

// Shelf gathers the lessons of several folders. Each name may stand on it once.
type Shelf struct {
	base     *rules.Base
	lessons  []*Lesson
	problems rules.Problems
	failed   error // of the file system
}

// NewShelf returns a shelf without lessons.
func NewShelf(b *rules.Base) *Shelf { return &Shelf{base: b} }

// Add reads every lesson file of a folder, in the order of their names; name is that of the folder in messages.
func (s *Shelf) Add(fsys fs.FS, name string) {
	paths, err := fs.Glob(fsys, "*.yaml")
	if s.failed == nil && (err != nil || len(paths) == 0) {
		s.failed = fmt.Errorf("%s holds no .yaml files: there are no lessons in it", name)
	}
	for _, p := range paths {
		data, err := fs.ReadFile(fsys, p)
		if err != nil {
			s.failed = fmt.Errorf("%s cannot be read: %w", path.Join(name, p), err)
			return
		}
		more, bad := Read(s.base, path.Join(name, p), data)
		s.problems = append(s.problems, bad...)
		for _, l := range more {
			if old := Find(s.lessons, l.Name); old != nil && old.Pos.File != l.Pos.File {
				s.problems = append(s.problems, rules.Diagnostic{Pos: l.Pos, Summary: fmt.Sprintf("there is already a lesson %q, at %s", l.Name, old.Pos), Fix: "Give it a name of its own."})
			}
			s.lessons = append(s.lessons, l)
		}
	}
}

// Lessons returns what was read. All mistakes are returned together, as rules.Problems.
func (s *Shelf) Lessons() ([]*Lesson, error) {
	if s.failed != nil {
		return nil, s.failed
	}
	return s.lessons, s.problems.Err()
}
