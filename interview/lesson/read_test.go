package lesson

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"patchfirst/knowledge"
)

// Every mistake in a lesson file is told with its place, all at once, and with what to write instead.
func TestReadTellsMistakes(t *testing.T) {
	s, _ := shelf()
	const head = "- case: A\n  lesson: a\n  level: easy\n  source: invented\n  story: B.\n  given: {substrate: oak}\n  expect: {}\n"
	for _, tt := range []struct{ name, text, want string }{
		{"nothing", "", "x.yaml: the file is empty"},
		{"no list", "case: A\n", "x.yaml:1:1: a lesson file must be a list"},
		{"an empty list", "[]\n", "x.yaml:1:1: there is no lesson in the file"},
		{"no lesson", "- 7\n", "x.yaml:1:3: a lesson must be a list of keys"},
		{"no exercises", head, `x.yaml:1:3: the lesson has no exercises`},
		{"an unknown key", head + "  exercizes: []\n", `x.yaml:8:3: a lesson has no key "exercizes"`},
		{"an unknown level", strings.Replace(head, "easy", "eazy", 1), `x.yaml:3:10: "eazy" is not known for "level"`},
		{"a name that cannot be typed", strings.Replace(head, "lesson: a", "lesson: A b", 1), `x.yaml:2:11: "A b" is not a name that can be typed`},
		{"a name twice", head + "  exercises: [{ask: rule_out}]\n" + head + "  exercises: [{ask: rule_out}]\n", `x.yaml:10:11: there is already a lesson "a", in line 1`},
		{"an unknown rule", head + "  teaches: [no-heat-on-led]\n", `there is no rule "no-heat-on-led"`},
		{"an unknown kind", head + "  exercises:\n    - {ask: chose_method}\n", `x.yaml:9:13: "chose_method" is not known for "ask"`},
		{"a key of another kind", head + "  exercises:\n    - {ask: rule_out, log: []}\n", `x.yaml:9:23: an exercise to rule out the wrong ones has no key "log"`},
		{"an unknown method", head + "  exercises:\n    - {ask: rule_out, options: [steam, hot_ar]}\n", `x.yaml:9:40: there is no method "hot_ar"`},
		{"an unknown question", head + "  exercises:\n    - {ask: missing_question, options: [lead_test, leyers]}\n", `there is no question "leyers"`},
		{"an unknown step", head + "  exercises:\n    - {ask: order_steps, options: [dry, dri]}\n", `there is no step "dri"`},
		{"an unknown caution", head + "  exercises:\n    - {ask: find_danger, options: [slip, slop]}\n", `there is no caution "slop"`},
		{"an option twice", head + "  exercises:\n    - {ask: rule_out, options: [steam, steam]}\n", `"steam" is there twice`},
		{"one option", head + "  exercises:\n    - {ask: rule_out, options: [steam]}\n", "2 to 9 options can be chosen from, not 1"},
		{"an answer that is none", head + "  exercises:\n    - {ask: rule_out, then: {layers: many}}\n", `x.yaml:9:38: "many" is not a number that "layers" takes`},
		{"nothing changes", head + "  exercises:\n    - {ask: what_changed}\n", "x.yaml:9:7: what changes?"},
		{"no log", head + "  exercises:\n    - {ask: read_patches}\n", "x.yaml:9:7: there is no patch record to read"},
		{"a bad log", head + "  exercises:\n    - ask: read_patches\n      log:\n        - {id: 1, kind: patch, patch: A1, method: steem, at: 2026-06-01T08:00:00+01:00, by: AK}\n", `"steem" is not known for "method"`},
		{"no instrument", head + "  exercises:\n    - {ask: read_ph, readings: [{when: dry, surface: 8, control: 7}]}\n", "x.yaml:9:7: what was the pH read with?"},
		{"two instruments", head + "  exercises:\n    - {ask: read_ph, strip: 1, meter: true, readings: [{when: dry, surface: 8, control: 7}]}\n", "a strip or a meter, not both"},
		{"a strip of no step", head + "  exercises:\n    - {ask: read_ph, strip: 0, readings: [{when: dry, surface: 8, control: 7}]}\n", "x.yaml:9:29: "},
		{"no readings", head + "  exercises:\n    - {ask: read_ph, strip: 1}\n", "there is no reading"},
		{"a pH that is none", head + "  exercises:\n    - {ask: read_ph, strip: 1, readings: [{when: dry, surface: 18, control: 7}]}\n", `"18" is not a pH`},
		{"neither wet nor dry", head + "  exercises:\n    - {ask: read_ph, strip: 1, readings: [{when: damp, surface: 8, control: 7}]}\n", `"damp" is not known for "when"`},
	} {
		_, problems := Read(s.Base, "x.yaml", []byte(tt.text))
		if got := problems.Error(); !strings.Contains(got, tt.want) {
			t.Errorf("%s: %q is not told by\n%s", tt.name, tt.want, got)
		}
	}
}

// Two files may not have a lesson of the same name.
func TestShelfRefusesTheSameName(t *testing.T) {
	s, all := shelf()
	dir := t.TempDir()
	text := "- case: A\n  lesson: " + all[0].Name + "\n  level: easy\n  source: invented\n  story: B.\n  given: {}\n  expect: {}\n  exercises: [{ask: rule_out}]\n"
	if err := os.WriteFile(filepath.Join(dir, "mine.yaml"), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	sh := NewShelf(s.Base)
	fsys, name, err := knowledge.Lessons("")
	if err != nil {
		t.Fatal(err)
	}
	sh.Add(fsys, name)
	sh.Add(os.DirFS(dir), dir)
	if _, err := sh.Lessons(); err == nil || !strings.Contains(err.Error(), "mine.yaml:1:3: there is already a lesson") {
		t.Errorf("%v", err)
	}
}

func FuzzRead(f *testing.F) {
	s, _ := shelf()
	paths, err := filepath.Glob("../../knowledge/base/lessons/*.yaml")
	if err != nil || len(paths) == 0 {
		f.Fatal("no lessons to start from")
	}
	for _, p := range paths {
		text, err := os.ReadFile(p)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(text))
	}
	for _, text := range []string{"", "-", "- {}", "- lesson: a\n  exercises: [{ask: read_ph, strip: x, readings: [1]}]", "- exercises: [[]]", "- {case: [], story: {}}"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		lessons, problems := Read(s.Base, "x.yaml", []byte(text))
		for _, p := range problems {
			if p.Error() == "" || p.Pos.File != "x.yaml" {
				t.Errorf("a mistake without a place: %+v", p)
			}
		}
		if len(problems) > 0 {
			return
		}
		for _, l := range lessons {
			if l.Name == "" || l.Story == "" || len(l.Exercises) == 0 {
				t.Errorf("a lesson without name, story or exercises was taken: %+v", l)
			}
		}
	})
}
