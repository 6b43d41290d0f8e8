package diary_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"patchfirst/interview/diary"
	"patchfirst/rules"
)

// Every reading that the base bounds is one that the diary holds against its limits, and the other way round.
func TestEveryLimitIsHeld(t *testing.T) {
	known := map[string][]string{
		"apply":      {"air_temp", "surface_temp", "weather_age", "rain_in", "forecast_low", "colder_than_patch", "confirm_hours", "removal_over", "beyond_closed", "thinner_than_patch"},
		"check":      {"dry_edges", "look_overdue", "rain_in", "forecast_low"},
		"remove":     {"short_of_dwell", "over_patch"},
		"neutralise": {"ph_above_water", "ph_step"},
		"dry":        {"forecast_low"},
		"prime": {"still_on", "layers_left", "ph_off_control", "ph_step", "ph_places", "moisture", "moisture_places", "sheet_hours", "dew_margin", "weather_age", "humidity",
			"surface_temp", "air_temp", "rain_in", "bare_days"},
	}
	bound := map[string]bool{}
	for _, l := range base().Limits {
		bound[l.Stage+" "+l.Reading] = true
		if !slices.Contains(known[l.Stage], l.Reading) {
			t.Errorf("%s: nothing holds %s against it at the stage %s", l.Pos, l.Reading, l.Stage)
		}
	}
	for stage, readings := range known {
		for _, r := range readings {
			if !bound[stage+" "+r] {
				t.Errorf("no limit bounds %s at the stage %s", r, stage)
			}
		}
	}
}

// The figures of the limits are those of their sources.
func TestFiguresOfTheLimits(t *testing.T) {
	for _, test := range []struct {
		id          string
		least, most float64 // -1: none
		source      string
	}{
		{"rinsed_to_the_water", -1, 1, "mil-hdbk-1110"},         // MIL-HDBK-1110 6.7.2.1: no more than one unit above the water
		{"dry_matches_control", -1, 1, "mil-hdbk-1110"},         // 6.7.4: within one unit
		{"rinse_paper_fine_enough", -1, 0.5, "astm-d4262"},      // ASTM D4262 (1983/99): paper in steps of 0.5
		{"ph_in_two_places", 2, -1, "astm-d4262"},               // (2005/12): at least two readings on each part
		{"dry_wood_outside", -1, 15, "south-bend"},              // sheet of the commission, as reported
		{"dry_wood_for_clear_finish", -1, 12, "ufgs-09995"},     // UFGS 09995: 12 % for wood to be stained
		{"sheet_stays_dry", 24, -1, "mil-hdbk-1110-9"},          // 9.6.7.5, ASTM D4263: taped for 24 h
		{"three_above_dew_point", 3, -1, "common practice"},     // the clause of ISO 8502-4 was not read
		{"prime_air_not_damp", -1, 85, "historic-new-england"},  // exterior paint specifications: not above 85 %
		{"prime_surface_not_cold", 10, -1, "tm-43-0139"},        // coatings not below 10 °C
		{"no_frost_on_wet_masonry", 5, -1, "ufgs-04900"},        // 3.2.1: above 5 °C, and for seven days after
		{"wood_not_left_bare", -1, 14, "wood-handbook-2010"},    // prime within two weeks
		{"paste_surface_not_hot", -1, 37, "tm-1-1500-204-23-9"}, // removers are used from 10 to 37 °C
	} {
		i := slices.IndexFunc(base().Limits, func(l *rules.Limit) bool { return l.ID == test.id })
		if i < 0 {
			t.Errorf("there is no limit %s", test.id)
			continue
		}
		l := base().Limits[i]
		if bound(l.Least) != test.least || bound(l.Most) != test.most || !slices.Contains(l.Sources, test.source) {
			t.Errorf("%s: from %g to %g by %v, want %g, %g, %s", test.id, bound(l.Least), bound(l.Most), l.Sources, test.least, test.most, test.source)
		}
	}
}

func bound(v *float64) float64 {
	if v == nil {
		return -1
	}
	return *v
}

// The dew point before priming. The cases are published notes of sites: at 21 °C and a dew point of about 15 °C a surface
// of 19 °C passes; at 16 °C, 71 % and a surface of 13 °C the margin is about 2 K and fails. The humidity of the first is
// the one that has its dew point, 68 % (14.9 °C by the Magnus form).
func TestDewMarginBeforePriming(t *testing.T) {
	for _, test := range []struct {
		air, surface, humidity float64
		passes                 bool
	}{
		{21, 19, 68, true},
		{16, 13, 71, false},
		{10, 9.6, 80, false}, // dew point 6.71 (PsychroLib): 2.89 K
		{10, 9.8, 80, true},  // 3.09 K
		{5, 3, 60, true},     // dew -2.1, frost point -1.9 (PsychroLib): 4.9 K
	} {
		e := off().add(31, "weather", fmt.Sprintf("air_temp: %g C, surface_temp: %g C, humidity: %g %%, rain: none", test.air, test.surface, test.humidity))
		a := action(t, e.report(t, panelling, 31.5), diary.ToPrime, "1")
		if f := waitsFor(a, "three_above_dew_point"); (f == nil) != test.passes || kept(a, "three_above_dew_point") != test.passes {
			t.Errorf("%+v: waits for %+v", test, f)
		} else if f != nil && (!strings.Contains(f.Reading, "dew point") || f.Limit != "at least 3 K" || len(f.Sources) == 0) {
			t.Errorf("the hold does not say its reading, limit and source: %+v", f)
		}
	}
	// What was not read keeps nothing, and what is old neither.
	a := action(t, off().report(t, panelling, 31), diary.ToPrime, "1")
	for _, id := range []string{"three_above_dew_point", "prime_air_not_damp", "prime_weather_fresh", "prime_surface_not_cold"} {
		if waitsFor(a, id) == nil {
			t.Errorf("without weather it does not wait for %s", id)
		}
	}
	old := off().add(31, "weather", "air_temp: 21 C, surface_temp: 19 C, humidity: 60 %, rain: none")
	if a := action(t, old.report(t, panelling, 35.1), diary.ToPrime, "1"); waitsFor(a, "prime_weather_fresh") == nil || waitsFor(a, "three_above_dew_point") != nil {
		t.Errorf("weather of 4.1 h ago: %v", ids(a.Waits))
	}
}

