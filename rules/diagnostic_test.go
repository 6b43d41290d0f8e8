package rules

import "testing"

func TestDidYouMean(t *testing.T) {
	surface := &Fact{ID: "surface", Ask: "What is it?", Values: []Value{
		{"pine", "pine"}, {"cast_iron", "cast iron"}, {"wrought_iron", "wrought iron"}, {"grp", "glass fibre"}, {"slate", "slate"},
		{"lime_render", "lime render"}, {"limestone", "limestone"}, {"old_goat", "old mountain goat"}, {"plated", "plated steel"},
		{"uk", "United Kingdom"}, {"eu", "European Union"},
	}}
	test := &Fact{ID: "test", Ask: "Was it tested?", Values: []Value{{"lab_low", "laboratory: some, below the figure"}, {"positive", "goat found"}, {"swab", "swab: none seen"}}}
	long := &Fact{ID: "long", Ask: "Which?"}
	for i := range 16 {
		long.Values = append(long.Values, Value{ID: "value " + string(rune('a'+i))})
	}
	for _, tt := range []struct {
		fact       *Fact
		word, want string
	}{
		{surface, "iron", `Did you mean "cast_iron" or "wrought_iron"?`},
		{surface, "lime", `Did you mean "limestone" or "lime_render"?`},
		{surface, "mountain", `Did you mean "old_goat"?`},
		{surface, "mountains", `Did you mean "old_goat"?`},
		{surface, "Cast Iron", `Did you mean "cast_iron"?`},
		{surface, "cast_iron_radiator", `Did you mean "cast_iron" or "wrought_iron"?`},
		{surface, "pime", `Did you mean "pine"?`},
		{surface, "ku", `Did you mean "uk"?`},
		{surface, "united_kingdom", `Did you mean "uk"?`},
		{test, "goat_found", `Did you mean "positive"?`},
		{test, "goat_absent", `Did you mean "positive"?`},
		{test, "zebra", "It takes lab_low, positive, swab."},
		{test, "", "It takes lab_low, positive, swab."},
		{long, "zebra", "It takes 16 values, which survey lists when it asks: Which?"},
		{long, "value", `Did you mean "value a", "value b", "value c" or "value d"?`},
	} {
		if got := tt.fact.DidYouMean(tt.word); got != tt.want {
			t.Errorf("%s, %q: %s, not %s", tt.fact.ID, tt.word, got, tt.want)
		}
	}
	b := &Base{Facts: []*Fact{{ID: "jurisdiction", Ask: "Which country's rules apply?"}, {ID: "putty", Ask: "What holds the glass?"}, {ID: "built", Ask: "In what year?"}}}
	for word, want := range map[string]string{
		"country": `Did you mean "jurisdiction"?`,
		"bilt":    `Did you mean "built"?`,
		"zebra":   "A survey asks the questions one by one, and writes their names into the job file.",
	} {
		if got := b.DidYouMean(word); got != want {
			t.Errorf("%q: %s, not %s", word, got, want)
		}
	}
}

func TestNearest(t *testing.T) {
	for _, tt := range []struct {
		word, want string
		ok         bool
	}{{"jsno", "json", true}, {"advice", "advise", true}, {"xyz", "", false}, {"", "", false}} {
		if got, ok := Nearest(tt.word, []string{"json", "advise", "element"}); got != tt.want || ok != tt.ok {
			t.Errorf("%q: %q %v", tt.word, got, ok)
		}
	}
}
