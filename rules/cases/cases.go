// Package cases reads case files and checks a rule base against them: situations with what a published source, or
// common practice, says should come out.
package cases

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"patchfirst/rules"
	"patchfirst/rules/source"
)

// Case is a situation with what is expected of the decision. Facts that Given leaves out are blank.
type Case struct {
	Title    string
	Source   string // the id of a source, or one of the markers
	Where    string // the place in the source
	Note     string
	Given    rules.Answers
	Expect   Expect
	Pos      rules.Pos
	Document string
}

// Expect lists what must come out. Empty fields expect nothing.
type Expect struct {
	First    []string // the first choice is one of these
	NotFirst []string
	Offered  []string                    // under conditions or not
	RuledOut []string                    // firmly, or until something is known
	Notes    map[rules.NoteKind][]string // on some method that is offered
	Findings map[string]string           // at their highest
}

var noteKeys = map[string]rules.NoteKind{"cautions": rules.Caution, "steps": rules.Step, "holds": rules.Hold, "refers": rules.Refer}

// ReadFS reads every .yaml file of a folder. All mistakes are returned together.
func ReadFS(b *rules.Base, fsys fs.FS, name string) ([]Case, error) {
	paths, err := fs.Glob(fsys, "*.yaml")
	if err != nil || len(paths) == 0 {
		return nil, fmt.Errorf("%s holds no .yaml files: there are no cases in it", name)
	}
	var all []Case
	var problems rules.Problems
	for _, p := range paths {
		data, err := fs.ReadFile(fsys, p)
		if err != nil {
			return nil, err
		}
		cases, bad := Read(b, path.Join(name, p), data)
		all = append(all, cases...)
		problems = append(problems, bad...)
	}
	return all, problems.Err()
}

// Read reads one case file.
func Read(b *rules.Base, file string, data []byte) ([]Case, rules.Problems) {
	d := source.Parse(file, data)
	if d.Root == nil {
		return nil, d.Problems
	}
	var cases []Case
	for _, n := range d.Items(d.Root, "a case file") {
		if o := d.Object(n, "a case", Keys...); o != nil {
			cases = append(cases, ReadCase(b, o))
		}
	}
	return cases, d.Problems
}

// Keys are those that an entry of a case file may have. The first five are the case; the others make a lesson of it, and
// whoever teaches reads them.
var Keys = []string{"case", "source", "note", "given", "expect", "lesson", "level", "story", "teaches", "exercises"}

// ReadCase reads an entry that was checked to have only known keys. What is wrong with it is noted in its document.
func ReadCase(b *rules.Base, o *source.Object) Case {
	c := Case{Title: o.Need("case"), Note: o.Text("note"), Pos: o.Doc.Pos(o.Node)}
	c.Given, _ = source.Answers(b, o.Doc, o.Get("given"))
	readSource(b, o, &c)
	readExpect(b, o, &c)
	return c
}

func readSource(b *rules.Base, o *source.Object, c *Case) {
	n := o.Get("source")
	switch {
	case n == nil:
		o.Doc.Fail(o.Node, "Add source: {id: ..., where: ...}, or source: common practice, from memory or invented.", "a case names its source")
	case n.Kind == yaml.ScalarNode:
		c.Source = o.Word("source", rules.CommonPractice, rules.FromMemory, "invented")
	default:
		s := o.Doc.Object(n, "a source", "id", "where", "row")
		if s == nil {
			return
		}
		c.Source, c.Where = s.Need("id"), s.Text("where")
		if c.Source != "" && !slices.ContainsFunc(b.Sources, func(known *rules.Source) bool { return known.ID == c.Source }) {
			o.Doc.Fail(s.Place("id"), "", "there is no source %q", c.Source)
		}
	}
}

func readExpect(b *rules.Base, o *source.Object, c *Case) {
	n := o.Get("expect")
	if n == nil {
		o.Doc.Fail(o.Node, "Add expect: {...}.", "the case expects nothing")
		return
	}
	e := o.Doc.Object(n, "expect", "first", "not_first", "offered", "ruled_out", "cautions", "steps", "holds", "refers", "findings")
	if e == nil {
		return
	}
	for key, into := range map[string]*[]string{"first": &c.Expect.First, "not_first": &c.Expect.NotFirst, "offered": &c.Expect.Offered, "ruled_out": &c.Expect.RuledOut} {
		*into = e.List(key)
		for _, id := range *into {
			if b.Method(id) == nil {
				o.Doc.Fail(e.Place(key), rules.DidYouMean(id, b.MethodNames()), "there is no method %q", id)
			}
		}
	}
	c.Expect.Notes = map[rules.NoteKind][]string{}
	for key, kind := range noteKeys {
		for _, id := range e.List(key) {
			if b.Note(kind, id) == nil {
				o.Doc.Fail(e.Place(key), "", "there is no %s %q", kind, id)
			}
			c.Expect.Notes[kind] = append(c.Expect.Notes[kind], id)
		}
	}
	if f := e.Get("findings"); f != nil {
		c.Expect.Findings = map[string]string{}
		levels := o.Doc.Object(f, "findings")
		if levels == nil {
			return
		}
		for _, id := range levels.Keys() {
			finding := b.Finding(id)
			if finding == nil {
				o.Doc.Fail(levels.Key(id), "", "there is no finding %q", id)
				continue
			}
			c.Expect.Findings[id] = levels.Word(id, finding.Scale...)
		}
	}
}

