package diary_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"patchfirst/interview/diary"
	"patchfirst/rules"
)

// patched is a log with two patches: not yet clean at 24 h, clean at 30 h, and one left on until 48 h; all at 12 °C and
// without harm, wet and dry.
func patched() *entries {
	e := &entries{}
	for i, until := range []float64{30, 48} {
		label := fmt.Sprintf("patch: C%d", i+1)
		e.add(0, "patch", label+", method: alkaline_covered, thickness: 3 mm, area: worst, surface_temp: 12 C")
		e.add(24, "look", label+", layers_left: 3, lifts: with_work, harm: none, surface_temp: 12 C")
		e.add(30, "look", label+", layers_left: 0, harm: none, surface_temp: 12 C, off: "+fmt.Sprint(until == 30))
		if until > 30 {
			e.add(until, "look", label+", layers_left: 0, harm: none, surface_temp: 12 C, off: true")
		}
		e.add(80, "look", label+", harm: none")
	}
	for _, hold := range []string{"layers_seen_by_someone_who_knows", "all_coats_seen", "lead_area_sealed", "rinse_water_ready", "covers_out_of_reach"} {
		e.add(81, "met", "hold: "+hold)
	}
	return e
}

// weather is as at the patches.
func (e *entries) weather(hour float64, surface string) *entries {
	return e.add(hour, "weather", "air_temp: 14 C, surface_temp: "+surface+", humidity: 60 %, rain: none, forecast_low: 8 C")
}

// confirmed adds a confirming patch of 0.5 m² that came off in half an hour and was looked at 25 h later.
func (e *entries) confirmed(rest string) *entries {
	return e.weather(99, "12 C").add(100, "apply", "batch: K, confirm: true, method: alkaline_covered, area: 0.5 m2, thickness: 3 mm, surface_temp: 12 C").
		add(130, "check", "batch: K, layers_left: 0, harm: none, surface_temp: 12 C").
		add(130.5, "remove", "batch: K, area: 0.5 m2, took: 30 min, layers_left: 0").
		add(155.5, "check", "batch: K, "+rest)
}

// strike takes the last entry back.
func (e *entries) strike(hour float64) *entries {
	return e.add(hour, "strike", fmt.Sprintf("corrects: %d, because: wrong door", len(e.lines)))
}

// From the patches to the first batch: each gate is said with what it waits for.
func TestTheWayToTheFirstBatch(t *testing.T) {
	for _, test := range []struct {
		name  string
		e     *entries
		hour  float64
		do    diary.Doing
		waits []string
	}{
		{"nothing yet", &entries{}, 0, diary.ToPatch, []string{"layers_seen_by_someone_who_knows", "all_coats_seen", "lead_area_sealed"}},
		{"patched, no weather", patched(), 82, diary.ToConfirm, []string{"paste_weather_fresh", "paste_air_not_cold", "paste_surface_not_cold", "paste_surface_not_hot", "not_much_colder_than_the_patch"}},
		{"patched", patched().weather(82, "12 C"), 83, diary.ToConfirm, nil},
		{"no confirming patch", patched().weather(82, "12 C"), 83, diary.ToApply, []string{"confirming_patch_judged_dry"}},
		{"too cold for paste", patched().weather(82, "4 C"), 83, diary.ToConfirm, []string{"paste_surface_not_cold", "not_much_colder_than_the_patch"}},
		{"somewhat colder than the patch", patched().weather(82, "7 C"), 83, diary.ToConfirm, nil},
		{"much colder than the patch", patched().weather(82, "6.9 C"), 83, diary.ToConfirm, []string{"not_much_colder_than_the_patch"}},
		{"confirmed", patched().confirmed("harm: none").weather(156, "12 C"), 157, diary.ToApply, nil},
		{"confirmed, not dry for a day", patched().confirmed("harm: none").strike(156).weather(156, "12 C"), 157, diary.ToApply, []string{"confirming_patch_judged_dry"}},
		{"harm on it", patched().confirmed("harm: grain raised").weather(156, "12 C"), 157, diary.ToApply, []string{"confirming_patch_judged_dry"}},
		{"yesterday's weather", patched().confirmed("harm: none").weather(130, "12 C"), 157, diary.ToApply, []string{"paste_weather_fresh"}},
	} {
		a := action(t, test.e.report(t, panelling, test.hour), test.do, "")
		if got := ids(a.Waits); !slices.Equal(got, test.waits) {
			t.Errorf("%s: waits for %v, want %v", test.name, got, test.waits)
		}
	}
}

