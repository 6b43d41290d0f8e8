package cases_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"patchfirst/rules"
	"patchfirst/rules/cases"
	"patchfirst/rules/source"
)

// river is a small base: two ways over a river, and the last resort.
const river = `
- version: "1"
- {source: atlas, body: River Society, read: text}
- fact: width
  scope: site
  ask: How wide is the river?
  type: number
  unit: m
  from: 0
  to: 50
  blank: refuses
- fact: load
  scope: element
  ask: What is carried?
  type: several
  most: 2
  values: {goat: a goat, drum: a drum, glass: glass}
  blank: refuses
- {fact: guide, scope: site, ask: "Is there a guide?", type: yesno, blank: condition}
- {finding: danger, label: danger, scale: [none, some, great]}
- {method: swim, label: swim, sources: [atlas]}
- {method: boat, label: row, sources: [atlas]}
- {method: ferryman, label: call the ferryman, last_resort: true, sources: [atlas]}
- {step: lash, stage: protect, say: Lash it down., sources: [atlas]}
- rule: wide-is-danger
  when: width >= 10
  raise: {danger: some}
  because: One tires.
  sources: [atlas]
- rule: no-swim-in-danger
  when: danger != "none" || "glass" in load
  rule_out: [swim]
  because: One drowns.
  sources: [atlas]
- rule: lash-the-drum
  when: '"drum" in load'
  step: lash
  with: [boat]
  because: It rolls.
  sources: [atlas]
- constraint: drums-are-guided
  never: '"drum" in load && guide == "no"'
  because: They come with one.
  sources: [atlas]
`

func base(t testing.TB) *rules.Base {
	t.Helper()
	b, err := source.Base(fstest.MapFS{"river.yaml": {Data: []byte(river)}}, "toy", nil)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func readOne(t testing.TB, b *rules.Base, text string) *cases.Case {
	t.Helper()
	all, problems := cases.Read(b, "x.yaml", []byte(text))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if len(all) != 1 {
		t.Fatalf("%d cases", len(all))
	}
	return &all[0]
}

func TestRun(t *testing.T) {
	b := base(t)
	for _, test := range []struct {
		name, given, expect string
		fails               []string // words of each failure
	}{
		{"all as expected", "width: 20 m, load: [drum]", "first: boat, ruled_out: [swim], offered: [boat], not_first: [swim], steps: [lash], findings: {danger: some}", nil},
		{"one of several may be first", "width: 5, load: []", "first: [boat, swim]", nil},
		{"the first choice", "width: 5, load: []", "first: boat", []string{"the first choice is swim, not boat"}},
		{"what is not to be first", "width: 5, load: []", "not_first: swim", []string{"not to be first"}},
		{"what is offered", "width: 30", "offered: [swim]", []string{"swim is not offered"}},
		{"what is ruled out", "width: 5", "ruled_out: [boat, swim]", []string{"boat is not ruled out"}},
		{"a step", "load: [goat]", "steps: [lash]", []string{"has the step lash"}},
		{"a finding", "width: 5", "findings: {danger: some}", []string{"danger is none, not some"}},
		{"several at once", "width: 5, load: []", "first: boat, ruled_out: boat", []string{"boat is not ruled out", "first choice is swim"}},
		{"what cannot occur", `load: [drum], guide: "no"`, "first: boat", []string{"the situation cannot occur"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			c := readOne(t, b, "- case: x\n  source: invented\n  given: {"+test.given+"}\n  expect: {"+test.expect+"}\n")
			failures, err := cases.Run(b, c, nil)
			if err != nil {
				t.Fatal(err)
			}
			if len(failures) != len(test.fails) {
				t.Fatalf("%d failures, not %d: %v", len(failures), len(test.fails), failures)
			}
			for i, f := range failures {
				if !strings.Contains(f.What, test.fails[i]) || f.Why == "" || !strings.HasPrefix(f.String(), "x.yaml:1:3: x") {
					t.Errorf("the failure reads %v", f)
				}
			}
		})
	}
}

func TestPrepareCompletesTheAnswers(t *testing.T) {
	b := base(t)
	c := readOne(t, b, "- {case: x, source: invented, given: {load: []}, expect: {ruled_out: [swim]}}")
	failures, err := cases.Run(b, c, func(a rules.Answers) rules.Answers { return a.With("width", rules.Answer{Lo: 5, Hi: 5}) })
	if err != nil || len(failures) != 1 {
		t.Errorf("failures %v, error %v", failures, err)
	}
}

func TestMistakesInCaseFiles(t *testing.T) {
	b := base(t)
	for _, test := range []struct{ name, text, want string }{
		{"key", "- {case: x, source: invented, givn: {}, expect: {}}", `no key "givn"`},
		{"question", "- {case: x, source: invented, given: {widht: 5}, expect: {}}", `no question "widht"`},
		{"value", "- {case: x, source: invented, given: {load: [gaot]}, expect: {}}", `Did you mean "goat"?`},
		{"not known is blank", "- {case: x, source: invented, given: {guide: unknown}, expect: {}}", "is left out, or written ?"},
		{"no list", "- {case: x, source: invented, given: {load: goat}, expect: {}}", "Write [goat]"},
		{"too many", "- {case: x, source: invented, given: {load: [goat, drum, glass]}, expect: {}}", "at most 2 values"},
		{"number", "- {case: x, source: invented, given: {width: wide}, expect: {}}", "Write a number in m"},
		{"out of range", "- {case: x, source: invented, given: {width: 60}, expect: {}}", "must be 0 to 50"},
		{"backwards", "- {case: x, source: invented, given: {width: 9..3}, expect: {}}", "runs backwards"},
		{"two numbers", "- {case: x, source: invented, given: {width: [3, 5]}, expect: {}}", "is one number"},
		{"method", "- {case: x, source: invented, expect: {first: boot}}", `no method "boot"`},
		{"note", "- {case: x, source: invented, expect: {steps: [lahs]}}", `no step "lahs"`},
		{"finding", "- {case: x, source: invented, expect: {findings: {dangr: some}}}", `no finding "dangr"`},
		{"level", "- {case: x, source: invented, expect: {findings: {danger: sum}}}", `"sum" is not known`},
		{"source", "- {case: x, source: {id: atlsa}, expect: {}}", `no source "atlsa"`},
		{"answers that are no answers", "- {case: x, source: invented, given: [width], expect: {}}", "must be a list of keys and values"},
		{"findings that are none", "- {case: x, source: invented, expect: {findings: [danger]}}", "must be a list of keys and values"},
		{"source without id", "- {case: x, source: {where: page 3}, expect: {}}", `"id" is missing`},
		{"no source", "- {case: x, expect: {}}", "a case names its source"},
		{"no expectation", "- {case: x, source: invented}", "expects nothing"},
		{"no list of cases", "case: x", "a case file must be a list"},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, problems := cases.Read(b, "x.yaml", []byte(test.text))
			if len(problems) != 1 || !strings.Contains(problems[0].Error(), test.want) || problems[0].Pos.Line != 1 {
				t.Errorf("the mistakes are %v", problems)
			}
		})
	}
}

