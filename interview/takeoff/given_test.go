package takeoff

import (
	"errors"
	"strings"
	"testing"

	"patchfirst/interview/job"
	"patchfirst/rules"
)

func read(t testing.TB, b *rules.Base, site, part string) (*Given, error) {
	t.Helper()
	text := "job: x\nsite:\n  built: 1911\n  takeoff: " + site + "\nelements:\n  - name: door\n    part: door\n    takeoff: " + part + "\n"
	j, err := job.Parse(b, "job.yaml", []byte(text))
	if err != nil {
		t.Skip(err)
	}
	return ReadGiven(b, "job.yaml", j, j.Elements[0])
}

// What a part tells wins over the site, key by key.
func TestPartWinsOverSite(t *testing.T) {
	g, err := read(t, base(t), "{wage: 28 GBP/h, crew: 2, prices: {cover: 1 GBP/m2, bags: 2 GBP each}}",
		"{wage: 31 GBP/h, prices: {cover: 3 GBP/m2}}")
	if err != nil {
		t.Fatal(err)
	}
	for key, want := range map[string]float64{"wage": 31, "crew": 2, "price of cover": 3, "price of bags": 2} {
		if got := g.values[key].Point; got != want {
			t.Errorf("%s is %g, not %g", key, got, want)
		}
	}
}

// Each mistake is asked about at its place.
func TestMistakesAreAskedAbout(t *testing.T) {
	b := base(t)
	for _, test := range []struct{ site, part, asks string }{
		{"{}", "{width: 240}", `job.yaml:8:22: "240" cannot be taken for "width"`},
		{"{}", "{width: 2,4 m}", "no key"},
		{"{}", `{width: "2,4 m"}`, "Is the comma a decimal point? If so, write 2.4."},
		{"{}", "{width: 2.4 m 30 cm}", "is not known"},
		{"{}", "{width: -2 m}", "less than nothing"},
		{"{}", "{width: 0 m}", "0.01 m to 1000 m is read"},
		{"{}", "{sides: 3}", "1 to 2 is read"},
		{"{}", "{area: [1 m2, 2 m2]}", "takes one figure"},
		{"{hours_a_day: 30 h}", "{}", "1 h to 24 h is read"},
		{"{crew: 0}", "{}", "1 to 100 is read"},
		{"{crew: two}", "{}", "no figure stands at the front"},
		{"{wage: 28}", "{}", "of what currency?"},
		{"{wage: €28/h}", "{}", "by name"},
		{"{currency: £}", "{}", "is not the name of a currency"},
		{"{currency: GBP, wage: 28 EUR/h}", "{}", "in one currency"},
		{"{wage: 28 GBP/h}", "{prices: {cover: 2 EUR/m2}}", "in one currency"},
		{"{prices: {drums: 30 GBP/L}}", "{}", "price of one is wanted"},
		{"{prices: 30 GBP}", "{}", "must be a list of keys"},
		{"{containers: {solvent_paste: [1 gal]}}", "{}", "US gallons"},
		{"{containers: {solvent_paste: []}}", "{}", "no container size"},
		{"{rates: {steam: 3 m2}}", "{}", "time on an area is wanted"},
		{"{solvent: paint thinner}", "{}", "no figures for the solvent"},
		{"{width: 2 m}", "{}", `no key "width"`},
		{"{mixing: 20}", "{}", "1 to 10 is read"},
		{"{room: 30 sq ft}", "{}", "volume is wanted"},
		{"[1, 2]", "{}", "must be a list of keys"},
	} {
		_, err := read(t, b, test.site, test.part)
		var problems rules.Problems
		if !errors.As(err, &problems) || !strings.Contains(strings.ToLower(err.Error()), strings.ToLower(test.asks)) {
			t.Errorf("%s %s: %v", test.site, test.part, err)
			continue
		}
		for _, p := range problems {
			if p.Pos.Line == 0 || p.Pos.Col == 0 || p.Pos.File != "job.yaml" {
				t.Errorf("%s %s: no place: %v", test.site, test.part, p)
			}
		}
	}
}

// Whatever is written, it is read or asked about with its place, and sums can be done with what is read or refused in words.
func FuzzReadGiven(f *testing.F) {
	b := base(f)
	for _, seed := range []string{"{width: 2.4 m, height: 2.7 m}", "{area: 3 m2, sides: 2}", "{wage: 28 GBP/h, crew: 2}",
		"{prices: {cover: 1 GBP/m2}, containers: {solvent_paste: [1 L, 5 L]}}",
		"{rates: {steam: 1 h/m2}}", "{openings: [1 m2, 0.2 m2], width: 3 m, height: 2 m}", "{film: 0.4 mm, lead: 2 mg/cm2}", "{solvent: acetone, room: 30 m3, air: 20 m3/h}", "~", "[]", "{a: {b: c}}", "{length: 3 m, girth: 200 mm, kind: cornice}"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, part string) {
		g, err := read(t, b, "{}", part)
		var problems rules.Problems
		switch {
		case err != nil && !errors.As(err, &problems):
			t.Fatalf("%q: %v", part, err)
		case err == nil && g == nil:
			t.Fatalf("%q: nothing is read", part)
		}
		for _, p := range problems {
			if p.Pos.Line == 0 || p.Summary == "" {
				t.Fatalf("%q: %+v", part, p)
			}
		}
		for key, v := range g.values {
			if v.Check() != nil || v.Low < 0 {
				t.Fatalf("%q: %s is %+v", part, key, v)
			}
		}
	})
}
