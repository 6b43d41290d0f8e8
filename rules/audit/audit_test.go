package audit_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"patchfirst/rules"
	"patchfirst/rules/audit"
	"patchfirst/rules/cases"
	"patchfirst/rules/diagram"
	"patchfirst/rules/source"
)

// A base about moving boxes, with one of each mistake. It has six cases, of which the constraint leaves five.
const boxes = `
- version: "1"
- {fact: size, scope: element, ask: "How large?", type: choice, values: {small: small, big: big, huge: huge}, blank: refuses}
- {fact: lid, scope: element, ask: "Has it a lid?", type: yesno, blank: refuses}
- {fact: colour, scope: element, ask: "Which colour?", type: choice, values: {red: red, blue: blue}, blank: refuses}
- {method: carry, label: carry it, sources: [common practice]}
- {method: push, label: push it, sources: [common practice]}
- {method: call, label: call someone, last_resort: true, sources: [common practice]}
- {caution: back, gravity: care, say: Mind your back., do: Bend your knees., sources: [common practice]}
- {caution: unseen, gravity: care, say: Never shown., do: Nothing., sources: [common practice]}
- {rule: no-carry-huge, when: 'size == "huge"', rule_out: [carry], because: It is heavy., sources: [common practice]}
- {rule: no-carry-huge-again, when: 'size == "huge"', rule_out: [carry], because: It is heavy., sources: [common practice]}
- {rule: no-carry-huge-with-lid, when: 'size == "huge" && lid == "yes"', rule_out: [carry], because: It is heavy., sources: [common practice]}
- {rule: carry-huge-gladly, when: 'size == "huge"', favour: [carry], because: It is quick., sources: [common practice]}
- {rule: small-lids, when: 'size == "small" && lid == "yes"', rule_out: [push], because: It tips., sources: [common practice]}
- {rule: mind-the-back, when: 'size != "small"', caution: back, with: [push], because: It is heavy., sources: [common practice]}
- {rule: red-is-as-blue, when: 'colour == "red" || colour == "blue"', caution: back, with: [carry], because: All are heavy., sources: [common practice]}
- {rule: unseen-rule, when: 'size == "small" && lid == "yes"', caution: unseen, with: [push], because: It tips., sources: [common practice]}
- {constraint: small-ones-have-no-lid, never: 'size == "small" && lid == "yes"', because: They are open., sources: [common practice]}
- {promise: no-pushing-with-lid, when: 'lid == "yes"', never_offered: [push], because: It slides., sources: [common practice]}
- {promise: backs-are-minded, when: 'size == "big"', always_with: [push], caution: back, because: It is heavy., sources: [common practice]}
`

