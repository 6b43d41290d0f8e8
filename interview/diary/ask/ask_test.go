package ask_test

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"patchfirst/interview"
	"patchfirst/interview/diary/ask"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

const (
	begun = `job: x
site: {jurisdiction: uk, built: 1911, use: public, protected: old, children: "no", occupied: empty, worker: trade, lockable: "yes", hours_free: 72, water_and_power: [tap, waste_outlet, power], drain: foul_sewer, wildlife: none_found}
elements:
- name: panelling
  part: panelling
  substrate: softwood
  place: inside
  coatings: [oil_paint]
  layers: 9
  finish_next: paint
  lies: upright
  access: floor
  near: []
  log:
`
	one = "  - {id: 1, kind: apply, at: 2026-06-01T08:00:00+01:00, by: AK, batch: '1', method: alkaline_covered, sure: true}\n"
	two = "  - {id: 2, kind: apply, at: 2026-06-01T09:00:00+01:00, by: AK, batch: '2', method: alkaline_covered, sure: true}\n"
)

const both = two + "  - {id: 3, kind: remove, at: 2026-06-02T08:00:00+01:00, by: AK, batch: '1', sure: true}\n" +
	"  - {id: 4, kind: remove, at: 2026-06-02T09:00:00+01:00, by: AK, batch: '2', sure: true}\n"

var base = sync.OnceValue(func() *rules.Base {
	b, err := knowledge.Load("")
	if err != nil {
		panic(err)
	}
	return b
})

var now = time.Date(2026, 6, 3, 8, 0, 0, 0, time.FixedZone("", 3600))

// keep types answers, and returns the file, what was said and the error.
func keep(t *testing.T, log, kind, typed string) (file, said string, err error) {
	t.Helper()
	b := base()
	path := filepath.Join(t.TempDir(), "job.yaml")
	if err := os.WriteFile(path, []byte(begun+log), 0o644); err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	p := interview.NewPlain(strings.NewReader(strings.ReplaceAll(typed, "|", "\n")+"\n"), &out, 80, true)
	_, err = ask.Keep(context.Background(), p, b, path, "", kind, now)
	data, readErr := os.ReadFile(path)
	if readErr != nil {
		t.Fatal(readErr)
	}
	return string(data), out.String(), err
}

func TestKeepAsksForEachKind(t *testing.T) {
	for _, test := range []struct{ name, log, kind, typed, want string }{
		{"weather", one, "weather", "14 C|12 C|70|70 %|3|2026-06-03T15:00:00+01:00|3 C|u|AK|u", "air_temp: 14 C\n    surface_temp: 12 C\n    humidity: 70 %\n    rain: coming\n    rain_at: 2026-06-03T15:00:00+01:00\n    forecast_low: 3 C"},
		{"kind asked first", one, "", "2|AK and BO|u|AK|u", "kind: crew"},
		{"a hold", one, "met", "2|u|AK|u", "hold: all_coats_seen"},
		{"a look", one, "check", "1|3|2|none|1|12 C|u|AK|u", "batch: \"1\"\n    layers_left: 3\n    lifts: with_work\n    harm: none\n    edges: wet\n    surface_temp: 12 C"},
		{"off", one, "remove", "1|2 m2|2 h|0|none|u|AK|u", "area: 2 m2\n    took: 2 h\n    layers_left: 0\n    harm: none"},
		{"a rinse of all", one + both, "rinse", "3|2|20 L|u|AK|u", "by: AK\n    rinses: 2\n    water: 20 L"},
		{"a rinse of one", one + two, "rinse", "2|2|20 L|u|AK|u", "batch: \"2\"\n    rinses: 2"},
		{"acid", one, "neutralise", "1|acetic_acid|1.25 %|2 L|u|AK|u|y", "with: acetic_acid\n    strength: 1.25 %\n    volume: 2 L"},
		{"pH by paper", one, "ph", "1|1|9|1|0.5|2|foot|u|AK|u", "spot: surface\n    where: foot\n    ph: 9\n    strip: 0.5"},
		{"pH by meter", one, "ph", "3|7.5|2|u|AK|u", "spot: rinse_water\n    ph: 7.5\n    meter: true"},
		{"moisture", one, "moisture", "1|1|14 %|1|foot|u|AK|u", "where: foot\n    moisture: 14 %\n    depth: deep"},
		{"a sheet", one, "moisture", "1|2|1|24 h|u|u|AK|u", "sheet: dry\n    sheet_hours: 24 h"},
		{"waste", one, "waste", "1|2|3 kg|yard|u|AK|u", "stream: alkaline\n    bags: 2\n    mass: 3 kg\n    where: yard"},
		{"an incident", one, "incident", "cover blown off|covered again|u|AK|dry edge", "what: cover blown off\n    done: covered again\n    note: dry edge"},
		{"primed, and sure", one, "prime", "1|primer|u|AK|u|1", "product: primer\n    sure: true"},
		{"a batch, and sure", one, "apply", "3|alkaline_covered|1|2 m2|3 mm|12 C|u|AK|u|1", "batch: \"3\"\n    method: alkaline_covered\n    confirm: true\n    area: 2 m2\n    thickness: 3 mm\n    surface_temp: 12 C\n    sure: true"},
	} {
		file, said, err := keep(t, test.log, test.kind, test.typed)
		flat := strings.ReplaceAll(file, "        ", "    ")
		if err != nil || !strings.Contains(flat, test.want) {
			t.Errorf("%s: %v\n%s\n%s", test.name, err, file, said)
		}
	}
}

func TestKeepWritesNothingHalf(t *testing.T) {
	for _, test := range []struct {
		name, log, kind, typed, said string
		err                          error
	}{
		{"stopped", one, "weather", "14 C|q", "", interview.ErrStopped},
		{"the input ends", one, "weather", "14 C", "", interview.ErrInputEnded},
		{"not sure", one, "prime", "1|primer|u|AK|u|2", "Not yet: ", nil},
		{"no batch", "", "check", "1", "", nil},
		{"no such kind", one, "wether", "", "", nil},
	} {
		file, said, err := keep(t, test.log, test.kind, test.typed)
		if file != begun+test.log || err == nil || test.err != nil && !errors.Is(err, test.err) || !strings.Contains(said, test.said) {
			t.Errorf("%s: %v\n%s\n%s", test.name, err, file, said)
		}
	}
}
