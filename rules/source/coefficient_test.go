package source_test

import (
	"testing"

	"patchfirst/rules"
)

// The first coefficient that holds for the method and for every answer that is still possible counts.
func TestCoefficient(t *testing.T) {
	b, err := base(t, `
- {coefficient: oars, is: none, of: [wet], sources: [common practice]}
- {coefficient: oars, is: long, where: {bank: [soft_banks]}, sources: [atlas]}
- {coefficient: oars, is: short, say: The usual ones., sources: [common practice]}
- {coefficient: ropes, is: two, where: {guide: ["yes"], load: [goat, drum]}, sources: [common practice]}
`)
	if err != nil {
		t.Fatal(err)
	}
	answers := func(bank ...string) rules.Answers { return rules.Answers{"bank": {Values: bank}} }
	guided := rules.Answers{"guide": {Values: []string{"yes"}}, "load": {Values: []string{"goat"}}}
	for _, test := range []struct {
		id, method string
		answers    rules.Answers
		want       string
	}{
		{"oars", "ford", answers("mud"), "none"},
		{"oars", "swim", nil, "none"},
		{"oars", "boat", answers("mud"), "long"},
		{"oars", "boat", answers("mud", "sand"), "long"},
		{"oars", "boat", answers("mud", "rock"), "short"},
		{"oars", "boat", nil, "short"},
		{"ropes", "boat", guided, "two"},
		{"ropes", "boat", guided.With("load", rules.Answer{Values: []string{"goat"}, MoreAfter: true}), ""},
		{"ropes", "boat", guided.With("load", rules.Answer{}), ""},
		{"ropes", "boat", nil, ""},
		{"sails", "boat", nil, ""},
	} {
		got := ""
		if c := b.Coefficient(test.id, b.Method(test.method), test.answers); c != nil {
			got = c.Is
		}
		if got != test.want {
			t.Errorf("%s of %s with %v is %q, not %q", test.id, test.method, test.answers, got, test.want)
		}
	}
}
