package source_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"patchfirst/rules"
	"patchfirst/rules/source"
)

func seeds(f *testing.F) {
	_, pieces, _ := strings.Cut(read(f, "testdata/errors.txt"), "\n\n")
	for _, piece := range strings.Split(pieces, "---\n") {
		clean, _ := expected(piece)
		f.Add(clean)
	}
	for _, text := range []string{"", "-", "- {}", "- - -", "a: [b, c: d]", "\xff", "- &a [*a]", "- !!binary x", "? a\n: b", "- rule: ~", "- 1: 2", "- rule: |\n   a\n  b"} {
		f.Add(text)
	}
}

func FuzzParse(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text string) {
		d := source.Parse("x.yaml", []byte(text))
		if d.Root != nil && len(d.Problems) > 0 {
			t.Error("a document with mistakes has content")
		}
		for _, p := range d.Problems {
			if p.Error() == "" || p.Pos.File != "x.yaml" {
				t.Errorf("a mistake without a place: %+v", p)
			}
		}
	})
}

func FuzzBase(f *testing.F) {
	seeds(f)
	f.Add(read(f, "testdata/common.yaml"))
	f.Fuzz(func(t *testing.T, text string) {
		b, err := base(t, text)
		if (b == nil) == (err == nil) {
			t.Fatalf("base %v, error %v", b, err)
		}
		if err != nil && err.Error() == "" {
			t.Error("an error without words")
		}
		rest, left, again := source.Rest(fstest.MapFS{"common.yaml": {Data: []byte(read(t, "testdata/common.yaml"))}, "piece.yaml": {Data: []byte(text)}}, "toy", nil)
		if (again == nil) != (err == nil) || (rest != nil && again != nil) != (left != nil) {
			t.Fatalf("base %v without %v, error %v; all of it: %v", rest, left, again, err)
		}
		if b == nil {
			return
		}
		// What loads also decides, or says that it is too large.
		const room = 50_000
		if _, err := b.Compile(nil, room); err != nil && !strings.Contains(err.Error(), "diagrams grew") {
			t.Error(err)
		}
	})
}

func FuzzCondition(f *testing.F) {
	b, err := base(f, "")
	if err != nil {
		f.Fatal(err)
	}
	for _, text := range []string{
		`bank == "mud"`, `bank in ["mud", "rock"] && !(width < 10)`, `"goat" in load || front_load != "none"`, `danger >= "some"`, `5 < width < 10`,
		`bank not in soft_banks`, `width in 1..3`, `any(load, # == "goat")`, `bank?.x ?? 1`, `-width > -5`, `width == -5`, `let x = 1; x == 1`, `{"a": 1}.a == 1`, ``, `(`, "\x00", `bank == "é"`,
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, problems := b.Parse(text, func(r int) rules.Pos { return rules.Pos{File: "x", Line: 1, Col: r + 1} })
		if (c == nil) == (len(problems) == 0) {
			t.Fatalf("condition %v, mistakes %v", c, problems)
		}
		length := len([]rune(text))
		for _, p := range problems {
			if p.Pos.Col < 1 || p.Pos.Col > length+1 {
				t.Errorf("a mistake at %v of a text of %d letters", p.Pos, length)
			}
		}
		c.Walk(func(n *rules.Test) {
			if n.From < 0 || n.To > length || n.From > n.To {
				t.Errorf("a part from %d to %d of a text of %d letters", n.From, n.To, length)
			}
		})
	})
}
