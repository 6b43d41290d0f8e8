package diary_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"
	"pgregory.net/rapid"

	"patchfirst/interview/diary"
)

// drawn is a diary of readings of one batch that is off, in whatever order and of whatever values.
func drawn(t *rapid.T) *entries {
	e := off()
	hour := 30.
	for range rapid.IntRange(0, 12).Draw(t, "entries") {
		hour += rapid.Float64Range(0, 40).Draw(t, "later")
		place := rapid.SampledFrom([]string{"foot", "middle", "top", "corner"}).Draw(t, "place")
		pH := rapid.IntRange(2, 26).Draw(t, "pH")
		read := fmt.Sprintf("ph: %g, strip: %s", float64(pH)/2, rapid.SampledFrom([]string{"0.5", "1"}).Draw(t, "strip"))
		switch rapid.IntRange(0, 6).Draw(t, "kind") {
		case 0:
			e.add(hour, "weather", fmt.Sprintf("air_temp: %d C, surface_temp: %d C, humidity: %d %%, rain: none", rapid.IntRange(-10, 35).Draw(t, "air"), rapid.IntRange(-10, 35).Draw(t, "surface"), rapid.IntRange(20, 100).Draw(t, "humidity")))
		case 1:
			e.add(hour, "ph", "spot: rinse_water, "+read)
		case 2:
			e.add(hour, "ph", "spot: control, dry: true, "+read)
		case 3:
			e.add(hour, "ph", "batch: '1', spot: surface, dry: true, where: "+place+", "+read)
		case 4:
			e.add(hour, "ph", "batch: '1', spot: surface, "+read)
		case 5:
			e.add(hour, "moisture", fmt.Sprintf("batch: '1', where: %s, moisture: %d %%, depth: deep", place, rapid.IntRange(8, 28).Draw(t, "moisture")))
		case 6:
			e.add(hour, "rinse", "batch: '1', rinses: 2, water: 8 L")
		}
	}
	return e
}

// Not knowing never loosens: without any of its readings of a kind a batch waits for all that it waited for with them.
func TestWithoutReadingsNothingIsReleased(t *testing.T) {
	parts := []string{panelling, door, plaster}
	for _, p := range parts {
		site(t, p, start)
	}
	rapid.Check(t, func(rt *rapid.T) {
		e, part := drawn(rt), rapid.SampledFrom(parts).Draw(rt, "part")
		gone := rapid.SampledFrom([]string{"kind: weather", "spot: control", "spot: surface", "kind: moisture"}).Draw(rt, "gone")
		fewer := &entries{slices.DeleteFunc(slices.Clone(e.lines), func(l string) bool { return strings.Contains(l, gone) })}
		with, without := action(t, e.report(t, part, 600), diary.ToPrime, "1"), action(t, fewer.report(t, part, 600), diary.ToPrime, "1")
		// Without the surface nothing is compared, so there is no telling what the paper was.
		told := func(f diary.Finding) bool { return f.ID != "dry_paper_fine_enough" && f.ID != "ph_in_two_places" }
		for _, f := range with.Waits {
			if told(f) && waitsFor(without, f.ID) == nil {
				rt.Fatalf("without %q it no longer waits for %s", gone, f.ID)
			}
		}
	})
}

// Nothing is released while anything of its limits is beyond or unread, and whatever waits says why.
func TestEveryWaitSaysWhy(t *testing.T) {
	site(t, panelling, start)
	rapid.Check(t, func(rt *rapid.T) {
		r := drawn(rt).report(t, panelling, 600)
		for _, a := range r.Actions {
			if a.May(at(600)) && len(a.Waits) > 0 {
				rt.Fatalf("%s may be done and waits for %v", a.Do, ids(a.Waits))
			}
			for _, f := range slices.Concat(a.Waits, a.Late, a.Kept) {
				if f.Reading == "" || len(f.Sources) == 0 || f.Limit == "" && f.Hold == "" {
					rt.Fatalf("%s says too little: %+v", f.ID, f)
				}
			}
			for _, f := range a.Kept {
				if waitsFor(a, f.ID) != nil {
					rt.Fatalf("%s is kept and waited for", f.ID)
				}
			}
		}
	})
}

// Judging changes nothing of the log.
func TestJudgingChangesNothing(t *testing.T) {
	site(t, panelling, start)
	rapid.Check(t, func(rt *rapid.T) {
		log := drawn(rt).log(t)
		before, _ := yaml.Marshal(log)
		d, err := diary.Read(base(), "log.yaml", log)
		if err != nil {
			rt.Fatal(err)
		}
		diary.Judge(d, log, site(t, panelling, at(600)))
		if after, _ := yaml.Marshal(log); string(after) != string(before) {
			rt.Fatal("the log has changed")
		}
	})
}

// No log makes the reader or the judge panic.
func FuzzRead(f *testing.F) {
	s := site(f, panelling, at(600))
	for _, e := range []*entries{off(), working("12 C").add(200, "remove", "batch: '1', took: 2 h, layers_left: 0"), patched().weather(82, "12 C"),
		off().add(31, "rinse", "batch: '1', rinses: 2, water: 8 L").add(31.1, "ph", "spot: rinse_water, ph: 7, strip: 0.5").add(31.2, "ph", "batch: '1', spot: surface, ph: 10, meter: true").
			add(40, "neutralise", "with: acetic_acid").add(50, "moisture", "moisture: 14 %").add(51, "waste", "stream: lead, bags: 2, mass: 3 kg").add(52, "met", "hold: lead_area_sealed").
			add(53, "incident", "what: x").add(54, "crew", "who: y").add(55, "prime", "product: z").add(56, "strike", "corrects: 12, because: w")} {
		f.Add(strings.Join(e.lines, "\n"))
	}
	f.Fuzz(func(t *testing.T, text string) {
		var n yaml.Node
		if yaml.Unmarshal([]byte(text), &n) != nil || len(n.Content) == 0 {
			return
		}
		d, err := diary.Read(base(), "log.yaml", n.Content[0])
		if err != nil {
			return
		}
		diary.Judge(d, n.Content[0], s).Data(s.Now)
	})
}
