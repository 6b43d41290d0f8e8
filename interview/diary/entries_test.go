package diary_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"patchfirst/interview/diary"
	"patchfirst/interview/job"
)

const put = "- {id: 1, kind: apply, at: 2026-06-01T08:00:00+01:00, by: AK, batch: '1', method: alkaline_covered, area: 2 m2}\n"

func TestReadRefuses(t *testing.T) {
	second := func(kind, rest string) string {
		return put + "- {id: 2, kind: " + kind + ", at: 2026-06-02T08:00:00+01:00, by: AK, " + rest + "}\n"
	}
	for _, test := range []struct{ name, log, wrong string }{
		{"nothing", "[]", ""},
		{"a batch", put, ""},
		{"batch twice", put + strings.Replace(put, "id: 1", "id: 2", 1), `there is already a batch "1", put on in entry 1`},
		{"no batch", strings.Replace(put, "batch: '1', ", "", 1), `"batch" is missing`},
		{"unknown method", strings.Replace(put, "alkaline_covered", "alkaline_coverd", 1), `Did you mean "alkaline_covered"`},
		{"area without unit", strings.Replace(put, "2 m2", "2", 1), "Write the unit: 2 m2"},
		{"area in feet", strings.Replace(put, "2 m2", "20 sq ft", 1), ""},
		{"area of nothing", strings.Replace(put, "2 m2", "0 m2", 1), `"area" cannot be 0 m2`},

		{"all of the weather", second("weather", "air_temp: 14 C, surface_temp: 54 F, humidity: 70 %, rain: coming, rain_at: 2026-06-02T12:00:00+01:00, forecast_low: -2 C"), ""},
		{"temperature without unit", second("weather", "air_temp: 14"), "14 of what?"},
		{"hotter than any thermometer here", second("weather", "air_temp: 200 C"), `"air_temp" cannot be 200 C`},
		{"damper than can be", second("weather", "humidity: 101 %"), "Hygrometers read from 1 to 100 %."},
		{"humidity without unit", second("weather", "humidity: 70"), "70 of what?"},
		{"rain some day", second("weather", "rain: coming"), "it is not said when"},
		{"dry at noon", second("weather", "rain: none, rain_at: 2026-06-02T12:00:00+01:00"), "a time for rain that is not coming"},
		{"rain at a time without offset", second("weather", "rain: coming, rain_at: 2026-06-02T12:00:00"), "Add the offset of the clock"},

		{"look at a batch that does not exist", second("check", "batch: '7', harm: none"), `no batch "7" was put on` + "\n    Known: 1."},
		{"look before it was put on", strings.Replace(second("check", "batch: '1', harm: none"), "06-02T", "05-02T", 1), "entry 2 is of batch 1 before it was put on"},
		{"look at nothing", "- {id: 1, kind: check, at: 2026-06-02T08:00:00+01:00, by: AK, harm: none}\n", "no batch was put on yet"},
		{"look at the only batch", second("check", "harm: none"), ""},
		{"look at which of two", put + strings.Replace(strings.Replace(put, "'1'", "'2'", 1), "id: 1", "id: 2", 1) + "- {id: 3, kind: check, at: 2026-06-02T08:00:00+01:00, by: AK, harm: none}\n", "there are 2 batches: which one is meant?"},
		{"half a coat", second("check", "batch: '1', layers_left: 2.5"), `"layers_left" cannot be 2.5`},
		{"edges somehow", second("check", "batch: '1', edges: dryish"), `"dryish" is not known for "edges"`},
		{"harm without words", second("check", "batch: '1', harm: yes"), "what is the harm?"},
		{"took without unit", second("remove", "batch: '1', took: 2"), "Write the unit: 2 h"},
		{"no rinse at all", second("rinse", "batch: '1', rinses: 0"), `"rinses" cannot be 0`},
		{"acid of some kind", second("neutralise", "batch: '1', with: vinegar"), "Known: acetic_acid, citric_acid, other."},

		{"pH by paper", second("ph", "batch: '1', spot: surface, ph: 8.5, strip: 0.5"), ""},
		{"pH by what", second("ph", "batch: '1', spot: surface, ph: 8.5"), "pH 8.5 read with what?"},
		{"pH by both", second("ph", "batch: '1', spot: surface, ph: 8.5, strip: 0.5, meter: true"), "with a strip and with a meter"},
		{"pH outside its scale", second("ph", "batch: '1', spot: surface, ph: 15, meter: true"), "runs from 0 to 14"},
		{"pH of something", second("ph", "spot: wall, ph: 8, meter: true"), `"wall" is not known for "spot"`},
		{"dry water", second("ph", "spot: rinse_water, ph: 8, meter: true, dry: true"), "rinse water is not read dry"},
		{"no pH", second("ph", "spot: control, meter: true"), `"ph" is missing`},

		{"moisture without unit", second("moisture", "batch: '1', moisture: 14"), "14 of what?"},
		{"moisture by both", second("moisture", "batch: '1', moisture: 14 %, sheet: dry, sheet_hours: 24 h"), "one of the two"},
		{"moisture by neither", second("moisture", "batch: '1', where: foot"), "one of the two"},
		{"sheet for how long", second("moisture", "batch: '1', sheet: dry"), "how long the sheet was on"},
		{"waste of what", second("waste", "bags: 2"), `"stream" is missing`},
		{"incident", second("incident", "what: cover blown off, done: covered again"), ""},
		{"what incident", second("incident", "done: covered again"), `"what" is missing`},
		{"crew", second("crew", "who: AK and BO"), ""},

		{"hold met", second("met", "hold: lead_area_sealed"), ""},
		{"hold misspelt", second("met", "hold: lead_area_seald"), `Did you mean "lead_area_sealed"`},
		{"measured hold met by word", second("met", "hold: moisture_proved"), "passed by readings, not by word"},
		{"patches by word", second("met", "hold: patch_passed"), "passed by readings, not by word"},
		{"primed twice", second("prime", "batch: '1'") + "- {id: 3, kind: prime, at: 2026-06-03T08:00:00+01:00, by: AK, batch: '1'}\n", "was primed before, in entry 2"},

		{"a key of another kind", second("rinse", "batch: '1', ph: 7"), `has no key "ph"`},
		{"wrong in a corrected entry", second("check", "batch: '1', layers_left: 1.5") + "- {id: 3, kind: check, at: 2026-06-02T08:00:00+01:00, by: AK, batch: '1', layers_left: 1, corrects: 2, because: miscounted}\n", `"layers_left" cannot be 1.5`},
		{"a mistake of the patches", put + "- {id: 2, kind: look, at: 2026-06-02T08:00:00+01:00, by: AK, patch: A1, harm: none}\n", `no patch "A1" was put on`},
	} {
		_, err := diary.Read(base(), "log.yaml", node(t, test.log))
		switch {
		case test.wrong == "" && err != nil:
			t.Errorf("%s: %v", test.name, err)
		case test.wrong != "" && (err == nil || !strings.Contains(err.Error(), test.wrong)):
			t.Errorf("%s: %v\nwant %s", test.name, err, test.wrong)
		}
	}
}

