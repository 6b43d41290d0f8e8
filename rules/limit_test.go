package rules_test

import (
	"slices"
	"testing"
	"testing/fstest"

	"patchfirst/rules"
	"patchfirst/rules/source"
)

const limits = `
- {limit: any, of: depth, stage: before, most: 2, unit: m, say: Wait., because: Deep water carries off., sources: [atlas]}
- {limit: mud, of: depth, stage: before, when: bank == "mud", with: [ford], most: 1, unit: m, hold: look_upstream, say: Wait., because: Mud is soft., sources: [common practice]}
- {limit: rock, of: depth, stage: before, when: bank != "mud" && !("goat" in load), least: 0.5, say: Wait., because: Rock scrapes., sources: [common practice]}
- {limit: later, of: depth, stage: check, most: 3, say: Wait., because: It rises., sources: [common practice]}
- {limit: other, of: speed, stage: before, most: 3, say: Wait., because: It is fast., sources: [common practice]}
`

// A limit counts unless the answers rule its condition out: not knowing never loosens one.
func TestLimitsOn(t *testing.T) {
	files := fstest.MapFS{"limits.yaml": {Data: []byte(limits)}}
	for name, text := range toyFiles {
		files[name] = &fstest.MapFile{Data: []byte(text)}
	}
	b, err := source.Base(files, "toy", nil)
	if err != nil {
		t.Fatal(err)
	}
	bank := func(values ...string) rules.Answers { return rules.Answers{"bank": {Values: values}} }
	for _, test := range []struct {
		name    string
		method  string
		answers rules.Answers
		want    []string
	}{
		{"nothing known", "", nil, []string{"any", "mud", "rock"}},
		{"one bank", "", bank("mud"), []string{"any", "mud"}},
		{"one of two banks", "", bank("mud", "rock"), []string{"any", "mud", "rock"}},
		{"the other bank", "", bank("sand"), []string{"any", "rock"}},
		{"another method", "boat", bank("mud"), []string{"any"}},
		{"the method", "ford", bank("mud"), []string{"any", "mud"}},
		{"a list", "", bank("sand").With("load", rules.Answer{Values: []string{"goat"}}), []string{"any"}},
		{"another list", "", bank("sand").With("load", rules.Answer{Values: []string{"drum"}}), []string{"any", "rock"}},
		{"a list that goes on", "", bank("sand").With("load", rules.Answer{Values: []string{"drum"}, MoreAfter: true}), []string{"any", "rock"}},
	} {
		var got []string
		for _, l := range b.LimitsOn("depth", "before", b.Method(test.method), test.answers) {
			got = append(got, l.ID)
		}
		if !slices.Equal(got, test.want) {
			t.Errorf("%s: %v, want %v", test.name, got, test.want)
		}
	}
	mud, rock := b.Limits[1], b.Limits[2]
	for depth, keeps := range map[float64][2]bool{0.4: {true, false}, 0.5: {true, true}, 1: {true, true}, 1.1: {false, true}} {
		if mud.Keeps(depth) != keeps[0] || rock.Keeps(depth) != keeps[1] {
			t.Errorf("at %g: %v %v, want %v", depth, mud.Keeps(depth), rock.Keeps(depth), keeps)
		}
	}
}
