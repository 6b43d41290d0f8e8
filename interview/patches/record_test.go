package patches_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/rules"
)

func TestReadRecordRefuses(t *testing.T) {
	b := load(t)
	const put = "- {id: 1, kind: patch, at: 2026-06-01T08:00:00+01:00, by: AK, patch: A1, method: steam}\n"
	look := func(fields string) string {
		return put + "- {id: 2, kind: look, at: 2026-06-01T09:00:00+01:00, by: AK, patch: A1, " + fields + "}\n"
	}
	for _, test := range []struct{ name, log, wrong string }{
		{"nothing", "", ""},
		{"a look", look("layers_left: 3, lifts: with_work, harm: none, ph: 7.5, surface_temp: 54 F, passes: 2, off: true"), ""},
		{"no unit", look("surface_temp: 12"), `log.yaml:2:87: 12 of what? "surface_temp" has no unit that is known here`},
		{"unit of another reading", look("surface_temp: 12 mm"), "Write the unit: 12 C, or in F."},
		{"no number", look("surface_temp: cold"), "Write it such as 12 C."},
		{"too hot", look("surface_temp: 300 C"), "Read the surface beside the patch"},
		{"no such pH", look("ph: 15"), "runs from 0 to 14"},
		{"pH in words", look("ph: neutral"), `"neutral" is not a pH`},
		{"half a coat", look("layers_left: 2.5"), `"layers_left" cannot be 2.5`},
		{"fewer than none", look("layers_left: -1"), "0 is clean"},
		{"empty reading", look("layers_left: "), "Leave it out if it was not read."},
		{"lifts somehow", look("lifts: eazily"), `Did you mean "easily"?`},
		{"harm without words", look("harm: yes"), "what is the harm?"},
		{"empty harm", look("harm: ''"), "Write harm: none if it was looked for"},
		{"edges somehow", look("edges: damp"), `"damp" is not known for "edges"`},
		{"off in words", look("off: maybe"), "Write true or false."},
		{"no patch named", put + "- {id: 2, kind: look, at: 2026-06-01T09:00:00+01:00, by: AK, ph: 7}\n", `"patch" is missing`},
		{"unknown patch", strings.Replace(look("ph: 7"), "patch: A1, ph", "patch: A2, ph", 1), `no patch "A2" was put on` + "\n    Known: A1."},
		{"no patch at all", "- {id: 1, kind: look, at: 2026-06-01T09:00:00+01:00, by: AK, patch: A1, ph: 7}\n", "Record first that the patch was put on: kind: patch."},
		{"before it was put on", strings.Replace(look("ph: 7"), "T09", "T07", 1), "entry 2 looks at A1 before it was put on"},
		{"label twice", put + strings.Replace(put, "id: 1", "id: 2", 1), `there is already a patch "A1", put on in entry 1`},
		{"unknown method", strings.Replace(put, "steam", "steem", 1), `Did you mean "steam"?`},
		{"method that strips nothing", strings.Replace(put, "steam", "leave", 1), `"leave" is not known for "method"`},
		{"thickness without unit", strings.Replace(put, "steam", "steam, thickness: 3", 1), "Write the unit: 3 mm, or in cm or in."},
		{"unknown area", strings.Replace(put, "steam", "steam, area: wurst", 1), `Did you mean "worst"?`},
		{"wrong in a corrected entry", look("ph: 15") + "- {id: 3, kind: look, at: 2026-06-01T09:00:00+01:00, by: AK, patch: A1, ph: 7, corrects: 2, because: misread}\n", "runs from 0 to 14"},
	} {
		_, err := patches.ReadRecord(b, "log.yaml", node(t, test.log))
		switch {
		case test.wrong == "" && err != nil:
			t.Errorf("%s: %v", test.name, err)
		case test.wrong != "" && (err == nil || !strings.Contains(err.Error(), test.wrong)):
			t.Errorf("%s: %v\nwant %s", test.name, err, test.wrong)
		}
	}
}

func TestReadRecordUnits(t *testing.T) {
	b := load(t)
	d := &diary{}
	d.put(0, "A1", "alkaline_covered", "thickness: 0.5 in", "surface_temp: 50 °F", "area: worst", "where: left stile")
	d.look(60, "A1", 3, "surface_temp: 12.5C", "passes: 2", "harm: None", "off: true")
	p := d.record(t, b).Patch("A1")
	if math.Abs(p.Thickness-12.7) > 1e-9 || math.Abs(*p.Surface-10) > 1e-9 || p.Area != patches.Worst || p.Where != "left stile" {
		t.Errorf("%+v", p)
	}
	if l := p.Looks[0]; *l.Surface != 12.5 || l.Passes != 2 || l.Harm != patches.NoHarm || l.Harmed() || !l.Off || !l.NotClean() || l.Clean() {
		t.Errorf("%+v", l)
	}
}

