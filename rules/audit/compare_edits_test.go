package audit_test

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"patchfirst/rules/audit"
	"patchfirst/rules/cases"
	"patchfirst/rules/source"
)

// What an edit of promises and blanks changes is told, though every complete case comes out as before. The base is the one
// of moving boxes, in which pushing is open wherever there is a lid: in four cases of five, times two colours.
func TestCompareTellsWhatCasesDoNotShow(t *testing.T) {
	side := func(text string) audit.Side {
		files := fstest.MapFS{"boxes.yaml": {Data: []byte(text)}}
		b, err := source.Base(files, "boxes", nil)
		if err != nil {
			t.Fatal(err)
		}
		entries, err := source.Entries(files, "boxes")
		if err != nil {
			t.Fatal(err)
		}
		return audit.Side{Base: b, Entries: entries}
	}
	const promise = `- {promise: backs-are-minded, when: 'size == "big"', always_with: [push], caution: back, because: It is heavy., sources: [common practice]}` + "\n"
	for _, test := range []struct {
		name, was, is string
		keys          []string
		says          string
	}{
		{"reworded", "because: It is heavy., sources: [common practice]}\n", "because: It is very heavy., sources: [common practice]}\n", nil, "no case comes out differently"},
		{"added and false", promise, promise + strings.NewReplacer("backs-are-minded", "mine", `size == "big"`, `size == "small"`).Replace(promise),
			[]string{"promise mine: absent -> broken"}, "promise mine is broken by push in 2 of 2 cases"},
		{"added and true", promise, promise + strings.NewReplacer("backs-are-minded", "mine", "big", "huge").Replace(promise),
			[]string{"promise mine: absent -> kept"}, ""},
		{"removed", promise, "", []string{"promise backs-are-minded: kept -> absent"}, ""},
		{"loosened", promise, strings.Replace(promise, `size == "big"`, `size == "big" && lid == "yes"`, 1),
			[]string{"promise backs-are-minded: kept -> kept"}, "it asks something else, and spoke of 4 cases, now of 2"},
		{"made false", promise, strings.Replace(promise, `size == "big"`, `size != "huge"`, 1),
			[]string{"promise backs-are-minded: kept -> broken"}, "in 2 of 6 cases"},
		{"another blank", `{red: red, blue: blue}, blank: refuses}`, `{red: red, blue: blue}, blank: condition}`,
			[]string{"blank colour: means something else"}, "jobs that leave it blank may come out differently"},
	} {
		t.Run(test.name, func(t *testing.T) {
			if !strings.Contains(boxes, test.was) {
				t.Fatalf("the base does not say %q", test.was)
			}
			old, next := side(boxes), side(strings.Replace(boxes, test.was, test.is, 1))
			all, problems := cases.Read(next.Base, "case.yaml", []byte("- {case: A box, source: invented, given: {size: big}, expect: {offered: [push]}}\n"))
			if len(problems) > 0 {
				t.Fatal(problems)
			}
			c, err := audit.Compare(old, next, all, nil, nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			if !slices.Equal(c.Keys(), test.keys) || !strings.Contains(c.String(), test.says) {
				t.Errorf("told %q in\n%s", c.Keys(), c)
			}
			if touched := len(c.Blanks) > 0; (c.Decided == 1) != touched {
				t.Errorf("%d case files are decided", c.Decided)
			}
		})
	}
}
