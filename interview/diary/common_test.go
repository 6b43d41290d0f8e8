package diary_test

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"gopkg.in/yaml.v3"

	"patchfirst/interview/diary"
	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

var base = sync.OnceValue(func() *rules.Base {
	b, err := knowledge.Load("")
	if err != nil {
		panic(err)
	}
	return b
})

// panelling is softwood inside; door is softwood outside; wall is soft brick outside.
const (
	panelling = "part: panelling, substrate: softwood, place: inside"
	door      = "part: door, substrate: softwood, place: outside, glass: none"
	wall      = "part: wall, substrate: soft_brick, place: outside, stone_fizzes: \"no\""
	plaster   = "part: wall, substrate: lime_plaster, place: inside"
	railing   = "part: railing, substrate: wrought_iron, place: outside"
)

// decided keeps the sites of parts, since deciding takes long.
var decided = map[string]diary.Site{}

// site decides a part of which no more is known than what is written, beside some answers that most parts share.
func site(t testing.TB, part string, now time.Time) diary.Site {
	t.Helper()
	if s, ok := decided[part]; ok {
		s.Now = now
		return s
	}
	b := base()
	text := `job: x
site: {jurisdiction: uk, built: 1911, use: public, protected: old, children: "no", occupied: empty, worker: trade, lockable: "yes", hours_free: 72, water_and_power: [tap, waste_outlet, power], drain: foul_sewer, wildlife: none_found}
elements:
  - {name: part, coatings: [oil_paint], layers: 9, finish_next: paint, lies: upright, access: floor, near: [], ` + part + "}\n"
	j, err := job.Parse(b, "job.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	figures, err := patches.LoadFigures(b)
	if err != nil {
		t.Fatal(err)
	}
	s := diary.Site{Base: b, Figures: figures, Answers: knowledge.WithFigures(b, j.Answers(j.Elements[0])), Now: now}
	d, contradiction, err := b.Decide(s.Answers)
	if err != nil || contradiction != nil {
		t.Fatalf("%v %v", err, contradiction)
	}
	s.Decision = d
	decided[part] = s
	return s
}

// start is the first moment of a test diary.
var start = time.Date(2026, 6, 1, 8, 0, 0, 0, time.FixedZone("", 3600))

func at(hours float64) time.Time { return start.Add(time.Duration(hours * float64(time.Hour))) }

// entries writes a log: each entry is the hour since the start, the kind, and the rest.
type entries struct {
	lines []string
}

func (e *entries) add(hour float64, kind, rest string) *entries {
	e.lines = append(e.lines, fmt.Sprintf("- {id: %d, kind: %s, at: %s, by: AK, %s}", len(e.lines)+1, kind, at(hour).Format(time.RFC3339), rest))
	return e
}

func (e *entries) log(t testing.TB) *yaml.Node {
	t.Helper()
	return node(t, strings.Join(e.lines, "\n"))
}

func node(t testing.TB, text string) *yaml.Node {
	t.Helper()
	var n yaml.Node
	if err := yaml.Unmarshal([]byte(text), &n); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	if len(n.Content) == 0 {
		return nil
	}
	return n.Content[0]
}

// report judges the diary at its last hour.
func (e *entries) report(t testing.TB, part string, hour float64) *diary.Report {
	t.Helper()
	log := e.log(t)
	d, err := diary.Read(base(), "log.yaml", log)
	if err != nil {
		t.Fatal(err)
	}
	return diary.Judge(d, log, site(t, part, at(hour)))
}

// action is the action of a kind on a batch; it fails the test if there is none.
func action(t testing.TB, r *diary.Report, do diary.Doing, batch string) diary.Action {
	t.Helper()
	a, ok := find(r, do, batch)
	if !ok {
		t.Fatalf("there is no %s of %q in %+v", do, batch, r.Actions)
	}
	return a
}

func find(r *diary.Report, do diary.Doing, batch string) (diary.Action, bool) {
	i := slices.IndexFunc(r.Actions, func(a diary.Action) bool {
		return a.Do == do && (batch == "" && a.Batch == nil || a.Batch != nil && a.Batch.Label == batch)
	})
	if i < 0 {
		return diary.Action{}, false
	}
	return r.Actions[i], true
}

func ids(findings []diary.Finding) []string {
	var all []string
	for _, f := range findings {
		all = append(all, f.ID)
	}
	return all
}

// waitsFor is the finding of an id among those that an action waits for; nil: none.
func waitsFor(a diary.Action, id string) *diary.Finding {
	for _, f := range a.Waits {
		if f.ID == id {
			return &f
		}
	}
	return nil
}

func kept(a diary.Action, id string) bool { return slices.Contains(ids(a.Kept), id) }

// off is a batch from which an alkaline paste was taken, at hour 30.
func off() *entries {
	return (&entries{}).add(0, "apply", "batch: '1', method: alkaline_covered, area: 2 m2, surface_temp: 12 C").
		add(30, "remove", "batch: '1', layers_left: 0, harm: none, took: 2 h")
}
