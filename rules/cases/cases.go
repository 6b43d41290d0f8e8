// Package cases reads case files and checks a rule base against them: situations with what a published source, or
// common practice, says should come out.
package cases

import (
	"fmt"
	"io/fs"
	"maps"
	"path"
	"slices"

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
	// Verdicts lists methods by the verdict that they have, other than ruled out.
	Verdicts map[rules.Verdict][]string
	// With and Without list, by method, notes of any kind that an offered method has, and that it has not.
	With, Without map[string][]string
}

var verdictKeys = map[string]rules.Verdict{"favoured": rules.Favoured, "possible": rules.Possible, "discouraged": rules.Discouraged, "no_use": rules.NoUse}

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
			c := ReadCase(b, o)
			cases = append(append(cases, c), variants(b, o, c)...)
		}
	}
	return cases, d.Problems
}

// variants reads what stands below a case for the same situation with some other answers.
func variants(b *rules.Base, o *source.Object, c Case) (all []Case) {
	for i, n := range o.Doc.Items(o.Get("variants"), "variants") {
		v := o.Doc.Object(n, "a variant", "given", "expect", "source", "note")
		if v == nil {
			continue
		}
		twin := Case{Title: fmt.Sprintf("%s, variant %d", c.Title, i+1), Source: c.Source, Where: c.Where, Note: v.Text("note"), Pos: o.Doc.Pos(n), Given: maps.Clone(c.Given)}
		if v.Get("source") != nil {
			readSource(b, v, &twin)
		}
		other, notKnown := source.Answers(b, o.Doc, v.Get("given"))
		maps.Copy(twin.Given, other)
		for fact := range notKnown {
			delete(twin.Given, fact)
		}
		readExpect(b, v, &twin)
		all = append(all, twin)
	}
	return all
}

// Keys are those that an entry of a case file may have. The first six are the case; the others make a lesson of it, and
// whoever teaches reads them.
var Keys = []string{"case", "source", "note", "given", "expect", "variants", "lesson", "level", "story", "teaches", "exercises"}

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
	e := o.Doc.Object(n, "expect", "first", "not_first", "offered", "ruled_out", "cautions", "steps", "holds", "refers", "findings", "favoured", "possible", "discouraged", "no_use", "with", "without")
	if e == nil {
		return
	}
	for key, into := range map[string]*[]string{"first": &c.Expect.First, "not_first": &c.Expect.NotFirst, "offered": &c.Expect.Offered, "ruled_out": &c.Expect.RuledOut} {
		*into = methods(b, e, key)
	}
	c.Expect.Verdicts = map[rules.Verdict][]string{}
	for key, verdict := range verdictKeys {
		if ids := methods(b, e, key); ids != nil {
			c.Expect.Verdicts[verdict] = ids
		}
	}
	c.Expect.With, c.Expect.Without = readWith(b, e, "with"), readWith(b, e, "without")
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

// methods reads a list of methods.
func methods(b *rules.Base, e *source.Object, key string) []string {
	ids := e.List(key)
	for _, id := range ids {
		if b.Method(id) == nil {
			e.Doc.Fail(e.Place(key), rules.DidYouMean(id, b.MethodNames()), "there is no method %q", id)
		}
	}
	return ids
}

// readWith reads lists of notes by method.
func readWith(b *rules.Base, e *source.Object, key string) map[string][]string {
	n := e.Get(key)
	if n == nil {
		return nil
	}
	o := e.Doc.Object(n, key)
	if o == nil {
		return nil
	}
	by := map[string][]string{}
	for _, id := range o.Keys() {
		if b.Method(id) == nil {
			e.Doc.Fail(o.Key(id), rules.DidYouMean(id, b.MethodNames()), "there is no method %q", id)
			continue
		}
		by[id] = o.List(id)
		for _, note := range by[id] {
			if !slices.ContainsFunc(b.Notes, func(n *rules.Note) bool { return n.ID == note }) {
				e.Doc.Fail(o.Place(id), "", "there is no caution, step, hold or refer %q", note)
			}
		}
	}
	return by
}
