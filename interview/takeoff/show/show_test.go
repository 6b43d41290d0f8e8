package show_test

import (
	"bytes"
	"io"
	"regexp"
	"strings"
	"sync"
	"testing"
	"unicode/utf8"

	"patchfirst/interview/job"
	"patchfirst/interview/paper/golden"
	"patchfirst/interview/takeoff"
	"patchfirst/interview/takeoff/show"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

const example = "../../../testdata/jobs/gannet-ness.yaml"

// base is read once: every test asks it, and none changes it.
var base = sync.OnceValues(func() (*rules.Base, error) { return knowledge.Load("") })

func book(t testing.TB, path string, width int, only ...string) *show.Book {
	t.Helper()
	b, err := base()
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

func TestGolden(t *testing.T) {
	for _, test := range []struct {
		name  string
		width int
		write func(b *show.Book, out io.Writer) error
	}{
		{"door-80.txt", 80, func(b *show.Book, out io.Writer) error { return b.Text(out, "") }},
		{"door-40.txt", 40, func(b *show.Book, out io.Writer) error { return b.Text(out, "") }},
		{"door-alkaline.txt", 80, func(b *show.Book, out io.Writer) error { return b.Text(out, "alkaline_covered") }},
		{"door-gel.txt", 80, func(b *show.Book, out io.Writer) error { return b.Text(out, "solvent_brushed") }},
		{"door-us.txt", 80, func(b *show.Book, out io.Writer) error { b.US = true; return b.Text(out, "") }},
		{"compare-80.txt", 80, func(b *show.Book, out io.Writer) error { return b.Compare(out) }},
		{"compare-40.txt", 40, func(b *show.Book, out io.Writer) error { return b.Compare(out) }},
		{"bill.csv", 0, func(b *show.Book, out io.Writer) error { return b.CSV(out, "alkaline_covered") }},
		{"days.svg", 0, func(b *show.Book, out io.Writer) error { return b.SVG(out, "days", "solvent_brushed") }},
		{"cost.svg", 0, func(b *show.Book, out io.Writer) error { return b.SVG(out, "cost", "") }},
		{"door-working.txt", 80, func(b *show.Book, out io.Writer) error { return b.Working(out, "", "cost") }},
	} {
		var out bytes.Buffer
		if err := test.write(book(t, example, test.width, "boathouse door"), &out); err != nil {
			t.Fatal(err)
		}
		golden.Check(t, test.name, out.Bytes())
		for line := range strings.SplitSeq(out.String(), "\n") {
			if test.width == 0 {
				break
			}
			if utf8.RuneCountInString(line) > test.width {
				t.Errorf("%s: wider than %d: %s", test.name, test.width, line)
			}
		}
	}
}

// The help names keys that there are.
func TestHelpNamesKeys(t *testing.T) {
	b, err := base()
	if err != nil {
		t.Fatal(err)
	}
	list := show.Help[strings.Index(show.Help, "width"):strings.Index(show.Help, "Every figure")]
	for _, word := range regexp.MustCompile(`[a-z_0-9]+`).FindAllString(regexp.MustCompile(`\([^)]*\)|of both|\bor\b|\band\b`).ReplaceAllString(list, ""), -1) {
		text := "job: x\nsite: {built: 1911}\nelements:\n  - {name: door, part: door, takeoff: {" + word + ": {}}}\n"
		j, err := job.Parse(b, "job.yaml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := takeoff.ReadGiven(b, "job.yaml", j, j.Elements[0]); err != nil && strings.Contains(err.Error(), "no key") {
			t.Errorf("%s: %v", word, err)
		}
	}
}
