package job_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"patchfirst/interview/job"
	"patchfirst/rules/source"
)

func readLog(text string) ([]job.Entry, error) {
	d := source.Parse("log.yaml", []byte(text))
	if d.Root == nil {
		return nil, d.Problems.Err()
	}
	entries := job.ReadLog(d, d.Root)
	return entries, d.Problems.Err()
}

const (
	first  = "- {id: 1, kind: patch, at: 2026-06-01T08:00:00+01:00, by: AK, patch: A1, method: steam}\n"
	second = "- {id: 2, kind: look, at: 2026-06-01T09:00:00+01:00, by: AK, patch: A1, layers_left: 3}\n"
)

func TestReadLog(t *testing.T) {
	for _, test := range []struct{ name, log, wrong string }{
		{"none", "[]", ""},
		{"two", first + second, ""},
		{"a correction", first + second + "- {id: 3, kind: look, at: 2026-06-01T09:00:00+01:00, by: AK, patch: A1, layers_left: 2, corrects: 2, because: miscounted}\n", ""},
		{"a strike", first + "- {id: 2, kind: strike, at: 2026-06-01T09:00:00+01:00, by: AK, corrects: 1, because: wrong door}\n", ""},
		{"no list", "x: y", "log.yaml:1:1: a log must be a list"},
		{"no mapping", "- x", "log.yaml:1:3: an entry of the log must be a list of keys and values"},
		{"unknown kind", strings.Replace(first, "patch,", "pach,", 1), `log.yaml:1:17: "pach" is not known for "kind"` + "\n" + `    - {id: 1, kind: pach, at: 2026-06-01T08:00:00+01:00, by: AK, patch: A1, method: steam}` + "\n" + strings.Repeat(" ", 20) + "^\n" + `    Did you mean "patch"?`},
		{"unknown key", strings.Replace(first, "method", "methd", 1), `Did you mean "method"?`},
		{"key of another kind", strings.Replace(first, "method: steam", "layers_left: 3", 1), `log.yaml:1:74: an entry of the log has no key "layers_left"`},
		{"no id", "- {kind: look, at: 2026-06-01T09:00:00Z, by: AK, patch: A1}", `"id" is missing`},
		{"bad id", strings.Replace(first, "id: 1", "id: one", 1), `"id" must be the number of an entry`},
		{"same id", first + first, "log.yaml:2:8: the entry has the number 1, and the one before it 1"},
		{"no writer", strings.Replace(first, "by: AK", "by: ''", 1), `"by" is missing`},
		{"no time", "- {id: 1, kind: look, by: AK, patch: A1}", `"at" is missing`},
		{"no offset", strings.Replace(first, "+01:00", "", 1), "Add the offset of the clock from universal time: 2026-06-01T08:00:00+01:00"},
		{"no such day", strings.Replace(first, "06-01", "06-31", 1), "is not a date and time"},
		{"words for a time", strings.Replace(first, "2026-06-01T08:00:00+01:00", "monday", 1), "Write it as 2026-06-01T09:30:00+01:00."},
		{"correction of nothing", first + strings.Replace(second, "layers_left: 3", "corrects: 7, because: x", 1), "there is no entry 7 to correct"},
		{"correction of itself", first + strings.Replace(second, "layers_left: 3", "corrects: 2, because: x", 1), "there is no entry 2 to correct"},
		{"correction without a reason", first + second + "- {id: 3, kind: look, at: 2026-06-01T09:00:00+01:00, by: AK, patch: A1, corrects: 2}\n", "a correction says why"},
		{"correction of another kind", first + strings.Replace(second, "layers_left: 3", "corrects: 1, because: x", 1), "entry 1 is of the kind patch, and this one of the kind look"},
		{"corrected twice", first + second + "- {id: 3, kind: look, at: 2026-06-01T09:00:00Z, by: AK, patch: A1, corrects: 2, because: x}\n- {id: 4, kind: look, at: 2026-06-01T09:00:00Z, by: AK, patch: A1, corrects: 2, because: y}\n", "entry 2 was corrected before, by entry 3"},
		{"strike of nothing", "- {id: 1, kind: strike, at: 2026-06-01T09:00:00Z, by: AK}", "a strike names the entry"},
	} {
		_, err := readLog(test.log)
		switch {
		case test.wrong == "" && err != nil:
			t.Errorf("%s: %v", test.name, err)
		case test.wrong != "" && (err == nil || !strings.Contains(err.Error(), test.wrong)):
			t.Errorf("%s: %v\nwant %s", test.name, err, test.wrong)
		}
	}
}

