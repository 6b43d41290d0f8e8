package knowledge_test

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"patchfirst/knowledge"
	"patchfirst/knowledge/figures"
	"patchfirst/rules"
	"patchfirst/rules/source"
)

// kept says which answers to a fact a cut-down base leaves: of a choice some values, of a list every selection from some
// values or just these, of a number those from lo to hi.
type kept struct {
	values []string
	just   bool
	lo, hi float64
}

func only(values ...string) kept     { return kept{values: values} }
func just(values ...string) kept     { return kept{values: values, just: true} }
func between(lo, hi float64) kept    { return kept{lo: lo, hi: hi} }
func (k kept) has(value string) bool { return slices.Contains(k.values, value) }

// baseFiles are the files of the shipped base.
func baseFiles(t testing.TB) fstest.MapFS {
	t.Helper()
	shipped, _, err := knowledge.Files("")
	if err != nil {
		t.Fatal(err)
	}
	paths, err := fs.Glob(shipped, "*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	files := fstest.MapFS{}
	for _, p := range paths {
		data, err := fs.ReadFile(shipped, p)
		if err != nil {
			t.Fatal(err)
		}
		files[p] = &fstest.MapFile{Data: data}
	}
	return files
}

// edit is a change of the base as it is written: in the entry that begins with "- what: id".
type edit struct{ entry, old, new string }

// without deletes a rule.
func without(rule string) edit { return edit{entry: "rule: " + rule} }

// edited changes entries, each of which stands in one place.
func edited(t testing.TB, files fstest.MapFS, edits ...edit) fstest.MapFS {
	t.Helper()
	for _, e := range edits {
		done := 0
		for _, f := range files {
			text := string(f.Data)
			from := strings.Index("\n"+text, "\n- "+e.entry+"\n")
			if from < 0 {
				continue
			}
			to := len(text)
			if next := strings.Index(text[from:], "\n- "); next >= 0 {
				to = from + next + 1
			}
			entry := ""
			if e.old != "" {
				if entry = text[from:to]; strings.Count(entry, e.old) != 1 {
					t.Fatalf("%q does not stand once in %s", e.old, entry)
				}
				entry = strings.Replace(entry, e.old, e.new, 1)
			}
			f.Data = []byte(text[:from] + entry + text[to:])
			done++
		}
		if done != 1 {
			t.Fatalf("%s stands in %d places", e.entry, done)
		}
	}
	return files
}

// cutDown reads a base of which constraints leave only the kept answers, and of a fact that is not among them the one that
// usual gives. What a fact is where it does not apply is always left.
func cutDown(t testing.TB, files fstest.MapFS, left map[string]kept) *rules.Base {
	t.Helper()
	whole, err := source.Base(files, "whole", figures.Inputs())
	if err != nil {
		t.Fatal(err)
	}
	var text strings.Builder
	for _, f := range whole.Facts {
		k, ok := left[f.ID]
		if !ok {
			k = usual(f)
		}
		var never []string
		switch f.Kind {
		case rules.Number:
			beyond := fmt.Sprintf("%s < %g || %s > %g", f.ID, k.lo, f.ID, k.hi)
			if f.Applies != nil {
				beyond = fmt.Sprintf("(%s) && %s != %g", beyond, f.ID, f.ElseNumber)
			}
			never = append(never, beyond)
		default:
			for _, v := range f.Values {
				if k.just && k.has(v.ID) {
					never = append(never, fmt.Sprintf("!(%q in %s)", v.ID, f.ID))
				}
				if k.has(v.ID) || f.Applies != nil && slices.Contains(f.Else, v.ID) {
					continue
				}
				if f.Kind == rules.Several {
					never = append(never, fmt.Sprintf("%q in %s", v.ID, f.ID))
				} else {
					never = append(never, fmt.Sprintf("%s == %q", f.ID, v.ID))
				}
			}
		}
		if never != nil {
			fmt.Fprintf(&text, "- {constraint: cut-%s, never: '%s', because: The base is cut down., sources: [common practice]}\n", f.ID, strings.Join(never, " || "))
		}
	}
	cut := fstest.MapFS{"zz-cut.yaml": {Data: []byte(text.String())}}
	for p, f := range files {
		cut[p] = f
	}
	b, err := source.Base(cut, "cut", figures.Inputs())
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// usual is what is left of a fact that is cut to one answer: nothing in a list, a small number, and otherwise what the fact
// is where it does not apply, or its last value.
func usual(f *rules.Fact) kept {
	switch {
	case f.Kind == rules.Several:
		return only()
	case f.Kind == rules.Number && f.Applies != nil:
		return between(f.ElseNumber, f.ElseNumber)
	case f.Kind == rules.Number:
		const small = 10
		return between(small, small)
	case f.Applies != nil:
		return only(f.Else...)
	}
	return only(f.Values[len(f.Values)-1].ID)
}
