package show_test

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"patchfirst/interview/takeoff/show"
)

// The data keep their forms, for every part of the example and in both systems of units; a form refuses what is not so.
func TestDataKeepTheirForms(t *testing.T) {
	for _, test := range []struct {
		schema string
		write  func(b *show.Book, out io.Writer) error
		broken [2]string
	}{
		{"take-off.json", func(b *show.Book, out io.Writer) error { return b.JSON(out, "") },
			[2]string{`"kind": "told"`, `"kind": "guessed"`}},
		{"take-off.json", func(b *show.Book, out io.Writer) error { return b.JSON(out, "solvent_brushed") },
			[2]string{`"formula"`, `"form"`}},
		{"take-off-comparison.json", func(b *show.Book, out io.Writer) error { return b.CompareJSON(out) },
			[2]string{`"by": "cost"`, `"by": "luck"`}},
	} {
		schema, err := jsonschema.NewCompiler().Compile("../../../testdata/schema/" + test.schema)
		if err != nil {
			t.Fatal(err)
		}
		for _, us := range []bool{false, true} {
			parts := []string{"boathouse door", "stair skirting", "store-room ceiling"}
			if strings.Contains(test.schema, "comparison") {
				parts = parts[1:]
			}
			if us && testing.Short() {
				continue // the same fields
			}
			b := book(t, example, 80, parts...)
			b.US = us
			var out bytes.Buffer
			if err := test.write(b, &out); err != nil {
				t.Fatal(err)
			}
			text := out.String()
			value, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
			if err != nil {
				t.Fatal(err)
			}
			if err := schema.Validate(value); err != nil {
				t.Errorf("%s: %v", test.schema, err)
			}
			broken := strings.Replace(text, test.broken[0], test.broken[1], 1)
			value, err = jsonschema.UnmarshalJSON(strings.NewReader(broken))
			if err != nil || broken == text || schema.Validate(value) == nil {
				t.Errorf("%s takes %s", test.schema, test.broken[1])
			}
		}
	}
}

// The list for a supplier is CSV with the same number of fields in each line, and no field that a spreadsheet would compute.
func TestBillIsCSV(t *testing.T) {
	b := book(t, example, 80)
	b.Cases[0].Element.Name = `=1+1 "door", front`
	var out bytes.Buffer
	if err := b.CSV(&out, "alkaline_covered"); err != nil {
		t.Fatal(err)
	}
	lines, err := csv.NewReader(&out).ReadAll()
	if err != nil || len(lines) < 10 {
		t.Fatalf("%d lines (%v)", len(lines), err)
	}
	if lines[1][0] != `'=1+1 "door", front` {
		t.Errorf("the name is %s", lines[1][0])
	}
	for _, line := range lines[1:] {
		if line[4] == "" || line[5] == "" || line[7] == "" {
			t.Errorf("%v", line)
		}
	}
}

// The drawings are well-formed, say in words what they show, and use no colour but black and white.
func TestDrawings(t *testing.T) {
	for drawing, want := range map[string]string{"days": "with work on 3 of them",
		"cost": "alkaline paste under a cover: from"} {
		b := book(t, example, 80, "boathouse door")
		b.Cases[0].Element.Name = `<door> & "frame"` + "\x1b"
		var out bytes.Buffer
		if err := b.SVG(&out, drawing, ""); err != nil {
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
				if (a.Name.Local == "fill" || a.Name.Local == "stroke") && a.Value != "none" && a.Value != "#000" && a.Value != "#fff" && a.Value != "url(#w)" {
					t.Errorf("colour %s", a.Value)
				}
			}
		}
		for _, part := range []string{want, "&lt;door&gt; &amp;"} {
			if !strings.Contains(text, part) {
				t.Errorf("%s does not say %q", drawing, part)
			}
		}
	}
	if err := book(t, example, 80).SVG(io.Discard, "days", ""); err == nil {
		t.Error("seven parts were drawn as one")
	}
	if err := book(t, example, 80, "boathouse door").SVG(io.Discard, "nights", ""); err == nil {
		t.Error("there is a drawing of nights")
	}
	if err := book(t, example, 80, "store-room ceiling").SVG(io.Discard, "cost", ""); err == nil {
		t.Error("methods were drawn where none has sums")
	}
}

// What people read is in sentences of at most 25 words, and promises nothing.
func TestSentencesAreShort(t *testing.T) {
	const wide, most = 100_000, 25
	var out bytes.Buffer
	all := book(t, example, wide)
	for _, method := range []string{"", "alkaline_covered", "solvent_brushed", "tank_dip", "hot_air", "grit_blast",
		"leave"} {
		if err := all.Text(&out, method); err != nil {
			t.Fatal(err)
		}
	}
	compared := []string{"watch-room ceiling", "store-room ceiling"}
	if !testing.Short() {
		compared = append(compared, "boathouse door", "stair skirting")
	}
	for _, part := range compared {
		if err := book(t, example, wide, part).Compare(&out); err != nil {
			t.Fatal(err)
		}
	}
	for line := range strings.SplitSeq(out.String(), "\n") {
		if strings.Contains(line, ": alone it moves") || strings.HasPrefix(line, "  - By the") || strings.HasPrefix(line,
			"  - planning ranges") || strings.HasPrefix(line, "  - told in") { // lists of names are no sentences
			continue
		}
		for sentence := range strings.SplitSeq(strings.NewReplacer("; ", ". ", "? ", ". ", ": ", ". ").Replace(line),
			". ") {
			if n := len(strings.Fields(sentence)); n > most {
				t.Errorf("%d words: %s", n, sentence)
			}
		}
		for _, banned := range []string{"ensure", "guarantee", "is safe", "is legal", "utilise", "optimal"} {
			if strings.Contains(strings.ToLower(line), banned) {
				t.Errorf("%q: %s", banned, line)
			}
		}
	}
}
