package explain_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"runtime"
	"strings"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"patchfirst/explain"
	"patchfirst/interview/job"
	"patchfirst/interview/paper/golden"
	"patchfirst/knowledge"
	"patchfirst/rules"
	"patchfirst/rules/cases"
)

func example(t testing.TB) (*rules.Base, *job.Job) {
	t.Helper()
	b, err := knowledge.Load("")
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.ReadFile(b, "../testdata/jobs/gannet-ness.yaml", nil)
	if err != nil {
		t.Fatal(err)
	}
	return b, j
}

func explainer(t testing.TB, part string) *explain.Explainer {
	t.Helper()
	b, j := example(t)
	x, err := explain.Explain(b, j, j.Element(part))
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// The requests that the README shows, and one of every other kind.
var requests = []struct {
	name, part string
	r          explain.Request
}{
	{"why-first", "boathouse door", explain.Request{}},
	{"why-not-hot-air", "boathouse door", explain.Request{What: []string{"hot_air"}}},
	{"why-not-acid", "boathouse door", explain.Request{What: []string{"acid"}}},
	{"why-lead", "boathouse door", explain.Request{What: []string{"lead"}}},
	{"why-step", "boathouse door", explain.Request{What: []string{"find_where_water_goes"}}},
	{"what-if", "boathouse door", explain.Request{If: []string{"lead_test=lab_negative"}}},
	{"next", "boathouse door", explain.Request{Next: true}},
	{"compare", "boathouse door", explain.Request{Compare: true}},
	{"graph", "boathouse door", explain.Request{What: []string{"hot_air"}, Graph: "dot"}},
	{"drawing", "boathouse door", explain.Request{What: []string{"hot_air"}, Graph: "svg"}},
}

func TestExplanations(t *testing.T) {
	schema, err := jsonschema.NewCompiler().Compile("../testdata/schema/explanation.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, test := range requests {
		t.Run(test.name, func(t *testing.T) {
			r := test.r
			r.Width = 80
			ask := func() (string, string) {
				reply, err := explainer(t, test.part).Ask(r)
				if err != nil {
					t.Fatal(err)
				}
				var text bytes.Buffer
				if err := reply.Text(&text); err != nil {
					t.Fatal(err)
				}
				data, err := json.Marshal(reply.Data())
				if err != nil {
					t.Fatal(err)
				}
				return text.String(), string(data)
			}
			text, data := ask()
			golden.Check(t, test.name+".txt", text)
			if again, dataAgain := ask(); again != text || dataAgain != data {
				t.Error("the same question has two answers")
			}
			value, err := jsonschema.UnmarshalJSON(strings.NewReader(data))
			if err != nil {
				t.Fatal(err)
			}
			if err := schema.Validate(value); err != nil {
				t.Errorf("%v\n%s", err, data)
			}
			for i, line := range strings.Split(text, "\n") {
				if r.Graph == "" && len([]rune(line)) > r.Width {
					t.Errorf("line %d is %d wide: %s", i+1, len([]rune(line)), line)
				}
			}
		})
	}
}

// A request that makes no sense is refused with what to do instead.
func TestAskRefuses(t *testing.T) {
	for _, test := range []struct {
		r    explain.Request
		want string
	}{
		{explain.Request{What: []string{"hot_aire"}}, `Did you mean "hot_air"?`},
		{explain.Request{If: []string{"lead_tset=positive"}}, `Did you mean "lead_test"?`},
		{explain.Request{If: []string{"lead_test"}}, "write fact=value"},
		{explain.Request{Next: true, Compare: true}, "ask one at a time"},
		{explain.Request{Next: true, What: []string{"acid"}}, "one too many"},
		{explain.Request{Compare: true, What: []string{"stream"}}, `Did you mean "steam"?`},
		{explain.Request{Graph: "png"}, "svg or dot"},
		{explain.Request{Graph: "svg", What: []string{"acid", "steam"}}, "name one"},
	} {
		_, err := explainer(t, "boathouse door").Ask(test.r)
		if err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%+v: %v, and not %q", test.r, err, test.want)
		}
	}
}

// The published cases with the reason of their first choice, and for every method they expect to be ruled out the reason
// and the nearest change.
func TestReasonsOfPublishedCases(t *testing.T) {
	if testing.Short() {
		t.Skip("explains every published case")
	}
	b, j := example(t)
	all, err := cases.ReadFS(b, os.DirFS("../testdata/cases"), "testdata/cases")
	if err != nil {
		t.Fatal(err)
	}
	texts := make([]string, len(all))
	explainOne := func(i int) {
		c, out := all[i], &strings.Builder{}
		e := job.NewElement(c.Title)
		e.Answers = c.Given
		x, err := explain.Explain(b, &job.Job{Title: j.Title, Site: rules.Answers{}}, e)
		if err != nil {
			t.Errorf("%s: %v", c.Pos, err)
			return
		}
		fmt.Fprintf(out, "%s\n", c.Title)
		for _, id := range append([]string{""}, c.Expect.RuledOut...) {
			why, err := x.Why(id)
			if err != nil {
				t.Error(err)
				return
			}
			fmt.Fprintf(out, "  %s is %s", why.ID, why.Says)
			for _, l := range why.Chain {
				fmt.Fprintf(out, " by %s", l.Rule)
			}
			var enough []string
			for _, g := range why.Enough {
				enough = append(enough, g.Fact)
			}
			fmt.Fprintf(out, " for %v", enough)
			if why.Change != nil {
				fmt.Fprintf(out, ", opened by %v", why.Change.Facts)
			}
			fmt.Fprintln(out)
		}
		texts[i] = out.String()
	}
	var explaining sync.WaitGroup
	next := make(chan int)
	for range runtime.NumCPU() {
		explaining.Go(func() {
			for i := range next {
				explainOne(i)
			}
		})
	}
	for i := range all {
		next <- i
	}
	close(next)
	explaining.Wait()
	golden.Check(t, "published-cases.txt", strings.Join(texts, ""))
}

func TestAdviceKeepsItsSchema(t *testing.T) {
	schema, err := jsonschema.NewCompiler().Compile("../testdata/schema/advice.json")
	if err != nil {
		t.Fatal(err)
	}
	b, j := example(t)
	a, err := explain.Advise(b, j)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := a.JSON(&out); err != nil {
		t.Fatal(err)
	}
	value, err := jsonschema.UnmarshalJSON(&out)
	if err != nil {
		t.Fatal(err)
	}
	if err := schema.Validate(value); err != nil {
		t.Error(err)
	}
}
