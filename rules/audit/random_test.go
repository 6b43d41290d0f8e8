package audit_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"

	"patchfirst/rules"
	"patchfirst/rules/source"
)

// What every base of these tests begins with: 3 x 2 x 4 x 4 answers, the list with at most two values and one end.
const head = `
- version: "1"
- {fact: size, scope: element, ask: "How large?", type: choice, values: {small: small, big: big, huge: huge}, blank: refuses}
- {fact: wet, scope: element, ask: "Is it wet?", type: yesno, blank: condition}
- {fact: weight, scope: element, ask: "How heavy?", type: number, unit: kg, from: 0, to: 100, blank: refuses}
- {fact: on, scope: element, ask: "What is on it?", type: several, most: 2, values: {red: red, blue: blue, gold: gold}, order: outside_in, first: outer, blank: refuses}
- {finding: danger, label: danger, scale: [none, some, much]}
- {method: carry, label: carry it, sources: [common practice]}
- {method: push, label: push it, sources: [common practice]}
- {method: roll, label: roll it, sources: [common practice]}
- {method: call, label: call someone, last_resort: true, sources: [common practice]}
- {caution: back, gravity: care, say: Mind your back., do: Bend your knees., sources: [common practice]}
- {step: dry, stage: before, say: Dry it first., sources: [common practice]}
`

// randomBase writes the rules of a base.
func randomBase(t *rapid.T) string {
	tests := []string{
		`size == "small"`, `size == "huge"`, `size in ["big", "huge"]`, `size != "big"`, `wet == "yes"`, `weight < 10`, `weight >= 10`, `weight > 50`,
		`"red" in on`, `"gold" in on`, `outer == "red"`, `danger >= "some"`, `danger == "much"`,
	}
	const readsFindings = 2 // the last ones, which a rule that raises one must not read
	cond := func(name string, n int) string {
		test := func(i int) string {
			s := rapid.SampledFrom(tests[:n]).Draw(t, fmt.Sprint(name, i))
			if rapid.IntRange(0, 4).Draw(t, fmt.Sprint(name, "not", i)) == 0 {
				return "!(" + s + ")"
			}
			return s
		}
		switch rapid.IntRange(0, 3).Draw(t, name+" form") {
		case 0:
			return test(0)
		case 1:
			return test(0) + " || " + test(1)
		case 2:
			return "(" + test(0) + " || " + test(1) + ") && " + test(2)
		}
		return test(0) + " && " + test(1)
	}
	methods := func(name string) string {
		return strings.Join(rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"carry", "push", "roll"}), 1, 2, rapid.ID).Draw(t, name), ", ")
	}
	var b strings.Builder
	b.WriteString(head)
	for i := range rapid.IntRange(2, 6).Draw(t, "rules") {
		name := fmt.Sprint("rule", i)
		does := rapid.SampledFrom([]string{"rule_out", "no_use", "discourage", "favour", "caution", "step", "raise"}).Draw(t, name+" does")
		n, effect := len(tests), fmt.Sprintf("%s: [%s]", does, methods(name))
		switch does {
		case "caution":
			effect = fmt.Sprintf("caution: back, with: [%s]", methods(name))
		case "step":
			effect = fmt.Sprintf("step: dry, with: [%s]", methods(name))
		case "raise":
			n -= readsFindings
			effect = fmt.Sprintf("raise: {danger: %s}", rapid.SampledFrom([]string{"some", "much"}).Draw(t, name+" level"))
		}
		fmt.Fprintf(&b, "- {rule: %s, when: '%s', %s, because: It is so., sources: [common practice]}\n", name, cond(name, n), effect)
	}
	if rapid.Bool().Draw(t, "constrained") {
		fmt.Fprintf(&b, "- {constraint: c, never: '%s', because: It cannot be., sources: [common practice]}\n", cond("constraint", len(tests)-readsFindings))
	}
	for i, form := range []string{"never_offered", "never_first", "always_with"} {
		extra := map[string]string{"always_with": ", caution: back"}[form]
		fmt.Fprintf(&b, "- {promise: p%d, when: '%s', %s: [%s]%s, because: It must., sources: [common practice]}\n", i, cond(form, len(tests)), form, methods(form), extra)
	}
	return b.String()
}

var bases = rapid.Custom(randomBase)

// examples runs a test on some bases that are the same each time.
func examples(t *testing.T, n int, f func(t *testing.T, seed int)) {
	if testing.Short() {
		n /= 4
	}
	for seed := range n {
		t.Run(fmt.Sprint(seed), func(t *testing.T) { f(t, seed) })
	}
}

func read(t *testing.T, text string) *rules.Base {
	b, err := source.Base(fstest.MapFS{"b.yaml": {Data: []byte(text)}}, "b", nil)
	if err != nil {
		t.Fatal(err, text)
	}
	return b
}
