package interview

import (
	"testing"

	"patchfirst/rules"
)

func TestNext(t *testing.T) {
	b := loadSmall(t)
	for _, tt := range []struct {
		name, site, part string
		unknown          []string
		want             string
	}{
		{name: "the site first", site: "{}", want: "land"},
		{name: "in the written order", site: "{land: south}", want: "toll"},
		{name: "not what does not apply", site: "{land: north}", want: "built"},
		{name: "not what was said to be not known", site: "{land: north}", unknown: []string{"built"}, want: "rain"},
		{name: "a site that is done", site: "{land: north, built: 1900, rain: \"no\"}", want: "nothing"},
		{name: "the part", site: "{land: north}", part: "{}", want: "stuff"},
		{name: "a question that applies", part: "{stuff: oak}", want: "rot"},
		{name: "a question that may apply", part: "{stuff: [oak, iron]}", want: "rot"},
		{name: "a question that does not apply", part: "{stuff: iron}", want: "coats"},
		{name: "a question whose blank is a value", site: "{built: 1900}", part: "{stuff: iron, coats: [oil], near: [], layers: 1}", want: "test"},
		{name: "not what can change nothing", site: "{built: 1990}", part: "{stuff: iron, coats: [oil], near: []}", want: "nothing"},
		{name: "what still can", site: "{built: 1990}", part: "{stuff: iron, coats: [oil, lime], near: []}", want: "layers"},
		{name: "what decides whether another applies", site: "{land: sea}", part: "{}", want: "stuff"},
		{name: "not known twice", part: "{stuff: iron}", unknown: []string{"coats", "near"}, want: "layers"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			text := "job: x\n"
			if tt.site != "" {
				text += "site: " + tt.site + "\n"
			}
			if tt.part != "" {
				text += "elements: [" + tt.part[:1] + "name: p, " + tt.part[1:] + "]\n"
			}
			j := read(t, b, text)
			unknown := j.NotKnown
			if e := j.Element("p"); e != nil {
				unknown = e.NotKnown
			}
			for _, id := range tt.unknown {
				unknown[id] = true
			}
			f, c, err := Next(b, j, j.Element("p"))
			if err != nil || c != nil {
				t.Fatal(err, c)
			}
			if got := ask(f); got != tt.want {
				t.Errorf("asks %s, not %s", got, tt.want)
			}
		})
	}
}

func TestNextContradiction(t *testing.T) {
	b := loadSmall(t)
	j := read(t, b, "job: x\nsite: {land: sea}\nelements: [{name: p, coats: [tar]}]\n")
	if _, c, err := Next(b, j, j.Element("p")); err != nil || c == nil {
		t.Errorf("no contradiction: %v", err)
	}
	if _, c, err := Next(b, j, nil); err != nil || c != nil {
		t.Errorf("the site alone: %v %v", c, err)
	}
}

func TestHolds(t *testing.T) {
	b := loadSmall(t)
	for _, tt := range []struct {
		answers, when string
		want          truth
	}{
		{"{}", `stuff == "oak"`, maybe},
		{"{stuff: oak}", `stuff == "oak"`, yes},
		{"{stuff: oak}", `stuff != "oak"`, no},
		{"{stuff: [oak, iron]}", `stuff == "oak"`, maybe},
		{"{stuff: [oak, iron]}", `stuff == "glass"`, no},
		{"{stuff: iron}", `rot == "no"`, yes}, // it does not apply
		{"{stuff: oak}", `rot == "no"`, maybe},
		{"{coats: [oil]}", `"oil" in coats`, yes},
		{"{coats: [oil]}", `"tar" in coats`, no},
		{"{coats: [oil, \"?\"]}", `"tar" in coats`, maybe},
		{"{coats: [oil]}", `top == "oil"`, maybe}, // it looks at no ends
		{"{layers: 3..5}", `layers > 4`, maybe},
		{"{layers: 3..5}", `layers > 5`, no},
		{"{layers: 3..5}", `layers >= 3`, yes},
		{"{layers: 3}", `!(layers == 3)`, no},
		{"{layers: 3, stuff: oak}", `layers > 1 && (stuff == "oak" || rot == "yes")`, yes},
		{"{layers: 3}", `layers < 2 && stuff == "oak"`, no},
	} {
		j := read(t, b, "job: x\nelements: [{name: p, "+tt.answers[1:]+"]\n")
		c, problems := b.Parse(tt.when, func(int) rules.Pos { return rules.Pos{} })
		if err := problems.Err(); err != nil {
			t.Fatal(err)
		}
		if got := holds(c.Root, j.Answers(j.Elements[0])); got != tt.want {
			t.Errorf("%s with %s: %v, not %v", tt.when, tt.answers, got, tt.want)
		}
	}
}