func load(t *testing.T) *rules.Base {
	t.Helper()
	b, err := source.Base(fstest.MapFS{"boxes.yaml": {Data: []byte(boxes)}}, "boxes", nil)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestAnomalies(t *testing.T) {
	s, err := load(t).Compile(nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	found := audit.Anomalies(s)
	for _, want := range []struct {
		id   string
		kind audit.Kind
	}{
		{"no-carry-huge-again", audit.Redundant},
		{"no-carry-huge-with-lid", audit.Subsumed},
		{"small-lids", audit.NeverFires},
		{"carry-huge-gladly", audit.Conflict},
		{"unseen", audit.Unreached},
		{"colour", audit.NoEffect},
	} {
		if !slices.ContainsFunc(found, func(a audit.Anomaly) bool {
			return a.Kind == want.kind && (a.ID == want.id || slices.Contains(a.Others, want.id))
		}) {
			t.Errorf("%s is not said to be %s in %v", want.id, want.kind, found)
		}
	}
	for _, a := range found {
		if a.ID == "mind-the-back" || a.ID == "size" || a.ID == "back" {
			t.Errorf("nothing is wrong with it: %s", a)
		}
	}
}

// pasted reads an example as a case file would hold it.
func pasted(t *testing.T, b *rules.Base, example []audit.Given) rules.Answers {
	t.Helper()
	var given []string
	for _, g := range example {
		given = append(given, g.Fact+": "+g.Answer)
	}
	text := "- {case: pasted, source: invented, given: {" + strings.Join(given, ", ") + "}, expect: {not_first: [nothing]}}\n"
	all, problems := cases.Read(b, "case.yaml", []byte(strings.Replace(text, "nothing", b.Methods[0].ID, 1)))
	if len(problems) > 0 || len(all) != 1 {
		t.Fatal(text, problems)
	}
	return all[0].Given
}

// Of the five cases, times two colours, four have a lid; pushing is open in all of them. The counter-example breaks the
// promise when it is decided.
func TestProofsCountBrokenCases(t *testing.T) {
	b := load(t)
	proofs, err := audit.Proofs(b, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range proofs {
		switch p.Promise.ID {
		case "backs-are-minded":
			if p.Outcome != diagram.None || p.Cases == nil || p.Cases.Int64() != 4 {
				t.Errorf("%s, %v cases", p, p.Cases)
			}
		case "no-pushing-with-lid":
			if p.Outcome != diagram.Found || p.Method.ID != "push" || p.Broken == nil || p.Broken.Int64() != 4 || p.Cases.Int64() != 4 || p.Share() != 1 {
				t.Errorf("%s: %v of %v", p, p.Broken, p.Cases)
			}
			d, contradiction, err := b.Decide(pasted(t, b, p.Example))
			if err != nil || contradiction != nil {
				t.Fatal(contradiction, err)
			}
			if !d.Methods[p.Method.Rank].Verdict.Offered() {
				t.Errorf("where %v, %s", p.Example, d.Methods[p.Method.Rank].Why())
			}
		}
	}
}

// The issues of a report stand in its data and in SARIF with their places; the second form can be read back.
func TestFormats(t *testing.T) {
	b := load(t)
	all, problems := cases.Read(b, "case.yaml", []byte("- {case: A big box, source: invented, given: {size: big, lid: \"no\"}, expect: {first: [push]}}\n"))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	report, err := audit.Check(b, all, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	if report.Holds(false) {
		t.Error("a broken promise, a conflict and a case that fails are no reason to fail")
	}
	var asJSON, asSARIF bytes.Buffer
	if err := errors.Join(report.JSON(&asJSON), report.SARIF(&asSARIF)); err != nil {
		t.Fatal(err)
	}
	var data struct {
		Space  int64
		Issues []struct {
			Kind, Level, ID, File string
			Line                  int
			Broken, Of            int64
		}
	}
	if err := json.Unmarshal(asJSON.Bytes(), &data); err != nil {
		t.Fatal(err)
	}
	var sarif struct {
		Version string
		Runs    []struct {
			Tool struct {
				Driver struct {
					Name  string
					Rules []struct{ ID string }
				}
			}
			Results []struct {
				RuleID, Level string
				Message       struct{ Text string }
				Locations     []struct {
					PhysicalLocation struct {
						ArtifactLocation struct{ URI string }
						Region           struct{ StartLine int }
					}
				}
			}
		}
	}
	if err := json.Unmarshal(asSARIF.Bytes(), &sarif); err != nil {
		t.Fatal(err)
	}
	results := sarif.Runs[0].Results
	if sarif.Version != "2.1.0" || len(results) != len(data.Issues) || data.Space != 10 {
		t.Fatalf("version %s, %d results of %d issues, %d cases", sarif.Version, len(results), len(data.Issues), data.Space)
	}
	kinds := map[string]bool{}
	for _, r := range sarif.Runs[0].Tool.Driver.Rules {
		kinds[r.ID] = true
	}
	seen := map[string]bool{}
	for i, issue := range data.Issues {
		r := results[i]
		at := r.Locations[0].PhysicalLocation
		if r.RuleID != issue.Kind || !kinds[r.RuleID] || r.Level != issue.Level || at.ArtifactLocation.URI != issue.File || at.Region.StartLine != issue.Line || issue.Line == 0 || r.Message.Text == "" {
			t.Errorf("%+v is in SARIF %+v", issue, r)
		}
		if issue.Kind == "promise" && (issue.ID != "no-pushing-with-lid" || issue.Broken != 4 || issue.Of != 4) {
			t.Errorf("%+v", issue)
		}
		seen[issue.Kind] = true
	}
	for _, kind := range []string{"promise", "conflict", "redundant", "never-fires", "case"} {
		if !seen[kind] {
			t.Errorf("no issue of kind %s in %+v", kind, data.Issues)
		}
	}
}