func TestReadFSTellsAllMistakes(t *testing.T) {
	b := base(t)
	bad := []byte("- {case: x, source: invented, given: {widht: 5}, expect: {}}\n")
	_, err := cases.ReadFS(b, fstest.MapFS{"a.yaml": {Data: bad}, "b.yaml": {Data: bad}}, "cases")
	if err == nil || !strings.Contains(err.Error(), "cases/a.yaml") || !strings.Contains(err.Error(), "cases/b.yaml") {
		t.Errorf("the error is %v", err)
	}
	if _, err := cases.ReadFS(b, fstest.MapFS{}, "cases"); err == nil {
		t.Error("an empty folder holds cases")
	}
}

func FuzzCases(f *testing.F) {
	b := base(f)
	for _, text := range []string{
		"- {case: x, source: invented, given: {width: 5..9, load: [goat, ?], guide: ?}, expect: {first: boat}}",
		"- case: y\n  source: {id: atlas, where: page 3}\n  given: {load: [?, drum]}\n  expect: {findings: {danger: some}, steps: lash}\n",
		"- {case: x, source: [], given: [], expect: []}", "- case: {}\n  source: {}\n  given: {width: {}}\n  expect: {findings: []}", "", "- ", "- {}", "- {expect: {findings: {danger: [x]}}}",
		"- {case: x, source: ~, given: ~, expect: ~}", "- {case: x, source: invented, given: {width: nan, load: [[]], guide: []}, expect: {first: {}}}", "- {source: {id: }}",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		all, problems := cases.Read(b, "x.yaml", []byte(text))
		for _, p := range problems {
			if p.Error() == "" {
				t.Error("a mistake without words")
			}
		}
		if len(problems) > 0 {
			return
		}
		for i := range all {
			if _, err := cases.Run(b, &all[i], nil); err != nil {
				t.Error(err)
			}
		}
	})
}
