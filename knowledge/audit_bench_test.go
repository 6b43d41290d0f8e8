package knowledge_test

import (
	"io/fs"
	"runtime/debug"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"patchfirst/knowledge"
	"patchfirst/rules/audit"
	"patchfirst/rules/source"
)

// asCommand collects garbage as seldom as the commands do.
func asCommand(b *testing.B) {
	const percent = 400
	before := debug.SetGCPercent(percent)
	b.Cleanup(func() { debug.SetGCPercent(before) })
}

// side reads the built-in base with an edit: the first old text in a file becomes the new one.
func side(b testing.TB, file, old, new string) audit.Side {
	b.Helper()
	fsys, name, err := knowledge.Files("")
	if err != nil {
		b.Fatal(err)
	}
	edited := fstest.MapFS{}
	err = fs.WalkDir(fsys, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(fsys, path)
		if path == file {
			was := string(data)
			if data = []byte(strings.Replace(was, old, new, 1)); string(data) == was && old != new {
				b.Fatalf("%s does not say %q", file, old)
			}
		}
		edited[path] = &fstest.MapFile{Data: data}
		return err
	})
	if err != nil {
		b.Fatal(err)
	}
	var s audit.Side
	if s.Base, err = knowledge.LoadFS(edited, name); err != nil {
		b.Fatal(err)
	}
	if s.Entries, err = source.Entries(edited, name); err != nil {
		b.Fatal(err)
	}
	return s
}

// edits of the built-in base, from one that few rules feel to one that most do.
var edits = []struct{ name, file, old, new string }{
	{"Cell", "harm.yaml", "columns: [alkali]\n      is: harms", "columns: [alkali]\n      is: care\n      do: Take care."},
	{"DeletedRule", "rules-surface-refusals.yaml", "  when: '\"aluminium_paint\" in coatings'\n  rule_out: [alkali]", "  when: '\"aluminium_paint\" in coatings && \"oil_paint\" in coatings && \"aluminium_paint\" not in coatings'\n  rule_out: [alkali]"},
	{"Year", "rules-lead.yaml", `"uk" && built < 1970`, `"uk" && built <= 1970`},
}

// BenchmarkCompare compares the base with an edited one, whole, and tells after how long the verdicts were counted.
func BenchmarkCompare(b *testing.B) {
	asCommand(b)
	for _, e := range edits {
		b.Run(e.name, func(b *testing.B) {
			var verdicts time.Duration
			for b.Loop() {
				b.StopTimer()
				old, next := side(b, e.file, "", ""), side(b, e.file, e.old, e.new)
				b.StartTimer()
				start, first := time.Now(), true
				watch := func(string) {
					if first {
						verdicts += time.Since(start)
					}
					first = false
				}
				if _, err := audit.Compare(old, next, nil, knowledge.WithFigures, watch, 0); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(verdicts.Seconds()/float64(b.N), "s/verdicts")
		})
	}
}

// BenchmarkProve proves all promises and counts the cases that they speak of.
func BenchmarkProve(b *testing.B) {
	asCommand(b)
	base := load(b)
	for b.Loop() {
		if _, err := audit.Proofs(base, knowledge.WithFigures, 0); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCheck proves, counts, looks for anomalies and runs the published cases.
func BenchmarkCheck(b *testing.B) {
	asCommand(b)
	base := load(b)
	all := loadCases(b, base)
	for b.Loop() {
		if _, err := audit.Check(base, all, knowledge.WithFigures, 0); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkCover tells what the published cases use.
func BenchmarkCover(b *testing.B) {
	asCommand(b)
	base := load(b)
	all := loadCases(b, base)
	for b.Loop() {
		if _, err := audit.Cover(base, all, knowledge.WithFigures, ""); err != nil {
			b.Fatal(err)
		}
	}
}
