package patches_test

import (
	"strings"
	"testing"

	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/rules"
)

// A coat of oil paint is about 51 µm, and of water-borne paint 38 µm. Source: MIL-HDBK-1110, as in the base.
func TestCounted(t *testing.T) {
	b := load(t)
	for _, test := range []struct {
		name, takeoff, coatings, layers string
		lo, hi                          float64
		coats                           float64 // of the film; 0: it changes nothing
		wrong                           string
	}{
		{"no reading", "", "[oil_paint]", "9", 9, 9, 0, ""},
		{"as many as were counted", "takeoff: {film: 0.459 mm}", "[oil_paint]", "9", 9, 9, 0, ""},
		{"thin coats: the count stays", "takeoff: {film: 200 um}", "[oil_paint]", "9", 9, 9, 0, ""},
		{"thick coats", "takeoff: {film: 1.02 mm}", "[oil_paint]", "9", 20, 20, 20, ""},
		{"thick water-borne coats", "takeoff: {film: 0.38 mm}", "[emulsion]", "3", 10, 10, 10, ""},
		{"coats of unknown paint, the fewest they make", "takeoff: {film: 1.02 mm}", "[shellac]", "9", 20, 20, 20, ""},
		{"not counted", "takeoff: {film: 0.51 mm}", "[oil_paint]", "", 10, 10, 10, ""},
		{"not counted, of unknown paint", "takeoff: {film: 0.51 mm}", "[shellac]", "", 10, 13, 10, ""},
		{"no unit", "takeoff: {film: 0.5}", "[oil_paint]", "9", 0, 0, 0, "job.yaml:7:21: the film of door"},
		{"a list", "takeoff: {film: [1]}", "[oil_paint]", "9", 9, 9, 0, ""},
	} {
		text := "job: x\nelements:\n  - name: door\n    coatings: " + test.coatings + "\n"
		if test.layers != "" {
			text += "    layers: " + test.layers + "\n"
		} else {
			text += "    part: door\n"
		}
		text += "    substrate: softwood\n"
		if test.takeoff != "" {
			text += "    " + test.takeoff + "\n"
		}
		j, err := job.Parse(b, "job.yaml", []byte(text))
		if err != nil {
			t.Fatalf("%s: %v", test.name, err)
		}
		e := j.Elements[0]
		answers, film, err := patches.Counted(b, "job.yaml", e, j.Answers(e))
		if test.wrong != "" {
			if err == nil || !strings.Contains(err.Error(), test.wrong) {
				t.Errorf("%s: %v, want %s", test.name, err, test.wrong)
			}
			continue
		}
		coats := 0.
		if film != nil {
			coats = film.Coats
		}
		if a := answers["layers"]; err != nil || a.Lo != test.lo || a.Hi != test.hi || coats != test.coats {
			t.Errorf("%s: %g to %g coats, film %g, %v", test.name, a.Lo, a.Hi, coats, err)
		}
	}
}

// A thick film asks for the thicker paste and the longer wait of as many coats.
func TestThickFilmChangesThePlan(t *testing.T) {
	b := load(t)
	f := figures(t, b)
	answers, d := part(t, b, indoors, "surface_temp=15")
	thin, _ := f.Range(paste, answers, d)
	thick, _ := f.Range(paste, answers.With("layers", rules.Answer{Lo: 20, Hi: 20}), d)
	if thin.ID != "alkaline-many" || thick.ID != "alkaline-very-many" {
		t.Errorf("%s, %s", thin.ID, thick.ID)
	}
}