func TestStanding(t *testing.T) {
	entries, err := readLog(first + second +
		"- {id: 3, kind: look, at: 2026-06-01T09:00:00Z, by: AK, patch: A1, layers_left: 2, corrects: 2, because: miscounted}\n" +
		"- {id: 4, kind: look, at: 2026-06-01T10:00:00Z, by: AK, patch: A1}\n" +
		"- {id: 5, kind: strike, at: 2026-06-01T11:00:00Z, by: AK, corrects: 4, because: wrong patch}\n")
	if err != nil {
		t.Fatal(err)
	}
	var ids []int
	for _, e := range job.Standing(entries) {
		ids = append(ids, e.ID)
	}
	if len(ids) != 2 || ids[0] != 1 || ids[1] != 3 {
		t.Errorf("standing: %v, want 1 and 3", ids)
	}
}

// A part without a log is saved as before, byte for byte; appending leaves what was written as it was.
func TestAppendOnly(t *testing.T) {
	b := load(t)
	j, err := job.ReadFile(b, example, nil)
	if err != nil {
		t.Fatal(err)
	}
	save := func() string {
		path := filepath.Join(t.TempDir(), "job.yaml")
		s, err := job.Open(b, path)
		if err != nil {
			t.Fatal(err)
		}
		defer s.Close()
		if err := s.Save(j); err != nil {
			t.Fatal(err)
		}
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	before := save()
	e := j.Element("honours board")
	if e.Log != nil || e.NextEntry() != 1 {
		t.Fatalf("log %v, next entry %d", e.Log, e.NextEntry())
	}
	if again := save(); again != before {
		t.Error("reading the log changed the file")
	}
	var logs []string
	for _, text := range []string{first, second} {
		var n yaml.Node
		if err := yaml.Unmarshal([]byte(text), &n); err != nil {
			t.Fatal(err)
		}
		e.Append(n.Content[0].Content[0])
		data := save()
		from := strings.Index(data, "honours board")
		logs = append(logs, data[from:from+strings.Index(data[from:], "  - name: slipway")])
		if !strings.HasPrefix(data, before[:from]) || !strings.HasSuffix(data, before[strings.Index(before, "  - name: slipway"):]) {
			t.Error("another part changed")
		}
	}
	if !strings.HasPrefix(logs[1], logs[0]) {
		t.Errorf("the second entry changed the first:\n%s\n%s", logs[0], logs[1])
	}
	if e.NextEntry() != 3 {
		t.Errorf("next entry %d", e.NextEntry())
	}
}

func TestNeedElement(t *testing.T) {
	j, err := job.ReadFile(load(t), example, nil)
	if err != nil {
		t.Fatal(err)
	}
	for name, wrong := range map[string]string{"": "name one with --element", "boathouse dor": `Did you mean "boathouse door"?`, "boathouse door": ""} {
		e, err := j.NeedElement(name)
		if wrong == "" && (err != nil || e.Name != name) || wrong != "" && (err == nil || !strings.Contains(err.Error(), wrong)) {
			t.Errorf("%q: %v", name, err)
		}
	}
	j.Elements = j.Elements[:1]
	if e, err := j.NeedElement(""); err != nil || e != j.Elements[0] {
		t.Errorf("the only part: %v", err)
	}
}
