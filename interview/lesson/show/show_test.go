package show_test

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"patchfirst/interview/lesson"
	"patchfirst/interview/lesson/lessontest"
	"patchfirst/interview/lesson/show"
	"patchfirst/interview/paper/golden"
)

// digest changes with every edit of the base, and says nothing about a page.
var digest = regexp.MustCompile(`\([0-9a-f]{16}\)`)

func TestHandouts(t *testing.T) {
	s, l := lessontest.One(t, "honours-board") // its options are its own, so rules that are added do not change it
	for name, trainer := range map[string]bool{"learner.html": false, "trainer.html": true} {
		var out bytes.Buffer
		if err := show.Handout(&out, s, l, trainer); err != nil {
			t.Fatal(err)
		}
		golden.Check(t, name, digest.ReplaceAllString(out.String(), "(digest)"))
		if leaks := strings.Contains(out.String(), "gilding-only-by-a-conservator"); leaks != trainer {
			t.Errorf("%s tells the rules: %v", name, leaks)
		}
		if strings.Contains(out.String(), "<script") || strings.Contains(out.String(), "http://") {
			t.Errorf("%s needs more than itself", name)
		}
	}
}

// What a lesson file says is text, and never markup.
func TestHandoutEscapes(t *testing.T) {
	s, l := lessontest.One(t, "oak-table")
	own := *l
	own.Story = "<script>alert(1)</script> \x1b[2J"
	var out bytes.Buffer
	if err := show.Handout(&out, s, &own, false); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(out.String(), "<script") || strings.Contains(out.String(), "\x1b") {
		t.Error("a story is taken for markup")
	}
}

// What is told of right, half right, dangerous and no answers.
func TestReveals(t *testing.T) {
	s, l := lessontest.One(t, "oak-table")
	q, err := s.Pose(l, 0)
	if err != nil {
		t.Fatal(err)
	}
	var all strings.Builder
	for _, answer := range []struct {
		name   string
		chosen []string
	}{{"right", []string{"alkaline_covered"}}, {"one too many", []string{"alkaline_covered", "solvent_brushed"}}, {"dangerous", []string{"solvent_covered"}}, {"stuck", nil}} {
		text, err := show.Reveal(s.Base, q, q.Judge(answer.chosen))
		if err != nil {
			t.Fatal(err)
		}
		all.WriteString("== " + answer.name + "\n" + text + "\n")
	}
	golden.Check(t, "reveals.txt", digest.ReplaceAllString(all.String(), "(digest)"))
}

var sentenceEnd = regexp.MustCompile(`[.!?;:]["')\]]*\s+`)

// banned are words that promise what nobody can, or that a homeowner need not know; explain has the whole list.
var banned = regexp.MustCompile(`(?i)\b(utili[sz]e|ensure|in order to|prior to|perfectly safe|completely safe|is safe|is legal|guarantee[ds]?|e\.g\.|i\.e\.|etc\.)`)

// Stories and questions are in short plain sentences.
func TestWords(t *testing.T) {
	b, s, all := lessontest.Open(t)
	for i, l := range all {
		texts := []string{l.Story, l.Case.Title}
		for k, e := range l.Exercises {
			texts = append(texts, e.Text)
			if testing.Short() && i%8 > 0 {
				continue
			}
			q, err := s.Pose(l, k)
			if err != nil {
				t.Fatal(err)
			}
			text, err := show.Reveal(b, q, nil)
			if err != nil {
				t.Fatal(err)
			}
			before, _, _ := strings.Cut(text, "\nSources\n")
			texts = append(append(texts, strings.Split(before, "\n")...), q.Text)
			texts = append(append(texts, q.Facts...), q.Hints...)
		}
		for _, text := range texts {
			const most = 25
			for _, sentence := range sentenceEnd.Split(strings.Join(strings.Fields(text), " "), -1) {
				if n := len(strings.Fields(sentence)); n > most {
					t.Errorf("%s: a sentence of %d words: %s", l.Name, n, sentence)
				}
			}
			if word := banned.FindString(text); word != "" {
				t.Errorf("%s: the word %q: %s", l.Name, word, text)
			}
		}
	}
}

// What is told as data has the form that its schema describes.
func TestDataKeepsItsSchema(t *testing.T) {
	schema, err := jsonschema.NewCompiler().Compile("../../../testdata/schema/lessons.json")
	if err != nil {
		t.Fatal(err)
	}
	s, l := lessontest.One(t, "oak-table")
	broken := *l
	broken.Name, broken.Exercises = "broken", []*lesson.Exercise{{Kind: lesson.RuleOut, Options: []string{"leave", "steam"}}}
	checked, err := s.CheckAll([]*lesson.Lesson{l, &broken}, nil)
	if err != nil {
		t.Fatal(err)
	}
	r := &lesson.Results{Runs: []*lesson.Run{{Lesson: l.Name, Of: 2, Given: []lesson.Given{{Exercise: 1, Kind: lesson.RuleOut, Mark: lesson.Dangerous, Shown: checked[0].Teaches, Lost: checked[0].Teaches}}}}}
	var all [3]bytes.Buffer
	for i, err := range []error{
		show.ChecksJSON(&all[0], s.Base, checked),
		show.CoverJSON(&all[1], s.Base, []*lesson.Covered{{Rule: s.Base.Rules[0], Lessons: []string{"a"}}, {Rule: s.Base.Rules[1], Made: true}}),
		show.CurriculumJSON(&all[2], s.Base, s.Curriculum(checked, r)),
	} {
		if err != nil {
			t.Fatal(err)
		}
		value, err := jsonschema.UnmarshalJSON(&all[i])
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(value); err != nil {
			t.Error(err)
		}
	}
}
