package knowledge_test

import (
	"fmt"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/fstest"

	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/vm"

	"patchfirst/knowledge"
	"patchfirst/knowledge/figures"
	"patchfirst/rules"
	"patchfirst/rules/cases"
	"patchfirst/rules/diagram"
	"patchfirst/rules/source"
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

// place is the answer to a question of the diagrams that stands for an answer to a fact.
type place struct {
	v     diagram.Var
	value uint8
	ok    bool // not ok: the question has one value only
}

// drawer draws complete cases. It learns which questions of the diagrams stand for what from compiling comparisons.
type drawer struct {
	b      *rules.Base
	vars   int
	values map[*rules.Fact][]place // by value; of a number one place, whose value is its first cell
	ends   map[string][]place      // by value of the list, and last for none
}

func newDrawer(t testing.TB, b *rules.Base, s *rules.Space) *drawer {
	look := func(format string, args ...any) place {
		text := fmt.Sprintf(format, args...)
		c, problems := b.Parse(text, func(int) rules.Pos { return rules.Pos{File: text} })
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		n := s.Node(c)
		if diagram.IsLeaf(n) {
			return place{}
		}
		return place{s.Store.Var(n), uint8(slices.Index(s.Store.Kids(n), diagram.True)), true}
	}
	d := &drawer{b, s.Store.Vars(), map[*rules.Fact][]place{}, map[string][]place{}}
	for _, f := range b.Facts {
		if f.Kind == rules.Number {
			d.values[f] = []place{look("%s >= %g", f.ID, f.Sample(f.Cell(math.Inf(1))))}
		}
		for _, v := range f.Values {
			if f.Kind == rules.Several {
				d.values[f] = append(d.values[f], look("%q in %s", v.ID, f.ID))
			} else {
				d.values[f] = append(d.values[f], look("%s == %q", f.ID, v.ID))
			}
		}
		for _, end := range []string{f.First, f.Last} {
			if end == "" {
				continue
			}
			for _, v := range b.Fact(end).Values {
				d.ends[end] = append(d.ends[end], look("%s == %q", end, v.ID))
			}
		}
	}
	return d
}

// complete is a complete case, as the diagrams and as expr take it.
type complete struct {
	values []uint8
	env    map[string]any
}

func (d *drawer) draw(r *rand.Rand) complete {
	c := complete{make([]uint8, d.vars), map[string]any{}}
	set := func(at place, value uint8) {
		if at.ok {
			c.values[at.v] = value
		}
	}
	for _, f := range d.b.Facts {
		at := d.values[f]
		switch f.Kind {
		case rules.Choice:
			i := r.IntN(len(f.Values))
			set(at[i], at[i].value)
			c.env[f.ID] = f.Values[i].ID
		case rules.Number:
			cell := r.IntN(f.Cell(math.Inf(1)) + 1)
			set(at[0], uint8(cell))
			c.env[f.ID] = f.Sample(cell)
		case rules.Several:
			most := len(f.Values)
			if f.Most > 0 {
				most = f.Most
			}
			chosen := r.Perm(len(f.Values))[:r.IntN(most+1)]
			list := make([]string, len(chosen))
			for k, i := range chosen {
				list[k] = f.Values[i].ID
				set(at[i], at[i].value)
			}
			c.env[f.ID] = list
			for _, end := range []string{f.First, f.Last} {
				if end == "" {
					continue
				}
				i := len(f.Values)
				if len(chosen) > 0 {
					i = chosen[r.IntN(len(chosen))]
				}
				set(d.ends[end][i], d.ends[end][i].value)
				c.env[end] = d.b.Fact(end).Values[i].ID
			}
		}
	}
	for _, g := range d.b.Groups {
		if g.Of != "method" {
			c.env[g.ID] = g.Is
		}
	}
	for _, f := range d.b.Findings {
		c.env[f.ID] = 0
	}
	return c
}

// ranked writes the levels of findings in a condition as their ranks, as expr compares text by its letters.
func ranked(c *rules.Cond) string {
	runes := []rune(c.Text)
	var spans []*rules.Test
	c.Walk(func(t *rules.Test) {
		if t.Op == rules.OpLevel {
			spans = append(spans, t)
		}
	})
	slices.SortFunc(spans, func(a, b *rules.Test) int { return b.From - a.From })
	for _, t := range spans {
		comparison := string(runes[t.From:t.To])
		for _, quote := range []string{`"`, `'`} {
			comparison = strings.Replace(comparison, quote+t.Finding.Scale[t.Level]+quote, fmt.Sprint(t.Level), 1)
		}
		runes = slices.Concat(runes[:t.From], []rune(comparison), runes[t.To:])
	}
	return string(runes)
}

// byNeed orders the findings so that each comes after those that its rules read.
func byNeed(b *rules.Base) (ordered []*rules.Finding) {
	var visit func(*rules.Finding)
	visit = func(f *rules.Finding) {
		if slices.Contains(ordered, f) {
			return
		}
		for _, r := range b.Rules {
			if _, raises := r.Raises[f.ID]; raises {
				r.When.Walk(func(t *rules.Test) {
					if t.Finding != nil {
						visit(t.Finding)
					}
				})
			}
		}
		ordered = append(ordered, f)
	}
	for _, f := range b.Findings {
		visit(f)
	}
	return ordered
}

// Every condition of the base, by the diagrams and by expr, on many complete cases.
func TestDiagramsAgreeWithExpr(t *testing.T) {
	count := 100_000
	if testing.Short() {
		count = 3_000
	}
	b := load(t)
	s, err := b.Compile(nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	d := newDrawer(t, b, s)
	sample := d.draw(rand.New(rand.NewPCG(11, 13))).env
	programs := make([]*vm.Program, len(b.Rules))
	for i, rule := range b.Rules {
		if rule.When == nil {
			continue
		}
		if programs[i], err = expr.Compile(ranked(rule.When), expr.Env(sample), expr.AsBool()); err != nil {
			t.Fatalf("%s: %v", rule.Pos, err)
		}
	}
	findings := byNeed(b)
	fired := make([]atomic.Bool, len(b.Rules))
	check := func(machine *vm.VM, c complete) bool {
		holds := func(i int) bool {
			if programs[i] == nil {
				return true
			}
			v, err := machine.Run(programs[i], c.env)
			if err != nil {
				t.Errorf("%s: %v", b.Rules[i].Pos, err)
			}
			return v == true
		}
		for _, f := range findings {
			level := 0
			for i, rule := range b.Rules {
				if to, raises := rule.Raises[f.ID]; raises && holds(i) {
					level = max(level, slices.Index(f.Scale, to))
				}
			}
			c.env[f.ID] = level
			for k := 1; k < len(f.Scale); k++ {
				if got := s.Store.Eval(s.Finding(f, k), c.values) == 1; got != (level >= k) {
					t.Errorf("the diagrams say of %s >= %s %v, expr says the level is %s, in %v", f.ID, f.Scale[k], got, f.Scale[level], c.env)
					return false
				}
			}
		}
		for i, rule := range b.Rules {
			want := holds(i)
			if got := s.Store.Eval(s.Rule(i), c.values) == 1; got != want {
				t.Errorf("%s: %s fires by the diagrams: %v, by expr: %v, in %v", rule.Pos, rule.ID, got, want, c.env)
				return false
			}
			if want {
				fired[i].Store(true)
			}
		}
		return true
	}
	var work sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		r := rand.New(rand.NewPCG(11, uint64(w)))
		work.Go(func() {
			machine := &vm.VM{}
			for i := w; i < count && check(machine, d.draw(r)); i += workers {
			}
		})
	}
	work.Wait()
	never := 0
	for i := range fired {
		if !fired[i].Load() {
			never++
		}
	}
	if never > len(fired)/10 {
		t.Errorf("%d of %d rules fired in no case: the cases say too little", never, len(fired))
	}
}

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

// The short walk of a ranking ends at the method for which all functions of being first are True.
func TestRankingAgreesWithFirst(t *testing.T) {
	b := load(t)
	s, err := b.Compile(nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	ranking, d := s.Ranking(), newDrawer(t, b, s)
	r := rand.New(rand.NewPCG(29, 31))
	ways := map[*rules.Method][][]diagram.Node{}
	for range 2000 {
		c := d.draw(r).values
		first := ranking.First(c)
		if ways[first] == nil {
			ways[first] = s.First(first)
		}
		if !slices.ContainsFunc(ways[first], func(way []diagram.Node) bool {
			return !slices.ContainsFunc(way, func(n diagram.Node) bool { return s.Store.Eval(n, c) == 0 })
		}) {
			t.Errorf("%s is not first in a case", first.ID)
		}
	}
}

func BenchmarkDecideComplete(b *testing.B) {
	base := load(b)
	s, err := base.Compile(nil, 0)
	if err != nil {
		b.Fatal(err)
	}
	d := newDrawer(b, base, s)
	r := rand.New(rand.NewPCG(19, 23))
	drawn := make([][]uint8, 256)
	for i := range drawn {
		drawn[i] = d.draw(r).values
	}
	ranking := s.Ranking()
	i := 0
	for b.Loop() {
		if ranking.First(drawn[i%len(drawn)]) == nil {
			b.Fatal("no method")
		}
		i++
	}
}

// BenchmarkDecide decides a published case as it stands, with most questions blank.
func BenchmarkDecide(b *testing.B) {
	base := load(b)
	given := loadCases(b, base)[0].Given
	for b.Loop() {
		if _, contradiction, err := base.Decide(given); err != nil || contradiction != nil {
			b.Fatal(contradiction, err)
		}
	}
}

// BenchmarkOpen lists what is still worth asking when nothing is known.
func BenchmarkOpen(b *testing.B) {
	base := load(b)
	for b.Loop() {
		if _, contradiction, err := base.Open(nil); err != nil || contradiction != nil {
			b.Fatal(contradiction, err)
		}
	}
}

// BenchmarkCompile compiles the whole space.
func BenchmarkCompile(b *testing.B) {
	base := load(b)
	for b.Loop() {
		if _, err := base.Compile(nil, 0); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkDecideCases decides every published case.
func BenchmarkDecideCases(b *testing.B) {
	base := load(b)
	all := loadCases(b, base)
	for b.Loop() {
		for _, c := range all {
			if _, contradiction, err := base.Decide(c.Given); err != nil || contradiction != nil {
				b.Fatal(contradiction, err)
			}
		}
	}
}

// BenchmarkDecideSparse decides a part of which nothing but its site is known.
func BenchmarkDecideSparse(b *testing.B) {
	base := load(b)
	given := rules.Answers{"jurisdiction": {Values: []string{"uk"}}, "built": {Lo: 1890, Hi: 1890}, "use": {Values: []string{"dwelling"}}, "protected": {Values: []string{"old"}}, "children": {Values: []string{"yes"}}, "worker": {Values: []string{"householder"}}}
	for b.Loop() {
		if _, contradiction, err := base.Decide(given); err != nil || contradiction != nil {
			b.Fatal(contradiction, err)
		}
	}
}

// BenchmarkWhy finds the reason of every verdict of the published cases, in turn.
func BenchmarkWhy(b *testing.B) {
	base := load(b)
	reasoner, err := base.Reasoner()
	if err != nil {
		b.Fatal(err)
	}
	type question struct {
		given rules.Answers
		of    rules.Conclusion
	}
	var questions []question
	for _, c := range loadCases(b, base) {
		d, contradiction, err := base.Decide(c.Given)
		if err != nil || contradiction != nil {
			b.Fatal(contradiction, err)
		}
		for _, o := range d.Methods {
			if o.Verdict != rules.Possible {
				questions = append(questions, question{c.Given, reasoner.Verdict(o.Method, o.Verdict)})
			}
		}
	}
	i := 0
	for b.Loop() {
		q := questions[i%len(questions)]
		reasoner.Why(q.given, q.of)
		i++
	}
}

// BenchmarkNearest finds the nearest change for every method that a published case rules out, in turn.
func BenchmarkNearest(b *testing.B) {
	base := load(b)
	reasoner, err := base.Reasoner()
	if err != nil {
		b.Fatal(err)
	}
	type question struct {
		given rules.Answers
		m     *rules.Method
	}
	var questions []question
	for _, c := range loadCases(b, base) {
		d, contradiction, err := base.Decide(c.Given)
		if err != nil || contradiction != nil {
			b.Fatal(contradiction, err)
		}
		for _, o := range d.Methods {
			if !o.Verdict.Offered() {
				questions = append(questions, question{c.Given, o.Method})
			}
		}
	}
	i := 0
	for b.Loop() {
		q := questions[i%len(questions)]
		if _, err := reasoner.Nearest(q.given, q.m); err != nil {
			b.Fatal(err)
		}
		i++
	}
}
