package audit_test

import (
	"bytes"
	"encoding/json"
	"io"
	"net/url"
	"path"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"patchfirst/rules"
	"patchfirst/rules/audit"
	"patchfirst/rules/cases"
	"patchfirst/rules/source"
)

// sarifSchema is the schema that OASIS publishes for the format.
func sarifSchema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	schema, err := c.Compile("../../testdata/schema/sarif-2.1.0.json")
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

// written is what a writer writes, as data.
func written(t *testing.T, write func(io.Writer) error) any {
	t.Helper()
	var out bytes.Buffer
	if err := write(&out); err != nil {
		t.Fatal(err)
	}
	value, err := jsonschema.UnmarshalJSON(&out)
	if err != nil {
		t.Fatal(err)
	}
	return value
}

const folder = "50 % of [our] boxes: new"

// boxesReport checks the base of boxes, which has one of each mistake, with a case that fails; both stand in a folder
// whose name must be written otherwise in a URI.
func boxesReport(t *testing.T) *audit.Report {
	t.Helper()
	b, err := source.Base(fstest.MapFS{"boxes.yaml": {Data: []byte(boxes)}}, folder, nil)
	if err != nil {
		t.Fatal(err)
	}
	all, problems := cases.Read(b, folder+"/case.yaml", []byte("- {case: A big box, source: invented, given: {size: big, lid: \"no\"}, expect: {first: [push]}}\n"))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	report, err := audit.Check(b, all, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	return report
}

// Reports and problems keep to the published schema: full, empty, with and without a place.
func TestSARIFKeepsToItsSchema(t *testing.T) {
	schema := sarifSchema(t)
	report := boxesReport(t)
	if len(report.Anomalies) == 0 || len(report.Failures) == 0 {
		t.Fatal("the report has nothing to tell")
	}
	_, unreadable := source.Base(fstest.MapFS{"b.yaml": {Data: []byte("- version: \"1\"\n- {rule: r, when: 'size ==', rule_out: [nothing]}\n")}}, "my base", nil)
	problems, ok := unreadable.(rules.Problems)
	if !ok {
		t.Fatalf("%T is no list of problems", unreadable)
	}
	for name, write := range map[string]func(io.Writer) error{
		"report":         report.SARIF,
		"empty report":   (&audit.Report{}).SARIF,
		"problems":       func(w io.Writer) error { return audit.ProblemsSARIF(w, problems) },
		"no problems":    func(w io.Writer) error { return audit.ProblemsSARIF(w, nil) },
		"without places": func(w io.Writer) error { return audit.ProblemsSARIF(w, rules.Problems{{Summary: "There is no base."}}) },
	} {
		t.Run(name, func(t *testing.T) {
			if err := schema.Validate(written(t, write)); err != nil {
				t.Error(err)
			}
		})
	}
}

// A reader that takes the URI of a place apart finds the file that was read.
func TestSARIFNamesFiles(t *testing.T) {
	var log struct {
		Runs []struct {
			Results []struct {
				Locations []struct {
					PhysicalLocation struct{ ArtifactLocation struct{ URI string } }
				}
			}
		}
	}
	text, err := json.Marshal(written(t, boxesReport(t).SARIF))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &log); err != nil {
		t.Fatal(err)
	}
	found := map[string]int{}
	for _, r := range log.Runs[0].Results {
		at, err := url.Parse(r.Locations[0].PhysicalLocation.ArtifactLocation.URI)
		if err != nil {
			t.Fatal(err)
		}
		found[path.Clean(at.Path)]++
	}
	if found[folder+"/boxes.yaml"] == 0 || found[folder+"/case.yaml"] == 0 || len(found) != 2 {
		t.Errorf("results stand in %v", found)
	}
}

// Every way to spoil a report that the writer could fall into is refused by the schema.
func TestSARIFSchemaRefuses(t *testing.T) {
	schema := sarifSchema(t)
	whole := written(t, boxesReport(t).SARIF)
	type object = map[string]any
	run := func(v any) object { return v.(object)["runs"].([]any)[0].(object) }
	result := func(v any) object { return run(v)["results"].([]any)[0].(object) }
	physical := func(v any) object { return result(v)["locations"].([]any)[0].(object)["physicalLocation"].(object) }
	for name, spoil := range map[string]func(any){
		"another version":     func(v any) { v.(object)["version"] = "2.0.0" },
		"no runs":             func(v any) { delete(v.(object), "runs") },
		"a key of its own":    func(v any) { result(v)["kindOfMistake"] = "conflict" },
		"no tool":             func(v any) { delete(run(v), "tool") },
		"a tool without name": func(v any) { delete(run(v)["tool"].(object)["driver"].(object), "name") },
		"an unknown level":    func(v any) { result(v)["level"] = "mistake" },
		"no message":          func(v any) { delete(result(v), "message") },
		"an empty message":    func(v any) { result(v)["message"] = object{} },
		"line 0":              func(v any) { physical(v)["region"].(object)["startLine"] = json.Number("0") },
		"column 0":            func(v any) { physical(v)["region"].(object)["startColumn"] = json.Number("0") },
		"a region of nothing": func(v any) { physical(v)["region"] = object{} },
		"a bare percent sign": func(v any) { physical(v)["artifactLocation"].(object)["uri"] = "my base/50 %.yaml" },
		"a rule twice": func(v any) {
			driver := run(v)["tool"].(object)["driver"].(object)
			driver["rules"] = append(driver["rules"].([]any), driver["rules"].([]any)[0])
		},
	} {
		t.Run(name, func(t *testing.T) {
			text, err := json.Marshal(whole)
			if err != nil {
				t.Fatal(err)
			}
			spoiled, err := jsonschema.UnmarshalJSON(strings.NewReader(string(text)))
			if err != nil {
				t.Fatal(err)
			}
			if err := schema.Validate(spoiled); err != nil {
				t.Fatal(err)
			}
			if spoil(spoiled); schema.Validate(spoiled) == nil {
				t.Error("the schema takes it")
			}
		})
	}
}