// What is possible and yet unlikely is asked about.
func TestQuestions(t *testing.T) {
	shift := func(e *entries, hour float64, kind, rest, offset string) *entries {
		e.add(hour, kind, rest)
		last := len(e.lines) - 1
		e.lines[last] = strings.Replace(e.lines[last], "+01:00", offset, 1)
		return e
	}
	b := func() *entries {
		return (&entries{}).add(0, "apply", "batch: '1', method: alkaline_covered, area: 2 m2, surface_temp: 12 C, sure: true")
	}
	for _, test := range []struct {
		name, asks string
		e          *entries
	}{
		{"to come", "which is still to come", b().add(500, "weather", "air_temp: 14 C")},
		{"backwards", "times run backwards", b().add(5, "weather", "air_temp: 14 C").add(4, "weather", "air_temp: 13 C")},
		{"air and surface far apart", "Was the sun on it", b().add(1, "weather", "air_temp: 14 C, surface_temp: 31 C")},
		{"no weather in it", "It says nothing of the weather", b().add(1, "weather", "note: fine")},
		{"nothing seen", "It says nothing of what was seen on batch 1", b().add(1, "check", "batch: '1', surface_temp: 12 C")},
		{"more coats than there are", "the part was told to have 9", b().add(1, "check", "batch: '1', layers_left: 12")},
		{"coats come back", "Coats do not come back", b().add(1, "check", "batch: '1', layers_left: 3").add(2, "check", "batch: '1', layers_left: 4")},
		{"clean and stuck", "yet the coat does not lift", b().add(1, "check", "batch: '1', layers_left: 0, lifts: not")},
		{"a jump of the surface", "The surface went from 12 °C to 30 °C", b().add(1, "check", "batch: '1', harm: none, surface_temp: 30 C")},
		{"the clocks were changed", "The clock's offset changed from +01:00 to +00:00", shift(b(), 20, "check", "batch: '1', harm: none", "+00:00")},
		{"off before it was on", "was put on less long ago", b().add(30, "remove", "batch: '1', took: 40 h")},
		{"more off than on", "Which is right?", b().add(30, "remove", "batch: '1', area: 3 m2")},
		{"outside the paper", "lies outside the usual paper", b().add(31, "ph", "batch: '1', spot: surface, ph: 13, strip: 0.5")},
		{"by meter", "", b().add(31, "ph", "batch: '1', spot: surface, ph: 13, meter: true")},
		{"outside the wood meter", "lies outside what meters for wood read", b().add(31, "moisture", "batch: '1', moisture: 45 %, depth: deep")},
		{"another batch corrected", "Is it the right entry?", b().add(1, "apply", "batch: '2', method: alkaline_covered, sure: true").add(2, "check", "batch: '1', harm: none").add(3, "check", "batch: '2', harm: none, corrects: 3, because: mixed up")},
		{"lifted too early", "it still lacks 10 h", working("12 C").add(180, "remove", "batch: '1', layers_left: 3")},
		{"lifted early and clean", "", working("12 C").add(180, "remove", "batch: '1', layers_left: 0")},
		{"left too long", "worked for 49 h, at a surface of 12 °C; C2 lay for 48 h", working("12 C").add(209, "remove", "batch: '1', layers_left: 0")},
		{"begun too soon", "Not yet: no patch of it was made.", (&entries{}).add(0, "apply", "batch: '1', method: alkaline_covered")},
		{"primed too soon", "Not yet: no moisture was read in depth", b().add(31, "remove", "batch: '1', layers_left: 0, sure: true").add(40, "prime", "batch: '1'")},
		{"primed too soon, and said so", "", b().add(31, "remove", "batch: '1', layers_left: 0, sure: true").add(40, "prime", "batch: '1', sure: true")},
	} {
		r := test.e.report(t, panelling, 300)
		var last []string
		for _, q := range r.Questions {
			if q.Entry == len(test.e.lines) {
				last = append(last, q.Ask)
			}
		}
		switch asked := strings.Join(last, "\n"); {
		case test.asks == "" && asked != "":
			t.Errorf("%s: asked %s", test.name, asked)
		case !strings.Contains(asked, test.asks):
			t.Errorf("%s: asked %q, want %q", test.name, asked, test.asks)
		}
	}
}

