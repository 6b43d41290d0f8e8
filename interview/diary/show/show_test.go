package show_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"patchfirst/interview/diary/show"
	"patchfirst/interview/job"
	"patchfirst/interview/paper/golden"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

const story = "../../../testdata/jobs/gannet-ness-story.yaml"

var base = sync.OnceValue(func() *rules.Base {
	b, err := knowledge.Load("")
	if err != nil {
		panic(err)
	}
	return b
})

// book is the story as it stood at a time in June 2026.
func book(t *testing.T, at string, width int) *show.Book {
	t.Helper()
	b := base()
	j, err := job.ReadFile(b, story, nil)
	if err != nil {
		t.Fatal(err)
	}
	now, err := time.Parse("02T15:04 2006-01 -07:00", at+" 2026-06 +01:00")
	if err != nil {
		t.Fatal(err)
	}
	s, err := show.Open(b, j, story, now, width)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// moments of the story that a reader can follow.
var moments = []struct{ name, at string }{
	{"1-before-patches", "01T08:09"}, {"2-patches", "02T10:00"}, {"3-confirming", "05T10:05"}, {"4-too-early", "05T17:00"}, {"5-edges-drying", "09T08:05"},
	{"6-rinsing", "09T17:31"}, {"7-coarse-paper", "11T15:12"}, {"8-drying", "16T09:30"}, {"9-release", "29T09:50"}, {"10-end", "29T15:00"},
}

// some are the moments, or in short tests a few of them.
func some() []struct{ name, at string } {
	if testing.Short() {
		return moments[4:8:8]
	}
	return moments
}

func TestTheStory(t *testing.T) {
	for _, m := range moments {
		var out bytes.Buffer
		if err := book(t, m.at, 80).Text(&out); err != nil {
			t.Fatal(err)
		}
		text, _, _ := strings.Cut(out.String(), "\nMon 1 Jun 2026") // the entries are in the last of them
		if m.name == "10-end" {
			text = out.String()
		}
		golden.Check(t, m.name+".txt", []byte(text))
	}
}

func TestNarrowAndDrawn(t *testing.T) {
	for _, width := range []int{80, 40} {
		var out bytes.Buffer
		if err := book(t, "29T15:00", width).Text(&out); err != nil {
			t.Fatal(err)
		}
		for line := range strings.SplitSeq(out.String(), "\n") {
			if utf8.RuneCountInString(line) > width {
				t.Errorf("wider than %d: %s", width, line)
			}
		}
	}
	var out bytes.Buffer
	if err := book(t, "29T15:00", 80).SVG(&out); err != nil {
		t.Fatal(err)
	}
	golden.Check(t, "story.svg", out.Bytes())
	if err := book(t, "01T08:50", 80).SVG(io.Discard); err == nil || !strings.Contains(err.Error(), "nothing to draw") {
		t.Errorf("a diary with nothing put on was drawn: %v", err)
	}
}

// The drawing is well-formed, in black and white, and escapes what people typed.
func TestSVGIsSound(t *testing.T) {
	s := book(t, "29T15:00", 80)
	s.Parts[0].Name = `<panel> & "frame"` + "\x1b"
	s.Parts[0].Report.Diary.Batches[0].Label = "</svg>"
	var out bytes.Buffer
	if err := s.SVG(&out); err != nil {
		t.Fatal(err)
	}
	d := xml.NewDecoder(strings.NewReader(out.String()))
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
			if (a.Name.Local == "fill" || a.Name.Local == "stroke") && a.Value != "none" && a.Value != "#000" && a.Value != "#fff" && !strings.HasPrefix(a.Value, "url(#") {
				t.Errorf("colour %s", a.Value)
			}
		}
	}
}

func TestJSONKeepsItsForm(t *testing.T) {
	schema, err := jsonschema.NewCompiler().Compile("../../../testdata/schema/diary.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range some() {
		var out bytes.Buffer
		if err := book(t, m.at, 80).JSON(&out); err != nil {
			t.Fatal(err)
		}
		value, err := jsonschema.UnmarshalJSON(bytes.NewReader(out.Bytes()))
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(value); err != nil {
			t.Errorf("%s: %v", m.name, err)
		}
		if m.name == "7-coarse-paper" {
			broken := bytes.Replace(out.Bytes(), []byte(`"may": false`), []byte(`"may": "no"`), 1)
			value, err := jsonschema.UnmarshalJSON(bytes.NewReader(broken))
			if err != nil || schema.Validate(value) == nil {
				t.Errorf("the schema takes a word for may: %v", err)
			}
		}
	}
}

var banned = regexp.MustCompile(`(?i)\b(utili[sz]e|leverage|facilitate|optimal|robust|comprehensive|ensure|in order to|prior to|is safe|is legal|guarantee[ds]?|e\.g\.|i\.e\.|etc\.)`)

// What people read is in sentences of at most 25 words. A paragraph stands on one line here. What the writer of an entry
// wrote is left out, and so are lists of sources.
func TestSentencesAreShort(t *testing.T) {
	const wide, most = 100_000, 25
	for _, m := range some() {
		var out bytes.Buffer
		if err := book(t, m.at, wide).Text(&out); err != nil {
			t.Fatal(err)
		}
		text, _, _ := strings.Cut(out.String(), "\nReadings")
		text, _, _ = strings.Cut(text, "\nMon 1 Jun 2026")
		text, _, _ = strings.Cut(text, "\nTimeline")
		for line := range strings.SplitSeq(text, "\n") {
			if word := banned.FindString(line); word != "" {
				t.Errorf("%s: the word %q: %s", m.name, word, line)
			}
			for sentence := range strings.SplitSeq(strings.NewReplacer("; ", ". ", ": ", ". ", "? ", ". ").Replace(line), ". ") {
				if n := len(strings.Fields(sentence)); n > most {
					t.Errorf("%s: %d words: %s", m.name, n, sentence)
				}
			}
		}
	}
}