// The moisture limit goes by material, place and finish.
func TestMoistureLimits(t *testing.T) {
	const places = 3
	for _, test := range []struct {
		part    string
		percent float64
		waits   []string
	}{
		{door, 15, nil},
		{door, 15.1, []string{"dry_wood_outside"}},
		{strings.Replace(door, "glass", "finish_next: clear, glass", 1), 12.5, []string{"dry_wood_for_clear_finish"}},
		{panelling, 12, nil},
		{panelling, 12.5, []string{"dry_wood_inside"}},
		{"part: panelling, substrate: softwood", 12.5, []string{"dry_wood_inside"}}, // the place is not known: the stricter counts
		{railing, 30, nil},
	} {
		e := off()
		for i := range places {
			e.add(200+float64(i)/10, "moisture", fmt.Sprintf("batch: '1', where: place %d, moisture: %g %%, depth: deep", i, test.percent))
		}
		part := test.part
		if strings.Contains(part, "finish_next") {
			part = strings.Replace(part, "finish_next: clear, ", "", 1)
			part = "FINISH" + part
		}
		r := judged(t, e, part, 201)
		var got []string
		for _, f := range action(t, r, diary.ToPrime, "1").Waits {
			if strings.HasPrefix(f.ID, "dry_wood") {
				got = append(got, f.ID)
			}
		}
		if !slices.Equal(got, test.waits) {
			t.Errorf("%s at %g %%: waits for %v, want %v", test.part, test.percent, got, test.waits)
		}
	}
}

// judged is report, with a clear finish where the part begins with FINISH.
func judged(t *testing.T, e *entries, part string, hour float64) *diary.Report {
	t.Helper()
	clear, is := strings.CutPrefix(part, "FINISH")
	log := e.log(t)
	d, err := diary.Read(base(), "log.yaml", log)
	if err != nil {
		t.Fatal(err)
	}
	s := site(t, clear, at(hour))
	if is {
		s.Answers = s.Answers.With("finish_next", rules.Answer{Values: []string{"clear"}})
	}
	return diary.Judge(d, log, s)
}

// Moisture counts in depth, in several places, of the last day, and since water last came on the surface.
func TestMoistureReadings(t *testing.T) {
	read := func(e *entries, hour float64, where, rest string) *entries {
		return e.add(hour, "moisture", "batch: '1', where: "+where+", "+rest)
	}
	three := func(e *entries, hour, percent float64) *entries {
		for _, place := range []string{"foot", "middle", "top"} {
			read(e, hour, place, fmt.Sprintf("moisture: %g %%, depth: deep", percent))
		}
		return e
	}
	for _, test := range []struct {
		name  string
		e     *entries
		waits []string
	}{
		{"none", off(), []string{"dry_wood_inside", "wood_read_in_several_places"}},
		{"three", three(off(), 100, 11), nil},
		{"the wettest counts", read(three(off(), 100, 11), 101, "corner", "moisture: 14 %, depth: deep"), []string{"dry_wood_inside"}},
		{"the same place thrice", read(read(read(off(), 100, "foot", "moisture: 11 %, depth: deep"), 101, "Foot", "moisture: 11 %, depth: deep"), 102, "foot", "moisture: 11 %, depth: deep"),
			[]string{"wood_read_in_several_places"}},
		{"the skin alone", read(off(), 100, "foot", "moisture: 9 %, depth: skin"), []string{"dry_wood_inside", "wood_read_in_several_places"}},
		{"wetter days ago", three(three(off(), 50, 20), 100, 11), nil},
		{"water since", three(off(), 100, 11).add(120, "rinse", "batch: '1', water: 2 L"), []string{"dry_wood_inside", "wood_read_in_several_places"}},
	} {
		var got []string
		for _, f := range action(t, test.e.report(t, panelling, 130), diary.ToPrime, "1").Waits {
			if f.ID == "dry_wood_inside" || f.ID == "wood_read_in_several_places" {
				got = append(got, f.ID)
			}
		}
		if !slices.Equal(got, test.waits) {
			t.Errorf("%s: waits for %v, want %v", test.name, got, test.waits)
		}
	}
}

// On masonry a taped sheet tells, after a day (ASTM D4263, by MIL-HDBK-1110 9.6.7.5).
func TestTapedSheet(t *testing.T) {
	for rest, passes := range map[string]bool{
		"sheet: dry, sheet_hours: 24 h":   true,
		"sheet: dry, sheet_hours: 2 days": true,
		"sheet: dry, sheet_hours: 20 h":   false,
		"sheet: wet, sheet_hours: 24 h":   false,
	} {
		a := action(t, off().add(200, "moisture", "batch: '1', "+rest).report(t, plaster, 201), diary.ToPrime, "1")
		if f := waitsFor(a, "sheet_stays_dry"); (f == nil) != passes {
			t.Errorf("%s: %+v", rest, f)
		}
	}
}