// What was primed although it should have waited is shown for ever, with what it waited for.
func TestPassedHoldsStay(t *testing.T) {
	e := off().add(40, "prime", "batch: '1', sure: true")
	r := e.report(t, panelling, 400)
	if len(r.Passed) != 2 || r.Passed[1].Entry.ID != 3 || len(r.Passed[1].Waits) < 5 {
		t.Fatalf("%+v", r.Passed)
	}
	for _, f := range r.Passed[1].Waits {
		if f.Reading == "" || len(f.Sources) == 0 {
			t.Errorf("%s is said without its reading or source: %+v", f.ID, f)
		}
	}
}

// A diary as of a time knows nothing of later.
func TestAsOf(t *testing.T) {
	e := off().add(31, "rinse", "batch: '1'").add(50, "check", "batch: '1', harm: none")
	for hour, want := range map[float64]int{-1: 0, 0: 1, 30: 2, 31: 3, 49: 3, 60: 4} {
		if got := len(diary.AsOf(e.log(t), at(hour), 0).Content); got != want {
			t.Errorf("at hour %g: %d entries, want %d", hour, got, want)
		}
	}
	if got := len(diary.AsOf(e.log(t), at(60), 3).Content); got != 2 {
		t.Errorf("before entry 3: %d entries", got)
	}
}

// Keep adds an entry to the file, asks about what should have waited, and leaves the file alone where it refuses.
func TestKeep(t *testing.T) {
	path := filepath.Join(t.TempDir(), "job.yaml")
	if err := os.WriteFile(path, []byte("job: x\nsite: {}\nelements:\n- name: door\n  part: door\n  substrate: softwood\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	now := at(0)
	kept, err := diary.Keep(base(), path, "", job.Draft{"kind": "weather", "air_temp": "14 C", "by": "AK"}, now)
	if err != nil || kept.ID != 1 || !kept.At.Equal(now) {
		t.Fatalf("%+v %v", kept, err)
	}
	// A correction stands at the time of what it corrects.
	if kept, err = diary.Keep(base(), path, "", job.Draft{"kind": "weather", "air_temp": "15 C", "by": "AK", "corrects": "1", "because": "misread"}, now.Add(30*time.Minute)); err != nil || !kept.At.Equal(now) {
		t.Fatalf("%+v %v", kept, err)
	}
	before, _ := os.ReadFile(path)
	apply := job.Draft{"kind": "apply", "batch": "1", "method": "alkaline_covered", "by": "AK"}
	var doubt *job.DoubtError
	if _, err := diary.Keep(base(), path, "door", apply, now.Add(time.Hour)); !errors.As(err, &doubt) || !strings.Contains(err.Error(), "Not yet") {
		t.Errorf("%v", err)
	}
	if _, err := diary.Keep(base(), path, "gate", apply, now); err == nil {
		t.Error("an entry of a part that is not there was kept")
	}
	if after, _ := os.ReadFile(path); string(after) != string(before) {
		t.Error("what was refused changed the file")
	}
	apply.Mark("sure", true)
	if _, err := diary.Keep(base(), path, "door", apply, now.Add(time.Hour)); err != nil {
		t.Error(err)
	}
	if after, _ := os.ReadFile(path); !strings.HasPrefix(string(after), string(before)) {
		t.Errorf("what was there has changed:\n%s", after)
	}
}

func TestBatchWords(t *testing.T) {
	for b, want := range map[*diary.Batch]string{{Label: "2"}: "batch 2", {Label: "K", Confirms: true}: "confirming patch K"} {
		if fmt.Sprint(b) != want {
			t.Errorf("%v, want %s", b, want)
		}
	}
}
