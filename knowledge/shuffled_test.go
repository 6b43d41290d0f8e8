package knowledge_test

import (
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"patchfirst/knowledge"
	"patchfirst/knowledge/figures"
	"patchfirst/rules"
	"patchfirst/rules/source"
)

// shuffled is the base with its rules, constraints and promises in another order and in other files.
func shuffled(t testing.TB, seed uint64) *rules.Base {
	t.Helper()
	paths, err := filepath.Glob("base/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	fsys := fstest.MapFS{}
	var entries []string
	for _, path := range paths {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(path)
		if !strings.HasPrefix(name, "rules-") && name != "constraints.yaml" && name != "promises.yaml" {
			fsys[name] = &fstest.MapFile{Data: data}
			continue
		}
		entries = append(entries, strings.Split("\n"+string(data), "\n- ")[1:]...)
	}
	r := rand.New(rand.NewPCG(seed, 17))
	r.Shuffle(len(entries), func(i, j int) { entries[i], entries[j] = entries[j], entries[i] })
	for i, e := range entries {
		name := fmt.Sprintf("other-%d.yaml", i%7)
		if fsys[name] == nil {
			fsys[name] = &fstest.MapFile{Mode: fs.ModePerm}
		}
		fsys[name].Data = append(fsys[name].Data, "- "+e+"\n"...)
	}
	b, err := source.Base(fsys, "shuffled", figures.Inputs())
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// inShort is all of a decision that must not hang on the order of the rules.
func inShort(d *rules.Decision) []string {
	ids := func(list []*rules.Rule) []string {
		var all []string
		for _, r := range list {
			all = append(all, r.ID)
		}
		slices.Sort(all)
		return all
	}
	lines := []string{"first " + d.First.Method.ID, fmt.Sprint("provisional ", d.Provisional), fmt.Sprint("open ", d.Open)}
	for _, o := range d.Fallback {
		lines = append(lines, "fallback "+o.Method.ID)
	}
	for _, s := range d.Stages {
		lines = append(lines, fmt.Sprint("stage ", s.Rows, s.Method.Method.ID))
	}
	for _, l := range d.Findings {
		lines = append(lines, fmt.Sprint("finding ", l.Finding.ID, l.Min, l.Max, ids(l.Rules)))
	}
	for _, o := range d.Methods {
		lines = append(lines, fmt.Sprint(o.Method.ID, " ", o.Verdict, " until ", o.Until, " if ", o.Conditions, " care ", o.Care, ids(o.Reasons), ids(o.Changes)))
		for _, a := range o.Notes {
			lines = append(lines, fmt.Sprint("    ", a.Note.Kind, " ", a.Note.ID, a.Sure))
		}
	}
	return lines
}

func TestOrderOfTheBaseDoesNotMatter(t *testing.T) {
	b := load(t)
	other := shuffled(t, 1)
	all := loadCases(t, b)
	step := 6
	if testing.Short() {
		step = 10
	}
	for i := 0; i < len(all); i += step {
		c := all[i]
		given := knowledge.WithFigures(b, c.Given)
		d, contradiction, err := b.Decide(given)
		if err != nil || contradiction != nil {
			t.Fatalf("%s: %v %v", c.Pos, contradiction, err)
		}
		od, contradiction, err := other.Decide(given)
		if err != nil || contradiction != nil {
			t.Fatalf("%s: %v %v", c.Pos, contradiction, err)
		}
		one, two := inShort(d), inShort(od)
		for i := range one {
			if len(one) != len(two) || one[i] != two[i] {
				t.Errorf("%s: %s: in one order of rules: %s\nin another: %s", c.Pos, c.Title, one[i], two[min(i, len(two)-1)])
				break
			}
		}
	}
}