func TestCorrectionStandsInPlace(t *testing.T) {
	d := &diary{}
	d.put(0, "A1", "steam").look(60, "A1", 3).add("look", 60, "patch: A1, layers_left: 0, corrects: 2, because: wrong patch read")
	r := d.record(t, load(t))
	if p := r.Patch("A1"); len(p.Looks) != 1 || !p.Looks[0].Clean() || len(r.Written) != 3 || len(r.Entries) != 2 {
		t.Errorf("%+v", r)
	}
}

func TestQuestions(t *testing.T) {
	b := load(t)
	_, door := part(t, b, indoors)
	site := patches.Site{Decision: door, Layers: 9, Now: start.AddDate(0, 1, 0), Figures: figures(t, b)}
	for _, test := range []struct {
		name string
		log  *diary
		ask  string // of the last entry; empty: nothing is asked
	}{
		{"nothing unlikely", (&diary{}).put(0, "A1", "steam").look(60, "A1", 3, "ph: 7", "surface_temp: 12 C"), ""},
		{"times run backwards", (&diary{}).put(0, "A1", "steam").look(60, "A1", 3).look(30, "A1", 4), "It is dated before entry 2, which was written first: times run backwards."},
		{"a correction may go back", (&diary{}).put(0, "A1", "steam").look(60, "A1", 3).look(90, "A1", 2).add("look", 30, "patch: A1, layers_left: 3, corrects: 2, because: wrong hour"), ""},
		{"still to come", (&diary{}).put(0, "A1", "steam").look(60*24*60, "A1", 3), "is still to come"},
		{"coats come back", (&diary{}).put(0, "A1", "steam").look(60, "A1", 3).look(90, "A1", 5), "Coats do not come back: which is right?"},
		{"more coats than there are", (&diary{}).put(0, "A1", "steam").look(60, "A1", 12), "It counts 12 coats left, and the part was told to have 9."},
		{"clean and not lifting", (&diary{}).put(0, "A1", "steam").look(60, "A1", 0, "lifts: not"), "Nothing is left on A1, and yet the coat does not lift."},
		{"nothing said", (&diary{}).put(0, "A1", "steam").add("look", 60, "patch: A1"), "It says nothing of what was seen on A1."},
		{"outside the paper", (&diary{}).put(0, "A1", "steam").look(60, "A1", 3, "ph: 12.5"), "pH 12.5 lies outside the usual paper"},
		{"outside the paper, control", (&diary{}).put(0, "A1", "steam").add("control", 60, "ph: 0.5"), "pH 0.5 lies outside the usual paper"},
		{"paste in the cold", (&diary{}).put(0, "A1", "alkaline_covered", "thickness: 3 mm", "surface_temp: 4 C"), "Below 5 °C a paste hardly works"},
		{"steam in the cold", (&diary{}).put(0, "A1", "steam", "surface_temp: 4 C"), ""},
		{"a correction that leaves out", (&diary{}).put(0, "A1", "steam").look(60, "A1", 3, "harm: none", "surface_temp: 12 C").look(60, "A1", 2, "corrects: 2", "because: miscounted"), "leaves out what that one told: harm: none, surface_temp: 12 C. Is that to go?"},
		{"a correction of another patch", (&diary{}).put(0, "A1", "steam").put(0, "A2", "steam").look(60, "A1", 3).look(60, "A2", 3, "corrects: 3", "because: wrong line"), `which is of patch "A1", and is itself of patch "A2"`},
		{"a correction that tells all", (&diary{}).put(0, "A1", "steam").look(60, "A1", 3, "harm: none").look(60, "A1", 2, "harm: none", "corrects: 2", "because: miscounted"), ""},
		{"fewer applications than before", (&diary{}).put(0, "A1", "steam").look(60, "A1", 3, "passes: 2").look(90, "A1", 2, "passes: 1"), "It counts applications up to 1, and an entry before it up to 2."},
		{"the edges are something", (&diary{}).put(0, "A1", "steam").add("look", 60, "patch: A1, edges: drying"), ""},
		{"the surface leaps", (&diary{}).put(0, "A1", "steam", "surface_temp: 12 C").look(60, "A1", 3, "surface_temp: 40 C"), "The surface went from 12 °C to 40 °C."},
		{"a method ruled out", (&diary{}).put(0, "A1", "hot_air"), "No patch of hot-air gun and scraper should be made here."},
		{"sure", (&diary{}).put(0, "A1", "steam").look(60, "A1", 12, "sure: true"), ""},
	} {
		var asked []string
		for _, q := range test.log.record(t, b).Questions(site) {
			if q.Entry == test.log.count {
				asked = append(asked, q.Ask)
			}
		}
		got := strings.Join(asked, " ")
		if test.ask == "" && got != "" || !strings.Contains(got, test.ask) {
			t.Errorf("%s: asked %q, want %q", test.name, got, test.ask)
		}
	}
}

