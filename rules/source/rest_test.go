package source_test

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"patchfirst/rules/source"
)

// What is left out is what has mistakes; the rest is the base that it is without it, at the same places.
func TestRest(t *testing.T) {
	const (
		sound      = "- rule: sound\n  when: width < 10\n  rule_out: [swim]\n  because: So it is.\n  sources: [common practice]\n"
		misspelt   = "- rule: misspelt\n  when: bank == \"mudd\"\n  rule_out: [swim]\n  because: So it is.\n  sources: [common practice]\n"
		twice      = "- {constraint: twice, never: 'wide > 3 && bank == \"rok\"', because: So it is., sources: [common practice]}\n"
		promise    = "- promise: unknown\n  when: bank == \"mud\"\n  never_offered: [sail]\n  because: So it is.\n  sources: [common practice]\n"
		method     = "- {method: sail, label: sail, sources: [nowhere]}\n"
		unreadable = "- rule: [\n"
	)
	for _, test := range []struct {
		name   string
		pieces []string
		left   []string
		base   bool
	}{
		{"no mistake", []string{sound}, nil, true},
		{"one", []string{misspelt, sound}, []string{"rule misspelt"}, true},
		{"several of each kind", []string{sound, twice, misspelt, promise}, []string{"constraint twice", "rule misspelt", "promise unknown"}, true},
		{"one elsewhere", []string{misspelt, method, sound}, nil, false},
		{"no YAML", []string{sound, unreadable}, nil, false},
		{"the same id again", []string{sound, sound}, []string{"rule sound"}, true},
	} {
		t.Run(test.name, func(t *testing.T) {
			piece := strings.Join(test.pieces, "# between\n\n")
			b, left, err := source.Rest(fstest.MapFS{"common.yaml": {Data: []byte(read(t, "testdata/common.yaml"))}, "piece.yaml": {Data: []byte(piece)}}, "toy", nil)
			_, whole := base(t, piece)
			if (b != nil) != test.base || !slices.Equal(left, test.left) {
				t.Fatalf("a base is left: %v, without %v: %v", b != nil, left, err)
			}
			if (err == nil) != (whole == nil) || err != nil && err.Error() != whole.Error() {
				t.Errorf("the mistakes are %v, not %v", err, whole)
			}
			if b == nil {
				return
			}
			for _, r := range b.Rules {
				if r.ID == "misspelt" {
					t.Error("the rule with the mistake is there")
				}
				if line := strings.Count(piece[:strings.Index(piece, "- rule: sound")], "\n") + 1; r.ID == "sound" && r.Pos.Line != line {
					t.Errorf("the sound rule stands at %s, not in line %d", r.Pos, line)
				}
			}
		})
	}
}
