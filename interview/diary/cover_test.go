package diary_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"patchfirst/interview/diary"
)

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
		if test.part == railing && !test.late && !a.By.Equal(at(30+24)) {
			t.Errorf("iron is to be primed by %s", a.By)
		}
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
