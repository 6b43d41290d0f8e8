package takeoff

import (
	"math"
	"strings"
	"testing"
)

const proven = `
    log:
      - {id: 1, kind: patch, at: 2026-06-01T09:00:00Z, by: AK, patch: A1, method: alkaline_covered, thickness: 3 mm, area: worst, surface_temp: 12 C}
      - {id: 2, kind: patch, at: 2026-06-01T09:05:00Z, by: AK, patch: A2, method: alkaline_covered, thickness: 3 mm, area: soundest, surface_temp: 12 C}
      - {id: 3, kind: look, at: 2026-06-01T19:00:00Z, by: AK, patch: A1, layers_left: 3, lifts: easily, harm: none, surface_temp: 12 C}
      - {id: 4, kind: look, at: 2026-06-02T15:00:00Z, by: AK, patch: A1, layers_left: 0, lifts: easily, harm: none, surface_temp: 12 C, passes: 2, off: true}
      - {id: 5, kind: look, at: 2026-06-02T15:05:00Z, by: AK, patch: A2, layers_left: 0, lifts: easily, harm: none, surface_temp: 12 C, passes: 1, off: true}
      - {id: 6, kind: look, at: 2026-06-04T15:00:00Z, by: AK, patch: A1, harm: none, ph: 6}
      - {id: 7, kind: look, at: 2026-06-04T15:05:00Z, by: AK, patch: A2, harm: none, ph: 6}
`

// What proven patches show wins over the planning ranges: thickness, passes and wait; the sums say so. Other methods keep
// theirs. Where the surface is colder than at the patches the wait is longer, as patches read tells it.
func TestProvenPatchesWin(t *testing.T) {
	b := base(t)
	text := strings.TrimRight(door, "\n") + proven
	s := sum(t, caseOf(t, b, text), "alkaline_covered")
	check(t, s, "wait", 30, 30, 30)
	check(t, s, "passes", 2, 2, 2)
	area := s.Line("area").Result.Range
	check(t, s, "paste", area.Low*3*2*1.10, area.Point*3*2*1.175, area.High*3*2*1.25)
	shown := 0
	for _, l := range s.Leaves {
		if l.Kind == Shown {
			shown++
		}
	}
	if shown != 3 {
		t.Errorf("%d inputs are from patches", shown)
	}
	if other := sum(t, caseOf(t, b, text), "solvent_covered"); other.Line("wait").Result.Known() {
		t.Error("the patches of one method stand for another")
	}
	colder := sum(t, caseOf(t, b, strings.Replace(text, "surface_temp: 12}", "surface_temp: 7}", 1)), "alkaline_covered")
	if got, want := colder.Line("wait").Result.Point, 30*math.Sqrt2; math.Abs(got-want) > 1e-9 {
		t.Errorf("5 °C colder the paste acts %g h, not %g", got, want)
	}
	unproven := sum(t, caseOf(t, b, strings.TrimRight(door, "\n")+proven[:strings.Index(proven, "      - {id: 6")]),
		"alkaline_covered")
	if unproven.Line("wait").Result.Known() {
		t.Error("patches that were not judged dry count as proven")
	}
}
