package patches_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"gopkg.in/yaml.v3"

	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

const example = "../../testdata/jobs/gannet-ness.yaml"

func load(t testing.TB) *rules.Base {
	t.Helper()
	b, err := knowledge.Load("")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func figures(t testing.TB, b *rules.Base) *patches.Figures {
	t.Helper()
	f, err := patches.LoadFigures(b)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// indoors is the boathouse door hung inside, where an alkaline paste is favoured.
const indoors = "boathouse door, indoors"

// part decides a part of the example, with some answers changed.
func part(t testing.TB, b *rules.Base, name string, set ...string) (rules.Answers, *rules.Decision) {
	t.Helper()
	j, err := job.ReadFile(b, example, nil)
	if err != nil {
		t.Fatal(err)
	}
	if name == indoors {
		name, set = "boathouse door", append([]string{"place=inside", "airflow=good"}, set...)
	}
	e := j.Element(name)
	for _, s := range set {
		if err := j.Set(b, e, s); err != nil {
			t.Fatal(err)
		}
		if id, blank := strings.CutSuffix(s, "=?"); blank {
			delete(j.Site, id)
		}
	}
	answers := knowledge.WithFigures(b, j.Answers(e))
	d, contradiction, err := b.Decide(answers)
	if err != nil || contradiction != nil {
		t.Fatal(err, contradiction)
	}
	return answers, d
}

// node parses a log.
func node(t testing.TB, text string) *yaml.Node {
	t.Helper()
	var n yaml.Node
	if err := yaml.Unmarshal([]byte(text), &n); err != nil {
		t.Fatal(err)
	}
	if len(n.Content) == 0 {
		return nil
	}
	return n.Content[0]
}

// diary writes a log in the shorthand of these tests: one line an entry, its time in minutes from the start.
type diary struct {
	text  strings.Builder
	count int
}

var start = time.Date(2026, 6, 1, 8, 0, 0, 0, time.FixedZone("", 3600))

func (d *diary) add(kind string, minutes float64, fields string) *diary {
	d.count++
	at := start.Add(time.Duration(minutes * float64(time.Minute)))
	fmt.Fprintf(&d.text, "- {id: %d, kind: %s, at: %s, by: AK, %s}\n", d.count, kind, at.Format(time.RFC3339), fields)
	return d
}

func (d *diary) put(minutes float64, label, method string, more ...string) *diary {
	return d.add("patch", minutes, strings.Join(append([]string{"patch: " + label, "method: " + method}, more...), ", "))
}

func (d *diary) look(minutes float64, label string, left int, more ...string) *diary {
	return d.add("look", minutes, strings.Join(append([]string{"patch: " + label, fmt.Sprintf("layers_left: %d", left)}, more...), ", "))
}

func (d *diary) record(t testing.TB, b *rules.Base) *patches.Record {
	t.Helper()
	r, err := patches.ReadRecord(b, "log.yaml", node(t, d.text.String()))
	if err != nil {
		t.Fatalf("%v\n%s", err, d.text.String())
	}
	return r
}