// What is left to a specialist is never begun, whatever is ticked and read.
func TestTheLastResortWaitsForTheSpecialist(t *testing.T) {
	const boards = "part: wall, substrate: plasterboard, place: inside, part_age: later, put_in: from_1970"
	e := (&entries{}).weather(0, "12 C").add(0.1, "met", "hold: asbestos_cleared")
	s := site(t, strings.Replace(boards, "from_1970", "from_1970, asbestos_test: positive", 1), at(1))
	log := e.log(t)
	d, err := diary.Read(base(), "log.yaml", log)
	if err != nil {
		t.Fatal(err)
	}
	r := diary.Judge(d, log, s)
	if r.Method == nil || !r.Method.LastResort {
		t.Fatalf("the method is %v", r.Method)
	}
	a := action(t, r, diary.ToApply, "")
	calls := slices.ContainsFunc(a.Waits, func(f diary.Finding) bool {
		return strings.Contains(f.Say, "asbestos") && strings.Contains(f.Say, "Until then: ")
	})
	if a.May(at(1)) || !calls {
		t.Errorf("%+v", a)
	}
}

// Dwell and taking off have to end while the place is closed: 72 h here. By hand: 30 h and 1 h for each m².
func TestOffBeforeThePlaceOpens(t *testing.T) {
	for hours, waits := range map[float64]bool{41.9: true, 42: false} {
		e := patched().confirmed("harm: none").weather(156, "12 C").add(157, "apply", "batch: '1', method: alkaline_covered, area: 12 m2, thickness: 3 mm, surface_temp: 12 C")
		log := e.log(t)
		d, err := diary.Read(base(), "log.yaml", log)
		if err != nil {
			t.Fatal(err)
		}
		s := site(t, panelling, at(157))
		s.Answers = s.Answers.With("hours_free", rules.Answer{Lo: hours, Hi: hours})
		r := diary.Judge(d, log, s)
		if (len(r.Passed) > 0) != waits || waits && !slices.Contains(ids(r.Passed[0].Waits), "off_before_the_place_opens") {
			t.Errorf("closed for %g h: %+v", hours, r.Passed)
		}
	}
}

// A method that the rules refuse waits for ever, whatever patches show.
func TestARefusalStandsBeforeEverything(t *testing.T) {
	e := patched().weather(82, "12 C").add(83, "apply", "batch: '1', method: hot_air, area: 1 m2")
	r := e.report(t, panelling, 84)
	if len(r.Passed) != 1 || !strings.Contains(r.Passed[0].Waits[0].Reading, "ruled out") || len(r.Passed[0].Waits[0].Sources) == 0 {
		t.Errorf("%+v", r.Passed)
	}
}

// The batch: what can be taken off between the time at which it is clean and the longest that lay harmless. By hand: 1 m²
// an hour, 48 - 30 = 18 h at 12 °C, half of that at 22 °C.
func TestBatchInTime(t *testing.T) {
	for _, test := range []struct {
		surface, area string
		waits         bool
	}{
		{"12 C", "18 m2", false}, {"12 C", "18.1 m2", true}, {"22 C", "9 m2", false}, {"22 C", "9.2 m2", true},
	} {
		e := patched().confirmed("harm: none").weather(156, test.surface)
		n := len(e.lines)
		e.add(157, "apply", "batch: '1', method: alkaline_covered, thickness: 3 mm, area: "+test.area+", surface_temp: "+test.surface)
		r := e.report(t, panelling, 157)
		asked := ""
		for _, q := range r.Questions {
			if q.Entry == n+1 {
				asked += q.Ask
			}
		}
		if strings.Contains(asked, "are known to be harmless; needed: all of it off within that time") != test.waits || (len(r.Passed) > 0) != test.waits {
			t.Errorf("%s at %s: %q, %v", test.area, test.surface, asked, r.Passed)
		}
	}
	// Where no patch lay longer than it needs, or none was timed, nobody knows.
	for name, e := range map[string]*entries{
		"no longest": (&entries{patched().lines[:4]}).confirmed("harm: none").strike(156).weather(156, "12 C"),
		"not timed":  {slices.DeleteFunc(patched().confirmed("harm: none").weather(156, "12 C").lines, func(l string) bool { return strings.Contains(l, "took") })},
	} {
		f := waitsFor(action(t, e.report(t, panelling, 157), diary.ToApply, ""), "batch_in_time")
		if want := map[string]string{"no longest": "leave one on longer", "not timed": "time the confirming patch"}[name]; f == nil || !strings.Contains(f.Reading, want) {
			t.Errorf("%s: %+v, want %q", name, f, want)
		}
	}
}