// In the night when summer time ends the clock's face says one hour less than went by.
func TestClockChange(t *testing.T) {
	b := load(t)
	log := "- {id: 1, kind: patch, at: 2026-10-24T20:00:00+01:00, by: AK, patch: A1, method: alkaline_covered}\n" +
		"- {id: 2, kind: look, at: 2026-10-25T08:00:00+00:00, by: AK, patch: A1, layers_left: 2}\n"
	r, err := patches.ReadRecord(b, "log.yaml", node(t, log))
	if err != nil {
		t.Fatal(err)
	}
	asked := r.Questions(patches.Site{})
	if len(asked) != 1 || !strings.Contains(asked[0].Ask, "from +01:00 to +00:00") || !strings.Contains(asked[0].Ask, "Counted with the offsets it is 13 h, by the clock's face 12 h.") {
		t.Errorf("%v", asked)
	}
}

func TestAdd(t *testing.T) {
	b := load(t)
	_, door := part(t, b, indoors)
	site := patches.Site{Decision: door, Layers: 9, Now: start.AddDate(0, 1, 0)}
	e := &job.Element{Name: "door"}
	at := func(hours int) string { return start.Add(time.Duration(hours) * time.Hour).Format(time.RFC3339) }
	for _, test := range []struct {
		name  string
		draft job.Draft
		wrong string
	}{
		{"put on", job.Draft{"kind": "patch", "at": at(0), "by": "AK", "patch": "A1", "method": "steam", "note": "north: side #1, 50 % shade"}, ""},
		{"looked at", job.Draft{"kind": "look", "at": at(1), "by": "AK", "patch": "A1", "layers_left": "3"}, ""},
		{"no kind", job.Draft{"at": at(1), "by": "AK"}, "the new entry: \"kind\" is missing"},
		{"wrong", job.Draft{"kind": "look", "at": at(1), "by": "AK", "patch": "A1", "ph": "15"}, "the new entry: \"ph\" cannot be 15"},
		{"no text can break the log", job.Draft{"kind": "look", "at": at(2) + "\n- x", "by": "a: b", "patch": "A1", "ph": "7, kind: patch"}, "is not a pH"},
		{"doubtful", job.Draft{"kind": "look", "at": at(2), "by": "AK", "patch": "A1", "layers_left": "5"}, "Coats do not come back"},
		{"doubtful and sure", job.Draft{"kind": "look", "at": at(2), "by": "AK", "patch": "A1", "layers_left": "5", "sure": "true"}, ""},
		{"corrected", job.Draft{"kind": "look", "at": at(2), "by": "AK", "patch": "A1", "layers_left": "2", "corrects": "3", "because": "misread"}, ""},
	} {
		before := e.NextEntry()
		id, err := patches.Add(b, "job.yaml", e, test.draft, site)
		switch {
		case test.wrong == "" && (err != nil || id != before || e.NextEntry() != before+1):
			t.Errorf("%s: entry %d, %v", test.name, id, err)
		case test.wrong != "" && (err == nil || !strings.Contains(err.Error(), test.wrong) || e.NextEntry() != before):
			t.Errorf("%s: %v, want %q", test.name, err, test.wrong)
		}
		var doubt *job.DoubtError
		if test.name == "doubtful" && !errors.As(err, &doubt) {
			t.Errorf("%s: %T", test.name, err)
		}
	}
	// What was written is read back.
	j := &job.Job{Title: "x", Site: rules.Answers{}, Elements: []*job.Element{e}}
	text, err := j.Marshal(b)
	if err != nil {
		t.Fatal(err)
	}
	again, err := job.Parse(b, "job.yaml", text)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	r, err := patches.ReadRecord(b, "job.yaml", again.Elements[0].Log)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	if p := r.Patch("A1"); len(r.Written) != 4 || *p.Looks[1].LayersLeft != 2 || p.Put.Note != "north: side #1, 50 % shade" {
		t.Errorf("%s", text)
	}
	if !strings.Contains(string(text), "at: 2026-06-01T08:00:00+01:00\n") {
		t.Errorf("the time is not written plainly:\n%s", text)
	}
}

func TestCheckField(t *testing.T) {
	for _, test := range []struct{ key, text, wrong string }{
		{"layers_left", "3", ""}, {"surface_temp", "12 C", ""}, {"harm", "none", ""}, {"by", "anyone", ""},
		{"layers_left", "three", "Write it such as 3."}, {"surface_temp", "12", "12 of what?"}, {"ph", "20", "cannot be 20"}, {"harm", "yes", "what is the harm?"},
	} {
		err := patches.CheckField(test.key, test.text)
		if test.wrong == "" && err != nil || test.wrong != "" && (err == nil || !strings.Contains(err.Error(), test.wrong)) {
			t.Errorf("%s %q: %v", test.key, test.text, err)
		}
	}
}
