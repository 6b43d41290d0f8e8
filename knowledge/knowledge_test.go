package knowledge_test

import (
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"patchfirst/knowledge"
	"patchfirst/rules"
	"patchfirst/rules/cases"
	"patchfirst/rules/diagram"
)

func load(t testing.TB) *rules.Base {
	t.Helper()
	b, err := knowledge.Load("")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func loadCases(t testing.TB, b *rules.Base) []cases.Case {
	t.Helper()
	all, err := cases.ReadFS(b, os.DirFS("../testdata/cases"), "testdata/cases")
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestBaseIsOfUsefulSize(t *testing.T) {
	b := load(t)
	written := 0
	for _, r := range b.Rules {
		if r.Cell == "" && !strings.HasPrefix(r.ID, "always-refused/") {
			written++
		}
	}
	const least = 150
	if written < least {
		t.Errorf("%d rules are written, fewer than %d", written, least)
	}
	if b.Version == "" || b.Digest == "" {
		t.Error("the base has no version or digest")
	}
}

// A base that stands on disk is the embedded base.
func TestLoadFromAFolder(t *testing.T) {
	b, err := knowledge.Load("base")
	if err != nil {
		t.Fatal(err)
	}
	if b.Digest != load(t).Digest {
		t.Error("the folder and the embedded base differ")
	}
	if _, err := knowledge.Load(t.TempDir()); err == nil {
		t.Error("an empty folder is a base")
	}
}

func TestEveryQuestionIsRead(t *testing.T) {
	b := load(t)
	read := map[*rules.Fact]bool{}
	see := func(c *rules.Cond) {
		c.Walk(func(t *rules.Test) {
			if t.Fact != nil {
				read[t.Fact.Parent()] = true
			}
		})
	}
	for _, r := range b.Rules {
		see(r.When)
	}
	for _, c := range b.Constraints {
		see(c.Never)
	}
	for _, f := range b.Facts {
		see(f.Applies)
		see(f.AtLeastWhen)
		for _, in := range f.Inputs {
			read[b.Fact(in)] = true
		}
	}
	for _, f := range b.Facts {
		if !read[f] {
			t.Errorf("%s: nothing reads %s", f.Pos, f.ID)
		}
	}
}

func TestEveryMethodIsOfferedSomewhere(t *testing.T) {
	b := load(t)
	s, err := b.Compile(nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range b.Methods {
		refused := s.Gives(rules.RuledOut, m)
		offered := s.Store.Not(refused)
		can := s.Store.And(offered, s.Valid(rules.Free, offered)) != diagram.False
		if can == (m.AlwaysRefused != "") {
			t.Errorf("%s: %s is offered in some case: %v, always refused: %q", m.Pos, m.ID, can, m.AlwaysRefused)
		}
		if m.LastResort && refused != diagram.False {
			t.Errorf("%s: the last resort %s can be ruled out", m.Pos, m.ID)
		}
	}
}

func TestSources(t *testing.T) {
	b := load(t)
	used := map[string]bool{}
	use := func(what string, pos rules.Pos, ids []string) {
		if len(ids) == 0 {
			t.Errorf("%s: %s has no source", pos, what)
		}
		for _, id := range ids {
			used[id] = true
		}
	}
	for _, f := range b.Facts {
		if f.FindOut != "" {
			use(f.ID, f.Pos, f.Sources)
		}
	}
	for _, m := range b.Methods {
		use(m.ID, m.Pos, m.Sources)
	}
	for _, r := range b.Rules {
		use(r.ID, r.Pos, r.Sources)
	}
	for _, tb := range b.Tables {
		for _, c := range tb.Cells {
			use(tb.ID+"/"+c.ID, c.Pos, c.Sources)
		}
	}
	for _, c := range b.Constraints {
		use(c.ID, c.Pos, c.Sources)
	}
	for _, p := range b.Promises {
		use(p.ID, p.Pos, p.Sources)
	}
	for _, n := range b.Notes {
		use(n.ID, n.Pos, n.Sources)
	}
	for _, l := range b.Limits {
		use(l.ID, l.Pos, l.Sources)
	}
	for _, n := range b.Terms {
		use(n.ID, n.Pos, n.Sources)
	}
	for _, c := range b.Coefficients {
		use(c.ID, c.Pos, c.Sources)
	}
	if b.Stages != nil {
		for _, n := range b.Stages.NotAfter {
			use("not_after", b.Stages.Pos, n.Sources)
		}
	}
	for _, c := range loadCases(t, b) {
		used[c.Source] = true
	}
	at := map[string]rules.Pos{}
	for _, s := range b.Sources {
		if first, twice := at[s.ID]; twice {
			t.Errorf("%s: the source %s stands at %s already", s.Pos, s.ID, first)
		}
		at[s.ID] = s.Pos
		if !used[s.ID] {
			t.Errorf("%s: nothing rests on the source %s", s.Pos, s.ID)
		}
	}
}

// Ids are what people quote: no two statements of a kind share one.
func TestIdsAreUnique(t *testing.T) {
	b := load(t)
	at := map[string]rules.Pos{}
	once := func(what, id string, pos rules.Pos) {
		if first, twice := at[what+id]; twice {
			t.Errorf("%s: the %s %s stands at %s already", pos, what, id, first)
		}
		at[what+id] = pos
	}
	for _, r := range b.Rules {
		if r.Cell == "" {
			once("rule", r.ID, r.Pos)
		}
	}
	for _, c := range b.Constraints {
		once("constraint", c.ID, c.Pos)
	}
	for _, p := range b.Promises {
		once("promise", p.ID, p.Pos)
	}
	for _, tb := range b.Tables {
		once("table", tb.ID, tb.Pos)
	}
	for _, n := range b.Terms {
		once("term", n.ID, n.Pos)
	}
	// What a condition can name has one meaning.
	for _, f := range b.Facts {
		for _, id := range []string{f.ID, f.First, f.Last} {
			if id != "" {
				once("name in conditions", id, f.Pos)
			}
		}
	}
	for _, f := range b.Findings {
		once("name in conditions", f.ID, f.Pos)
	}
	for _, g := range b.Groups {
		if g.Of != "method" {
			once("name in conditions", g.ID, g.Pos)
		}
	}
	// A cell that cautions lends its id to the caution.
	for _, tb := range b.Tables {
		for _, c := range tb.Cells {
			if tb.Values[c.Is] == "caution" {
				once("caution", c.ID, c.Pos)
			}
		}
	}
	for _, n := range b.Notes {
		first, known := at["caution"+n.ID]
		if n.Kind == rules.Caution && known && n.Pos != first {
			t.Errorf("%s: a table cell has the id of the caution %s", first, n.ID)
		}
	}
}

// What a blank means by default is never what a constraint forbids by itself.
func TestDefaultsCanStand(t *testing.T) {
	b := load(t)
	s, err := b.Compile(nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	if !s.Occurs(rules.Defaults, diagram.True) {
		t.Fatal("the values of the blanks cannot stand together")
	}
}

// The short walk of a ranking ends at the method for which all functions of being first are True.
func TestRankingAgreesWithFirst(t *testing.T) {
	b := load(t)
	s, err := b.Compile(nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	ranking, err := b.Ranking()
	if err != nil {
		t.Fatal(err)
	}
	d := newDrawer(t, b, s)
	r := rand.New(rand.NewPCG(29, 31))
	ways := map[*rules.Method][][]diagram.Node{}
	for range 2000 {
		c := d.draw(r).values
		first := ranking.First(c)
		if ways[first] == nil {
			ways[first] = s.First(first, diagram.True)
		}
		if !slices.ContainsFunc(ways[first], func(way []diagram.Node) bool {
			return !slices.ContainsFunc(way, func(n diagram.Node) bool { return s.Store.Eval(n, c) == 0 })
		}) {
			t.Errorf("%s is not first in a case", first.ID)
		}
	}
}
