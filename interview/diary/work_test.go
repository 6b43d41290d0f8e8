package diary_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

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
		if strings.Contains(asked, "are known to be harmless; needed: none") != test.waits || (len(r.Passed) > 0) != test.waits {
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

// working is a batch put on at hour 160 at 12 °C.
func working(surface string) *entries {
	return patched().confirmed("harm: none").weather(159, surface).add(160, "apply", "batch: '1', method: alkaline_covered, thickness: 3 mm, area: 3 m2, surface_temp: "+surface)
}

// When to look and when to take off, at the temperature of the patches and 10 °C warmer, where all takes half as long.
func TestTimesOfABatch(t *testing.T) {
	for surface, k := range map[string]float64{"12 C": 1, "22 C": 0.5} {
		r := working(surface).report(t, panelling, 161)
		look, off := action(t, r, diary.ToLook, "1"), action(t, r, diary.ToRemove, "1")
		for name, got := range map[string][2]time.Time{"look": {look.From, at(160 + 24*k)}, "take off": {off.From, at(160 + 30*k)}, "latest": {off.By, at(160 + 48*k)}} {
			if d := got[0].Sub(got[1]).Abs(); d > 2*time.Minute {
				t.Errorf("%s: %s at %s, want %s", surface, name, got[0], got[1])
			}
		}
		if f := waitsFor(off, "not_lifted_too_early"); f == nil || look.May(at(161)) || off.May(at(161)) {
			t.Errorf("%s: %+v", surface, off)
		}
	}
}

func TestABatchUnderItsCover(t *testing.T) {
	for _, test := range []struct {
		name string
		e    *entries
		hour float64
		do   diary.Doing
		may  bool
		late []string
	}{
		{"not due", working("12 C"), 170, diary.ToLook, false, nil},
		{"due", working("12 C"), 184, diary.ToLook, true, nil},
		{"overdue", working("12 C"), 186, diary.ToLook, true, []string{"looked_in_time"}},
		{"edges dry", working("12 C").add(165, "check", "batch: '1', edges: drying"), 166, diary.ToLook, true, []string{"edges_stay_wet"}},
		{"edges wet again", working("12 C").add(165, "check", "batch: '1', edges: drying").add(166, "check", "batch: '1', edges: wet"), 167, diary.ToLook, false, nil},
		{"clean early", working("12 C").add(180, "check", "batch: '1', layers_left: 0, harm: none, surface_temp: 12 C"), 180, diary.ToRemove, true, nil},
		{"long enough", working("12 C"), 190.1, diary.ToRemove, true, nil},
		{"longer than any patch", working("12 C"), 209, diary.ToRemove, true, []string{"within_the_patch"}},
		{"harm", working("12 C").add(165, "check", "batch: '1', harm: grain raised"), 166, diary.ToRemove, true, []string{"harm"}},
	} {
		a := action(t, test.e.report(t, panelling, test.hour), test.do, "1")
		if a.May(at(test.hour)) != test.may || !slices.Equal(ids(a.Late), test.late) {
			t.Errorf("%s: may %v, overdue %v, want %v, %v\n%+v", test.name, a.May(at(test.hour)), ids(a.Late), test.may, test.late, a)
		}
	}
}

// Rain and frost that come while paste is on, or while masonry is wet, cannot wait; under a roof rain does not matter.
func TestRainAndFrostComing(t *testing.T) {
	rain := at(165).Format(time.RFC3339)
	for _, test := range []struct {
		name, part, weather string
		late                []string
	}{
		{"inside", panelling, "rain: coming, rain_at: " + rain + ", forecast_low: -2 C", nil},
		{"outside", door, "rain: coming, rain_at: " + rain + ", forecast_low: -2 C", []string{"no_rain_while_paste_is_on", "no_frost_while_paste_is_on"}},
		{"far off", door, "rain: coming, rain_at: " + at(180).Format(time.RFC3339) + ", forecast_low: 3 C", nil},
		{"falling", door, "rain: falling", []string{"no_rain_while_paste_is_on"}},
		{"under a roof", door + `, rain: "no"`, "rain: falling", nil},
	} {
		e := working("12 C").add(161, "weather", test.weather)
		if got := ids(action(t, e.report(t, test.part, 162), diary.ToLook, "1").Late); !slices.Equal(got, test.late) {
			t.Errorf("%s: overdue %v, want %v", test.name, got, test.late)
		}
	}
	e := off().add(31, "rinse", "batch: '1', rinses: 5, water: 20 L").add(31.1, "ph", "spot: rinse_water, ph: 7, strip: 0.5").add(31.2, "ph", "batch: '1', spot: surface, ph: 7.5, strip: 0.5").
		add(40, "weather", "forecast_low: 4 C, rain: none")
	r := e.report(t, strings.Replace(wall, "soft_brick", "limestone", 1), 41)
	if got := ids(action(t, r, diary.ToDry, "1").Late); !slices.Equal(got, []string{"no_frost_while_masonry_dries"}) {
		t.Errorf("wet masonry: %v", got)
	}
}

// Bare outdoor wood is primed within two weeks (Wood Handbook 2010), iron on the same day.
func TestBareSurfacesDoNotWait(t *testing.T) {
	for _, test := range []struct {
		part string
		days float64
		id   string
		late bool
	}{
		{door, 13, "wood_not_left_bare", false}, {door, 15, "wood_not_left_bare", true}, {panelling, 30, "wood_not_left_bare", false},
		{railing, 0.5, "iron_primed_the_same_day", false}, {railing, 1.5, "iron_primed_the_same_day", true},
	} {
		a := action(t, off().report(t, test.part, 30+24*test.days), diary.ToPrime, "1")
		if (waitsFor(a, test.id) != nil) != test.late {
			t.Errorf("%s after %g days: %v", test.part, test.days, ids(a.Waits))
		}
	}
}

// A batch of which only a part came off is still on; a removal without an area is of all that was left.
func TestABatchComesOffInParts(t *testing.T) {
	remove := func(e *entries, hour float64, rest string) *entries {
		return e.add(hour, "remove", "batch: '1', "+rest)
	}
	for _, test := range []struct {
		name string
		e    *entries
		off  bool
	}{
		{"a third", remove(working("12 C"), 191, "area: 1 m2"), false},
		{"all in two", remove(remove(working("12 C"), 191, "area: 1 m2"), 193, "area: 2 m2"), true},
		{"a third and the rest", remove(remove(working("12 C"), 191, "area: 1 m2"), 193, "layers_left: 0"), true},
		{"all", remove(working("12 C"), 191, "layers_left: 0"), true},
	} {
		r := test.e.report(t, panelling, 194)
		_, still := find(r, diary.ToRemove, "1")
		_, prime := find(r, diary.ToPrime, "1")
		if still == test.off || prime != test.off {
			t.Errorf("%s: still on is %v, to prime is %v", test.name, still, prime)
		}
	}
	e := remove(working("12 C"), 191, "area: 1 m2").add(192, "prime", "batch: '1', sure: true")
	if r := e.report(t, panelling, 193); !slices.Contains(ids(r.Passed[len(r.Passed)-1].Waits), "off_before_primer") {
		t.Errorf("it was primed while paste was on: %v", r.Passed)
	}
}

// What is entered without a batch is of those that are off by then and not primed.
func TestWithoutABatchThoseThatAreOffAreMeant(t *testing.T) {
	e := off().add(31, "apply", "batch: '2', method: alkaline_covered, sure: true").add(32, "prime", "batch: '1', sure: true").
		add(60, "remove", "batch: '2'").add(61, "apply", "batch: '3', method: alkaline_covered, sure: true").add(62, "rinse", "water: 2 L")
	r := e.report(t, panelling, 63)
	for label, rinsed := range map[string]int{"1": 0, "2": 1, "3": 0} {
		if got := len(r.Diary.Batch(label).Rinses); got != rinsed {
			t.Errorf("batch %s has %d rinses, want %d", label, got, rinsed)
		}
	}
}

// A batch that is thinner than what came clean, or of which the thickness or the size is not told, waits.
func TestThicknessAndSizeOfABatch(t *testing.T) {
	for rest, want := range map[string][]string{
		"thickness: 3 mm, area: 2 m2": nil,
		"thickness: 4 mm, area: 2 m2": nil,
		"thickness: 2 mm, area: 2 m2": {"as_thick_as_the_patch"},
		"area: 2 m2":                  {"as_thick_as_the_patch"},
		"thickness: 3 mm":             {"batch_in_time"},
	} {
		e := patched().confirmed("harm: none").weather(156, "12 C").add(157, "apply", "batch: '1', method: alkaline_covered, "+rest)
		var got []string
		for _, p := range e.report(t, panelling, 157).Passed {
			got = append(got, ids(p.Waits)...)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: waits for %v, want %v", rest, got, want)
		}
	}
}

// Work without paste has no looks under a cover; it is ended by hand.
func TestWorkWithoutPaste(t *testing.T) {
	r := (&entries{}).add(0, "apply", "batch: '1', method: wet_scrape, area: 2 m2, sure: true").report(t, panelling, 5)
	if _, look := find(r, diary.ToLook, "1"); look {
		t.Error("scraping has a look under its cover")
	}
	if a := action(t, r, diary.ToRemove, "1"); a.Paste || !a.May(at(5)) {
		t.Errorf("%+v", a)
	}
}

// On lime and earth the first coat is vapour-open: what is not said to be so is asked about.
func TestVapourOpenOnLime(t *testing.T) {
	for product, asks := range map[string]bool{"limewash": true, "vapour-open silicate, bears alkali": false, "": true} {
		e := off().add(400, "prime", fmt.Sprintf("batch: '1', product: %q", product))
		asked := fmt.Sprint(e.report(t, plaster, 401).Questions)
		if strings.Contains(asked, "Is the first coat of this kind?") != asks {
			t.Errorf("%q: %s", product, asked)
		}
	}
}

// The last confirming patch counts, where one had to be repeated.
func TestTheLastConfirmingPatchCounts(t *testing.T) {
	e := patched().confirmed("harm: grain raised").weather(159, "12 C").add(160, "apply", "batch: L, confirm: true, method: alkaline_covered, area: 0.5 m2, thickness: 3 mm, surface_temp: 12 C, sure: true").
		add(190, "remove", "batch: L, layers_left: 0, took: 30 min").add(216, "check", "batch: L, harm: none").weather(216, "12 C")
	if f := waitsFor(action(t, e.report(t, panelling, 217), diary.ToApply, ""), "confirming_patch_judged_dry"); f != nil {
		t.Errorf("%+v", f)
	}
}
