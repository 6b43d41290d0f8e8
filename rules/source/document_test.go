package source_test

import (
	"strings"
	"testing"

	"patchfirst/rules/source"
)

// A file that is no YAML is told with the line that breaks it, however far below the line on which the parser began.
func TestBrokenYAMLIsToldWhereItBreaks(t *testing.T) {
	entry := "- rule: r\n  when: a\n  because: So it is.\n  sources: [x]\n"
	for _, test := range []struct {
		name, text string
		line       int
	}{
		{"a key indented less", strings.Repeat(entry, 20) + "- rule: r\n when: a\n" + strings.Repeat(entry, 3), 82},
		{"a bracket not closed", strings.Repeat(entry, 5) + "- rule: r\n  sources: [x\n  when: a\n" + entry, 22},
		{"a quote not closed", "# Comment.\n\n" + entry + "- rule: r\n  when: 'a\n  because: b\n" + entry, 8},
		{"a key twice on a line", entry + "- rule: r: s\n", 5},
		{"a map", "job: x\nsite:\n  built: 1911\n   use: y\nelements: []\n", 4},
		{"bare question marks beside", "job: x\nsite: {built: ?}\nelements:\n  - name: [a\n    part: b\n", 4},
	} {
		d := source.Parse("x.yaml", []byte(test.text))
		if len(d.Problems) != 1 || d.Problems[0].Pos.Line != test.line {
			t.Errorf("%s: %v, and it breaks in line %d", test.name, d.Problems, test.line)
		}
	}
}
