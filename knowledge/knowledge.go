// Package knowledge holds the rule base of the trade, and the arithmetic that its figure facts need.
package knowledge

import (
	"embed"
	"io/fs"
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

// WithFigures returns the answers with the figure facts of the base computed from them. A figure stays blank if one of
// its inputs is not known to the point.
func WithFigures(b *rules.Base, answers rules.Answers) rules.Answers {
	for _, f := range b.Facts {
		if f.Figure == "" {
			continue
		}
		inputs := make([]float64, len(f.Inputs))
		known := true
		for i, id := range f.Inputs {
			a, ok := answers[id]
			known = known && ok && a.Lo == a.Hi
			inputs[i] = a.Lo
		}
		if !known {
			continue
		}
		if v, ok := figures.Compute(f.Figure, inputs); ok {
			answers = answers.With(f.ID, rules.Answer{Lo: v, Hi: v})
		}
	}
	return answers
}
