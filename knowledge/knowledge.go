// Package knowledge holds the rule base of the trade, and the arithmetic that its figure facts need.
package knowledge

import (
	"embed"
	"io/fs"
	"math"
	"os"
	"path"

	"patchfirst/knowledge/figures"
	"patchfirst/rules"
	"patchfirst/rules/source"
)

//go:embed base/*.yaml base/lessons/*.yaml
var embedded embed.FS

// Folder is where the base stands, from the top of the repository.
const Folder = "knowledge/base"

// Load reads and binds the base that stands in a folder on disk; the empty name is the embedded base. All mistakes are
// returned together, as rules.Problems.
func Load(dir string) (*rules.Base, error) {
	fsys, name, err := Files(dir)
	if err != nil {
		return nil, err
	}
	return LoadFS(fsys, name)
}

// LoadFS reads and binds the base in some files. name stands before the file names in messages.
func LoadFS(fsys fs.FS, name string) (*rules.Base, error) {
	return source.Base(fsys, name, figures.Inputs())
}

// LoadRest does the same. Where only rules, constraints and promises have mistakes, it returns with these the base as it
// is without them, and their names.
func LoadRest(fsys fs.FS, name string) (b *rules.Base, left []string, err error) {
	return source.Rest(fsys, name, figures.Inputs())
}

// Files returns the files of the base that stands in a folder on disk, and its name in messages; the empty name is the
// embedded base.
func Files(dir string) (fsys fs.FS, name string, err error) {
	if dir != "" {
		return os.DirFS(dir), dir, nil
	}
	sub, err := fs.Sub(embedded, "base")
	return sub, Folder, err
}

// Lessons returns the lesson files of the base that stands in a folder on disk, and the name of their folder; the empty
// name is the embedded base.
func Lessons(dir string) (fs.FS, string, error) {
	const folder = "lessons"
	if dir != "" {
		return os.DirFS(path.Join(dir, folder)), path.Join(dir, folder), nil
	}
	sub, err := fs.Sub(embedded, path.Join("base", folder))
	return sub, path.Join("knowledge", "base", folder), err
}

// WithFigures returns the answers with the figure facts of the base computed from them. Where an input is a range, so is the
// figure: it rises or falls with each of its inputs, so the ends bound it. A figure stays blank if one of its inputs is.
func WithFigures(b *rules.Base, answers rules.Answers) rules.Answers {
	for _, f := range b.Facts {
		if f.Figure == "" {
			continue
		}
		find := func(id string) (string, bool) {
			m := b.Method(figures.Method(f.Figure))
			if m == nil {
				return "", false
			}
			c := b.Coefficient(id, m, answers)
			if c == nil {
				return "", false
			}
			return c.Is, true
		}
		if a, ok := figure(f, answers, find); ok {
			answers = answers.With(f.ID, a)
		}
	}
	return answers
}

// figure computes a figure fact at every end of its inputs.
func figure(f *rules.Fact, answers rules.Answers, find figures.Lookup) (rules.Answer, bool) {
	bounds := rules.Answer{Lo: math.Inf(1), Hi: math.Inf(-1)}
	for corner := range 1 << len(f.Inputs) {
		inputs := make([]float64, len(f.Inputs))
		for i, id := range f.Inputs {
			a, ok := answers[id]
			if !ok {
				return bounds, false
			}
			inputs[i] = a.Lo
			if corner>>i&1 == 1 {
				inputs[i] = a.Hi
			}
		}
		v, ok := figures.Compute(f.Figure, inputs, find)
		if !ok {
			return bounds, false
		}
		bounds.Lo, bounds.Hi = min(bounds.Lo, v), max(bounds.Hi, v)
	}
	return bounds, true
}