// Failure is an expectation that did not hold, with the line of the trace that decided it.
type Failure struct {
	Case *Case
	What string
	Why  string
}

func (f Failure) String() string {
	return fmt.Sprintf("%s: %s\n    %s\n    because: %s", f.Case.Pos, f.Case.Title, f.What, f.Why)
}

// Run decides a case and checks its expectations. prepare completes the answers, for instance with figures; nil leaves
// them as they are.
func Run(b *rules.Base, c *Case, prepare func(rules.Answers) rules.Answers) ([]Failure, error) {
	given := c.Given
	if prepare != nil {
		given = prepare(given)
	}
	d, contradiction, err := b.Decide(given)
	if err != nil {
		return nil, err
	}
	if contradiction != nil {
		return []Failure{{c, "the situation cannot occur", contradiction.Error()}}, nil
	}
	var failures []Failure
	fail := func(why, format string, args ...any) {
		failures = append(failures, Failure{c, fmt.Sprintf(format, args...), why})
	}
	outcome := func(id string) *rules.Outcome { return d.Methods[b.Method(id).Rank] }
	first := d.First.Method.ID
	if e := c.Expect.First; len(e) > 0 && !slices.Contains(e, first) {
		var why []string
		for _, id := range e {
			why = append(why, outcome(id).Why())
		}
		fail(d.First.Why()+"; "+strings.Join(why, "; "), "the first choice is %s, not %s", first, strings.Join(e, " or "))
	}
	if slices.Contains(c.Expect.NotFirst, first) {
		fail(d.First.Why(), "the first choice is %s, which was not to be first", first)
	}
	for _, id := range c.Expect.Offered {
		if o := outcome(id); !o.Verdict.Offered() {
			fail(o.Why(), "%s is not offered", id)
		}
	}
	for _, id := range c.Expect.RuledOut {
		if o := outcome(id); o.Verdict != rules.RuledOut {
			fail(o.Why(), "%s is not ruled out", id)
		}
	}
	for kind, ids := range c.Expect.Notes {
		for _, id := range ids {
			if !slices.ContainsFunc(d.Methods, func(o *rules.Outcome) bool { return o.Has(kind, id) }) {
				fail(d.First.Why(), "no method that is offered has the %s %s", kind, id)
			}
		}
	}
	for id, level := range c.Expect.Findings {
		for _, l := range d.Findings {
			if got := l.Finding.Scale[l.Max]; l.Finding.ID == id && got != level {
				var why []string
				for _, r := range l.Rules {
					why = append(why, r.ID)
				}
				fail(strings.Join(append(why, "nothing else raises it"), ", "), "%s is %s, not %s", id, got, level)
			}
		}
	}
	slices.SortFunc(failures, func(x, y Failure) int { return strings.Compare(x.What, y.What) })
	return failures, nil
}

// Met reports whether all that the case expects comes out, without saying why not.
func (c *Case) Met(b *rules.Base, o *rules.Outline) bool {
	e := c.Expect
	first := func(id string) bool { return b.Method(id) == o.First() }
	if len(e.First) > 0 && !slices.ContainsFunc(e.First, first) || slices.ContainsFunc(e.NotFirst, first) {
		return false
	}
	verdict := func(id string) rules.Verdict { return o.Verdict(b.Method(id).Rank) }
	if slices.ContainsFunc(e.Offered, func(id string) bool { return !verdict(id).Offered() }) ||
		slices.ContainsFunc(e.RuledOut, func(id string) bool { return verdict(id) != rules.RuledOut }) {
		return false
	}
	for kind, ids := range e.Notes {
		if slices.ContainsFunc(ids, func(id string) bool { return !o.Has(kind, id) }) {
			return false
		}
	}
	for id, level := range e.Findings {
		if f := b.Finding(id); f.Scale[o.Level(f)] != level {
			return false
		}
	}
	return true
}
