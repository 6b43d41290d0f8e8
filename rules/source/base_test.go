package source_test

import (
	"errors"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"patchfirst/rules"
	"patchfirst/rules/source"
)

func read(t testing.TB, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// base reads the common base with a piece beside it.
func base(t testing.TB, piece string) (*rules.Base, error) {
	t.Helper()
	return source.Base(fstest.MapFS{
		"common.yaml": {Data: []byte(read(t, "testdata/common.yaml"))},
		"piece.yaml":  {Data: []byte(piece)},
	}, "toy", nil)
}

var (
	expectation  = regexp.MustCompile(` ### "((?:[^"\\]|\\.)*)"`)
	titleComment = regexp.MustCompile(`^# (.*)\n`)
)

// expected takes the expected messages out of a piece, by line.
func expected(piece string) (clean string, want map[int][]string) {
	want = map[int][]string{}
	lines := strings.Split(piece, "\n")
	for i, line := range lines {
		for _, m := range expectation.FindAllStringSubmatch(line, -1) {
			want[i+1] = append(want[i+1], m[1])
		}
		lines[i] = expectation.ReplaceAllString(line, "")
	}
	return strings.Join(lines, "\n"), want
}

func problemsOf(t testing.TB, err error) rules.Problems {
	t.Helper()
	var problems rules.Problems
	if !errors.As(err, &problems) {
		t.Fatalf("the error is %v, which lists no mistakes", err)
	}
	return problems
}

func TestMistakesAreNamedWithTheirPlace(t *testing.T) {
	_, pieces, _ := strings.Cut(read(t, "testdata/errors.txt"), "\n\n")
	for _, piece := range strings.Split(pieces, "---\n") {
		name := titleComment.FindStringSubmatch(piece)
		if name == nil {
			t.Fatalf("a piece has no title:\n%s", piece)
		}
		t.Run(name[1], func(t *testing.T) {
			clean, want := expected(piece)
			if len(want) == 0 {
				t.Fatal("the piece expects no message")
			}
			_, err := base(t, clean)
			if err == nil {
				t.Fatal("no mistake was found")
			}
			for _, p := range problemsOf(t, err) {
				text := strings.ReplaceAll(p.Summary+". "+p.Fix, "\n", " ")
				i := -1
				if p.Pos.File == "toy/piece.yaml" {
					i = slices.IndexFunc(want[p.Pos.Line], func(re string) bool { return regexp.MustCompile(re).MatchString(text) })
				}
				if i < 0 {
					t.Errorf("not expected: %v", p)
					continue
				}
				want[p.Pos.Line] = slices.Delete(want[p.Pos.Line], i, i+1)
			}
			for line, res := range want {
				for _, re := range res {
					t.Errorf("line %d should be told %q", line, re)
				}
			}
		})
	}
}

func TestTheCommonBaseHasNoMistakes(t *testing.T) {
	if _, err := base(t, "- version: \"2\"\n"); err != nil {
		t.Error(err)
	}
}

// TestColumns checks that a mistake in a condition is placed to the letter, however the condition is written.
func TestColumns(t *testing.T) {
	const rest = `
  rule_out: [boat]
  because: It leaks.
  sources: [common practice]
`
	for _, test := range []struct {
		name, when string
		line, col  int
	}{
		{"plain", `  when: bank == "mudd"`, 2, 17},
		{"plain, later", `  when: width < 5 && bank == "mudd"`, 2, 30},
		{"plain, left side", `  when: width < 5 && bonk == "mud"`, 2, 22},
		{"single quotes", `  when: 'bank == "mudd"'`, 2, 18},
		{"double quotes", `  when: "bonk == 'mud'"`, 2, 10},
		{"literal", "  when: |\n    bank == \"mudd\"", 3, 13},
		{"literal, second line", "  when: |\n    width < 5 &&\n    bank == \"mudd\"", 4, 13},
		{"literal, indented line", "  when: |\n    width < 5 &&\n      bank == \"mudd\"", 4, 15},
		{"literal, deep", "  when: |-\n      width < 5 &&\n      bonk == \"mud\"", 4, 7},
		{"letters of two bytes", `  when: bank == "mué" || bank == "mudd"`, 2, 17},
		{"not readable", `  when: bank == == "mud"`, 2, 17},
		{"list", `  when: bank in ["mud", "rokc"]`, 2, 25},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := base(t, "- rule: no-boat\n"+test.when+rest)
			if err == nil {
				t.Fatal("no mistake was found")
			}
			p := problemsOf(t, err)[0]
			if p.Pos.Line != test.line || p.Pos.Col != test.col {
				t.Errorf("the mistake is placed at %d:%d, not %d:%d\n%v", p.Pos.Line, p.Pos.Col, test.line, test.col, p)
			}
			if p.Excerpt == "" || !strings.Contains(p.Error(), "^") {
				t.Errorf("the line is not shown: %v", p)
			}
		})
	}
}

