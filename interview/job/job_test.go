package job_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"patchfirst/interview/job"
	"patchfirst/knowledge"
	"patchfirst/rules"
	"patchfirst/rules/source"
)

func load(t testing.TB) *rules.Base {
	t.Helper()
	b, err := knowledge.Load("")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

const example = "../../testdata/jobs/gannet-ness.yaml"

// What is written is read back the same, and a second writing changes no byte.
func TestMarshalRoundTrip(t *testing.T) {
	b := load(t)
	j, err := job.ReadFile(b, example, nil)
	if err != nil {
		t.Fatal(err)
	}
	first, err := j.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	again, err := job.Parse(b, "again", first)
	if err != nil {
		t.Fatal(err)
	}
	second, err := again.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	if string(first) != string(second) {
		t.Errorf("written twice:\n%s\nand\n%s", first, second)
	}
	if len(again.Elements) != len(j.Elements) || len(again.Elements) < 6 {
		t.Errorf("%d elements became %d", len(j.Elements), len(again.Elements))
	}
}

func TestSet(t *testing.T) {
	b := load(t)
	j := job.New()
	j.Title = "x"
	e := job.NewElement("door")
	for _, test := range []struct{ set, wrong string }{
		{"substrate=oak", ""},
		{"substrate=[oak, softwood]", ""},
		{"coatings=[alkyd, oil_paint]", ""},
		{"built=1900..1930", ""},
		{"area=2.5 m2", ""},
		{"substrate=okk", `Did you mean "oak"?`},
		{"substarte=oak", `Did you mean "substrate"?`},
		{"layers=many", "not a number"},
		{"layers=-1", "must be 0 to 100"},
		{"built=1930..1900", "runs backwards"},
		{"coatings=alkyd", "Write [alkyd]"},
		{"substrate=unknown", "left out"},
		{"substrate", "write fact=value"},
	} {
		err := j.Set(b, e, test.set)
		switch {
		case test.wrong == "" && err != nil:
			t.Errorf("%s: %v", test.set, err)
		case test.wrong != "" && (err == nil || !strings.Contains(err.Error(), test.wrong)):
			t.Errorf("%s: %v, want %q", test.set, err, test.wrong)
		}
	}
}

// A bare ? is the answer "not known", alone and in a list, though YAML has another use for it.
func TestBareMark(t *testing.T) {
	j, err := job.Parse(load(t), "mark", []byte("job: x\nelements:\n  - name: door\n    substrate: ?\n    coatings: [alkyd, ?]\n"))
	if err != nil {
		t.Fatal(err)
	}
	answers := j.Elements[0].Answers
	if _, ok := answers["substrate"]; ok || !answers["coatings"].MoreAfter {
		t.Errorf("read as %+v", answers)
	}
}

func TestStore(t *testing.T) {
	b := load(t)
	path := filepath.Join(t.TempDir(), "job.yaml")
	s, err := job.Open(b, path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := job.Open(b, path); err == nil || !strings.Contains(err.Error(), "is open in another patchfirst") {
		t.Errorf("opened twice: %v", err)
	}
	j := job.New()
	j.Title = "x"
	if err := s.Save(j); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	left, err := os.ReadDir(filepath.Dir(path))
	if err != nil || len(left) != 1 {
		t.Errorf("left behind: %v %v", left, err)
	}
}

func FuzzParse(f *testing.F) {
	b := load(f)
	data, err := os.ReadFile(example)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Add([]byte("job: x\nelements:\n  - name: a\n    coatings: [\"?\", alkyd]\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		j, err := job.Parse(b, "fuzz", data)
		if err != nil {
			return
		}
		out, err := j.Marshal(b)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := job.Parse(b, "again", out); err != nil {
			t.Errorf("%q was written as %q, which is refused: %v", data, out, err)
		}
	})
}

// What is told for the sums stays as it was written, comments too, and is no answer.
func TestTakeoffIsKept(t *testing.T) {
	b := load(t)
	const text = `job: A house
site:
  jurisdiction: uk
  takeoff:
    wage: 28 GBP/h # told by the firm
elements:
  - name: door
    part: door
    takeoff:
      width: 2.4 m
      prices: {film: 0.40 GBP/m2}
`
	j, err := job.Parse(b, "house.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	if j.Takeoff == nil || j.Elements[0].Takeoff == nil || len(j.Site) != 1 || len(j.Elements[0].Answers) != 1 {
		t.Fatalf("read as %+v", j)
	}
	if written, err := j.Marshal(b); err != nil || string(written) != text {
		t.Errorf("written as\n%s(%v)", written, err)
	}
	merged := job.New()
	merged.Merge(j)
	if written, err := merged.Marshal(b); err != nil || string(written) != text {
		t.Errorf("merged and written as\n%s(%v)", written, err)
	}
}

// A file that could not be read again is not written: the old one stays.
func TestSaveRefusesWhatCannotBeReadAgain(t *testing.T) {
	b := load(t)
	path := filepath.Join(t.TempDir(), "job.yaml")
	s, err := job.Open(b, path)
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	j := job.New()
	j.Title = "small"
	if err := s.Save(j); err != nil {
		t.Fatal(err)
	}
	j.Title = strings.Repeat("large ", source.MaxBytes/6+1)
	if err := s.Save(j); err == nil || !strings.Contains(err.Error(), "begin a new job file") {
		t.Errorf("%v", err)
	}
	if kept, err := s.Load(); err != nil || kept.Title != "small" {
		t.Errorf("the old file is gone: %v", err)
	}
}
