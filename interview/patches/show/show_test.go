package show_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"patchfirst/interview/job"
	"patchfirst/interview/paper/golden"
	"patchfirst/interview/patches"
	"patchfirst/interview/patches/show"
	"patchfirst/knowledge"
)

const example = "../../../testdata/jobs/gannet-ness.yaml"

func book(t *testing.T, path string, width int, only ...string) *show.Book {
	t.Helper()
	b, err := knowledge.Load("")
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.ReadFile(b, path, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := j.Keep(only); err != nil {
		t.Fatal(err)
	}
	s, err := show.Open(b, j, path, width)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func readBook(t *testing.T, width int) *show.Book { return readJob(t, "testdata/patched.yaml", width) }

func readJob(t *testing.T, path string, width int) *show.Book {
	t.Helper()
	b := book(t, path, width)
	b.Read(after)
	return b
}

// after the last entry of the logs in testdata.
var after = time.Date(2026, 7, 1, 0, 0, 0, 0, time.UTC)

func TestGolden(t *testing.T) {
	for _, test := range []struct {
		name  string
		width int
		write func(*testing.T, int, io.Writer) error
	}{
		{"plan-80.txt", 80, func(t *testing.T, w int, out io.Writer) error {
			return book(t, example, w, "boathouse door").Plans(out)
		}},
		{"plan-40.txt", 40, func(t *testing.T, w int, out io.Writer) error {
			return book(t, example, w, "boathouse door").Plans(out)
		}},
		{"plan-none.txt", 80, func(t *testing.T, w int, out io.Writer) error {
			return book(t, example, w, "honours board", "store-room ceiling").Plans(out)
		}},
		{"plan-masonry.txt", 80, func(t *testing.T, w int, out io.Writer) error {
			return book(t, example, w, "crew-room wall").Plans(out)
		}},
		{"cards-80.txt", 80, func(t *testing.T, w int, out io.Writer) error {
			return book(t, example, w, "stair skirting").Cards(out)
		}},
		{"cards-40.txt", 40, func(t *testing.T, w int, out io.Writer) error {
			return book(t, example, w, "stair skirting").Cards(out)
		}},
		{"plan.svg", 0, func(t *testing.T, w int, out io.Writer) error { return book(t, example, 80, "boathouse door").SVG(out) }},
		{"plan-masonry.svg", 0, func(t *testing.T, w int, out io.Writer) error { return book(t, example, 80, "crew-room wall").SVG(out) }},
		{"plan.json", 0, func(t *testing.T, w int, out io.Writer) error {
			return book(t, example, 80, "boathouse door").PlansJSON(out)
		}},
		{"read-80.txt", 80, func(t *testing.T, w int, out io.Writer) error {
			return readBook(t, w).Readings(out)
		}},
		{"read-40.txt", 40, func(t *testing.T, w int, out io.Writer) error {
			return readBook(t, w).Readings(out)
		}},
		{"read-other-ways-80.txt", 80, func(t *testing.T, w int, out io.Writer) error {
			return readJob(t, "testdata/other-ways.yaml", w).Readings(out)
		}},
		{"read.json", 0, func(t *testing.T, w int, out io.Writer) error {
			return readBook(t, 80).ReadingsJSON(out)
		}},
	} {
		var out bytes.Buffer
		if err := test.write(t, test.width, &out); err != nil {
			t.Fatal(err)
		}
		golden.Check(t, test.name, out.Bytes())
		if test.width == 0 {
			continue
		}
		for line := range strings.SplitSeq(out.String(), "\n") {
			if utf8.RuneCountInString(line) > test.width {
				t.Errorf("%s: wider than %d: %s", test.name, test.width, line)
			}
		}
	}
}

// What people read is in sentences of at most 25 words. The text stands on one line a paragraph here.
func TestSentencesAreShort(t *testing.T) {
	const wide, most = 100_000, 25
	var out bytes.Buffer
	if err := book(t, example, wide).Plans(&out); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"testdata/patched.yaml", "testdata/other-ways.yaml"} {
		if err := readJob(t, path, wide).Readings(&out); err != nil {
			t.Fatal(err)
		}
	}
	sources := false
	for line := range strings.SplitSeq(out.String(), "\n") {
		if line == "Sources" || strings.HasPrefix(line, "  - ") { // lists of names are no sentences
			sources = line == "Sources"
			continue
		}
		if sources = sources && line != ""; sources {
			continue
		}
		for sentence := range strings.SplitSeq(strings.ReplaceAll(strings.ReplaceAll(line, "; ", ". "), "? ", ". "), ". ") {
			if n := len(strings.Fields(sentence)); n > most {
				t.Errorf("%d words: %s", n, sentence)
			}
		}
	}
}

// The drawing is well-formed, says what it shows in words, and uses no colour but black and white.
func TestSVG(t *testing.T) {
	s := book(t, example, 80, "boathouse door")
	s.Advice.Parts[0].Element.Name = `<door> & "frame"` + "\x1b"
	var out bytes.Buffer
	if err := s.SVG(&out); err != nil {
		t.Fatal(err)
	}
	text := out.String()
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range e.Attr {
			if (a.Name.Local == "fill" || a.Name.Local == "stroke") && a.Value != "none" && a.Value != "#000" && a.Value != "#fff" && !strings.HasPrefix(a.Value, "url(#m") {
				t.Errorf("colour %s", a.Value)
			}
		}
	}
	for _, want := range []string{"patches A1, B1, C1 and C2 and one spot left untouched", "C is slow solvent paste under a cover.", "&lt;door&gt;"} {
		if !strings.Contains(text, want) {
			t.Errorf("it does not say %q", want)
		}
	}
	if err := book(t, example, 80, "honours board").SVG(io.Discard); err == nil {
		t.Error("a plan without patches was drawn")
	}
	if err := book(t, example, 80).SVG(io.Discard); err == nil {
		t.Error("seven parts were drawn as one")
	}
}

// Every patch of a plan is on the map, each once, at any width.
func TestMapShowsEveryPatch(t *testing.T) {
	s := book(t, example, 80, "boathouse door")
	p := s.Advice.Parts[0]
	plan := patches.NewPlan(s.Advice.Base, s.Figures, p.Answers, p.Decision)
	for _, width := range []int{11, 30, 40, 80, 200} {
		m := show.Map(plan, width)
		for _, c := range plan.Candidates {
			for _, pp := range c.Patches {
				if strings.Count(m, " "+pp.Label+" ") != 1 {
					t.Errorf("width %d: %s:\n%s", width, pp.Label, m)
				}
			}
		}
	}
}