func TestAllMistakesAreToldAtOnceAndInOrder(t *testing.T) {
	var text strings.Builder
	const many = 12
	for i := range many {
		fmt.Fprintf(&text, "- rule: r%d\n  when: bonk == \"mud\"\n  rule_out: [boot]\n  because: It leaks.\n  sources: [nowhere]\n", i)
	}
	_, err := base(t, text.String())
	problems := problemsOf(t, err)
	if len(problems) != 3*many {
		t.Errorf("%d mistakes are told, of %d", len(problems), 3*many)
	}
	if !slices.IsSortedFunc(problems, func(a, b rules.Diagnostic) int { return a.Pos.Line - b.Pos.Line }) {
		t.Error("the mistakes are not in the order of the file")
	}
	for _, p := range problems {
		if !strings.HasPrefix(p.Error(), p.Pos.String()) {
			t.Errorf("the message does not begin with its place: %v", p)
		}
	}
}

func TestMistakesOfWholeFiles(t *testing.T) {
	for _, test := range []struct{ name, text, want string }{
		{"binary", "\x00\x01\x02", "not a text file"},
		{"not UTF-8", "- rule: \xff\xfe", "not a text file"},
		{"two documents", "- version: \"2\"\n---\n- version: \"3\"\n", "more than one YAML document"},
		{"a scalar", "hello", "must be a list"},
		{"tabs", "- rule: x\n\twhen: y\n", "cannot be read as YAML"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := base(t, test.text)
			if err == nil || !strings.Contains(err.Error(), test.want) || !strings.Contains(err.Error(), "piece.yaml") {
				t.Errorf("the message is %v", err)
			}
		})
	}
	for _, harmless := range []string{"", "\n", "# nothing yet\n", "\xef\xbb\xbf- version: \"2\"\n", "- version: \"2\"\r\n"} {
		if _, err := base(t, harmless); err != nil {
			t.Errorf("%q: %v", harmless, err)
		}
	}
}

func TestAFolderWithoutBaseIsNoBase(t *testing.T) {
	for name, fsys := range map[string]fstest.MapFS{"empty": {}, "other files": {"notes.txt": {Data: []byte("x")}}} {
		if _, err := source.Base(fsys, "toy", nil); err == nil || !strings.Contains(err.Error(), "toy holds no .yaml files") {
			t.Errorf("%s: the error is %v", name, err)
		}
	}
}

func TestDigestTellsBasesApart(t *testing.T) {
	one, err := base(t, "- version: \"2\"\n")
	if err != nil {
		t.Fatal(err)
	}
	again, _ := base(t, "- version: \"2\"\n")
	other, _ := base(t, "- version: \"3\"\n")
	if one.Digest != again.Digest || one.Digest == other.Digest || one.Digest == "" {
		t.Errorf("digests %q, %q, %q", one.Digest, again.Digest, other.Digest)
	}
}

func TestTooManyValues(t *testing.T) {
	var text strings.Builder
	text.WriteString("- fact: place\n  scope: site\n  ask: Where?\n  type: choice\n  blank: refuses\n  values: {")
	for i := range 65 {
		fmt.Fprintf(&text, "v%d: v, ", i)
	}
	text.WriteString("}\n")
	if _, err := base(t, text.String()); err == nil || !strings.Contains(err.Error(), "65 values or cells, at most 64") {
		t.Errorf("the error is %v", err)
	}
}
