package source

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"

	"gopkg.in/yaml.v3"

	"patchfirst/rules"
)

// Figures says which facts a figure function reads, by the function's name.
type Figures map[string][]string

// Base reads every .yaml file of a folder as one rule base, and binds it. All mistakes are returned together, as
// rules.Problems. name stands before the file names in messages.
func Base(fsys fs.FS, name string, figures Figures) (*rules.Base, error) {
	paths, err := fs.Glob(fsys, "*.yaml")
	if err != nil || len(paths) == 0 {
		return nil, fmt.Errorf("%s holds no .yaml files: it is no rule base", name)
	}
	slices.Sort(paths)
	r := &reader{base: &rules.Base{}, figures: figures}
	digest := sha256.New()
	r.docs = make([]*Document, len(paths))
	var parsing sync.WaitGroup
	for i, p := range paths {
		data, err := fs.ReadFile(fsys, p)
		if err != nil {
			return nil, fileError(path.Join(name, p), err)
		}
		fmt.Fprintf(digest, "%s\n%d\n", p, len(data))
		digest.Write(data)
		parsing.Go(func() { r.docs[i] = Parse(path.Join(name, p), data) })
	}
	parsing.Wait()
	r.base.Digest = hex.EncodeToString(digest.Sum(nil))[:16]
	return r.read()
}

type reader struct {
	base    *rules.Base
	docs    []*Document
	figures Figures
	later   []func() // what needs the facts, methods and notes of all files
}

// entry says how an entry of the base is read: its first key names its kind.
type entry struct {
	keys []string
	read func(r *reader, o *Object)
}

var entries = map[string]entry{
	"version":    {nil, (*reader).version},
	"fact":       {[]string{"topic", "scope", "ask", "why", "find_out", "type", "most", "values", "unit", "from", "to", "step", "blank", "change", "applies", "else", "order", "first", "last", "at_least_when", "sources"}, (*reader).fact},
	"group":      {[]string{"of", "is"}, (*reader).group},
	"finding":    {[]string{"label", "scale"}, (*reader).finding},
	"method":     {[]string{"label", "about", "needs", "competence", "time", "dust", "fume", "mess", "keeps", "always_refused", "last_resort", "sources"}, (*reader).method},
	"rule":       {[]string{"when", "rule_out", "no_use", "discourage", "favour", "raise", "caution", "step", "hold", "refer", "with", "because", "sources"}, (*reader).rule},
	"table":      {[]string{"rows", "columns", "values", "ranks", "cells"}, (*reader).table},
	"constraint": {[]string{"never", "because", "sources"}, (*reader).constraint},
	"promise":    {[]string{"when", "never_offered", "never_first", "always_with", "caution", "step", "hold", "refer", "because", "sources"}, (*reader).promise},
	"caution":    {[]string{"gravity", "say", "do", "sources"}, (*reader).note},
	"step":       {[]string{"stage", "say", "sources"}, (*reader).note},
	"hold":       {[]string{"stage", "say", "sources"}, (*reader).note},
	"refer":      {[]string{"say", "meanwhile", "sources"}, (*reader).note},
	"stages":     {[]string{"table", "takes", "not_after"}, (*reader).stages},
	"source":     {[]string{"body", "title", "where", "year", "read"}, (*reader).source},
	"term":       {[]string{"say", "also", "sources"}, (*reader).term},
}

func (r *reader) read() (*rules.Base, error) {
	kinds := make([]string, 0, len(entries))
	for k := range entries {
		kinds = append(kinds, k)
	}
	slices.Sort(kinds)
	for _, d := range r.docs {
		if d.Root == nil {
			continue
		}
		for _, n := range d.Items(d.Root, "a file of a rule base") {
			if n.Kind != yaml.MappingNode || len(n.Content) == 0 {
				d.Fail(n, "Begin it with its kind, such as rule: some-id.", "an entry must be a list of keys and values")
				continue
			}
			kind := n.Content[0].Value
			e, ok := entries[kind]
			if !ok {
				d.Fail(n.Content[0], rules.DidYouMean(kind, kinds), "there is no kind of entry %q", kind)
				continue
			}
			if o := d.Object(n, "a "+kind, append([]string{kind}, e.keys...)...); o.Need(kind) != "" {
				e.read(r, o)
			}
		}
	}
	if problems := r.problems(); len(problems) > 0 {
		return nil, problems
	}
	r.addAll(r.base.Index())
	if problems := r.problems(); len(problems) > 0 {
		return nil, problems
	}
	for _, f := range r.later {
		f()
	}
	if problems := r.problems(); len(problems) > 0 {
		return nil, problems
	}
	r.addAll(r.base.Bind())
	if problems := r.problems(); len(problems) > 0 {
		return nil, problems
	}
	return r.base, nil
}

func (r *reader) problems() (all rules.Problems) {
	for _, d := range r.docs {
		all = append(all, d.Problems...)
	}
	all.Sort()
	return all
}

// addAll gives mistakes found by the rules to the documents they stand in.
func (r *reader) addAll(problems rules.Problems) {
	for _, p := range problems {
		for _, d := range r.docs {
			if d.File == p.Pos.File {
				d.Add(p)
			}
		}
	}
}

func (r *reader) version(o *Object) { r.base.Version = o.Text("version") }

func (r *reader) fact(o *Object) {
	f := &rules.Fact{
		ID: o.Text("fact"), Topic: o.Text("topic"), Scope: o.Word("scope", "site", "element"),
		Ask: o.Text("ask"), Why: o.Text("why"), FindOut: o.Text("find_out"),
		Most: int(o.Number("most", 0)), Unit: o.Text("unit"), Step: o.Number("step", 1),
		Blank: o.Need("blank"), Change: "never", Order: o.Text("order"), First: o.Text("first"), Last: o.Text("last"),
		Sources: o.List("sources"), Pos: o.Doc.Pos(o.Node),
	}
	if o.Get("change") != nil {
		f.Change = o.Word("change", "never", "test", "arrange")
	}
	switch o.Word("type", "choice", "several", "yesno", "number", "year") {
	case "yesno":
		f.YesNo = true
		f.Values = []rules.Value{{ID: "no", Label: "no"}, {ID: "yes", Label: "yes"}}
	case "several":
		f.Kind = rules.Several
	case "number":
		f.Kind = rules.Number
	case "year":
		f.Kind, f.Year = rules.Number, true
	}
	if f.Kind == rules.Number {
		r.numberFact(o, f)
	} else if !f.YesNo {
		r.valueList(o, f)
	}
	if f.Asked() && f.Ask == "" {
		o.Doc.Fail(o.Node, "Add ask: ...", "the question %q has no words", f.ID)
	}
	if f.FindOut != "" {
		r.sources(o)
	}
	if f.Blank != "" && f.Blank != rules.Refuses && f.Blank != rules.Condition && (f.Kind != rules.Choice || !f.Has(f.Blank)) {
		o.Doc.Fail(o.Place("blank"), "Write refuses, condition, or one of the values of a choice.", "%q cannot stand for a blank answer to %q", f.Blank, f.ID)
	}
	if (o.Get("applies") == nil) != (o.Get("else") == nil) {
		o.Doc.Fail(o.Node, "Write both, or neither.", "applies and else belong together")
	} else if e := o.Get("else"); e != nil {
		r.elseValue(o, f, e)
	}
	r.base.Facts = append(r.base.Facts, f)
	r.later = append(r.later, func() {
		f.Applies = r.cond(o, "applies")
		f.AtLeastWhen = r.cond(o, "at_least_when")
		for _, in := range f.Inputs {
			if r.base.Fact(in) == nil {
				o.Doc.Fail(o.Place("from"), "", "the figure %q reads %q, which is no fact", f.Figure, in)
			}
		}
	})
}

func (r *reader) numberFact(o *Object, f *rules.Fact) {
	from := o.Get("from")
	if from != nil && from.Tag == "!!str" {
		inputs, ok := r.figures[from.Value]
		if !ok {
			var names []string
			for n := range r.figures {
				names = append(names, n)
			}
			slices.Sort(names)
			o.Doc.Fail(from, rules.DidYouMean(from.Value, names), "there is no figure %q", from.Value)
		}
		f.Figure, f.Inputs = from.Value, inputs
		return
	}
	o.Need("from")
	o.Need("to")
	f.From, f.To = o.Number("from", 0), o.Number("to", 0)
	if from != nil && o.Get("to") != nil && f.From >= f.To {
		o.Doc.Fail(o.Place("from"), "", "%q runs from %g to %g: that is no range", f.ID, f.From, f.To)
	}
}

func (r *reader) valueList(o *Object, f *rules.Fact) {
	values := o.Get("values")
	if values == nil || values.Kind != yaml.MappingNode || len(values.Content) == 0 {
		o.Doc.Fail(o.Node, "Add values: {id: words, ...}.", "%q has no values", f.ID)
		return
	}
	for i := 0; i+1 < len(values.Content); i += 2 {
		id := values.Content[i].Value
		switch {
		case f.Has(id):
			o.Doc.Fail(values.Content[i], "Keep one of them.", "the value %q stands here twice", id)
		case values.Content[i+1].Value == "":
			o.Doc.Fail(values.Content[i], "Write id: words. Words that hold a comma need quotes.", "the value %q has no words", id)
		case id == "?":
			o.Doc.Fail(values.Content[i], "", "the value ? is kept for answers that are not complete")
		}
		f.Values = append(f.Values, rules.Value{ID: id, Label: values.Content[i+1].Value})
	}
}

func (r *reader) elseValue(o *Object, f *rules.Fact, e *yaml.Node) {
	if f.Kind == rules.Number {
		f.ElseNumber = o.Number("else", 0)
		return
	}
	f.Else = o.Doc.Texts(e, "else")
	if f.Kind != rules.Several && len(f.Else) != 1 {
		o.Doc.Fail(e, "", "%q has one value where it does not apply", f.ID)
	}
	for _, v := range f.Else {
		if !f.Has(v) {
			ids := make([]string, len(f.Values))
			for i := range f.Values {
				ids[i] = f.Values[i].ID
			}
			o.Doc.Fail(e, rules.DidYouMean(v, ids), "%q is not a value of %q", v, f.ID)
		}
	}
}

func (r *reader) group(o *Object) {
	g := &rules.Group{ID: o.Text("group"), Of: o.Need("of"), Is: o.List("is"), Pos: o.Doc.Pos(o.Node)}
	if len(g.Is) == 0 {
		o.Doc.Fail(o.Node, "", "the group %q is empty", g.ID)
	}
	r.base.Groups = append(r.base.Groups, g)
	r.later = append(r.later, func() {
		f := r.base.Fact(g.Of)
		if f == nil && g.Of != "method" {
			o.Doc.Fail(o.Place("of"), "Name a fact, or method.", "there is no fact %q", g.Of)
			return
		}
		for i, id := range g.Is {
			if f != nil && !f.Has(id) || f == nil && r.base.Method(id) == nil {
				n := o.Get("is")
				if n.Kind == yaml.SequenceNode {
					n = n.Content[i]
				}
				o.Doc.Fail(n, "", "%q is not a %s", id, g.Of)
			}
		}
	})
}

func (r *reader) finding(o *Object) {
	f := &rules.Finding{ID: o.Text("finding"), Label: o.Need("label"), Scale: o.List("scale"), Pos: o.Doc.Pos(o.Node)}
	if len(f.Scale) < 2 {
		o.Doc.Fail(o.Node, "Write scale: [mildest, ..., gravest].", "the finding %q needs two levels or more", f.ID)
	}
	r.base.Findings = append(r.base.Findings, f)
}

func (r *reader) method(o *Object) {
	r.sources(o)
	r.base.Methods = append(r.base.Methods, &rules.Method{
		ID: o.Text("method"), Label: o.Need("label"), About: o.Text("about"), Needs: o.List("needs"), Competence: o.Text("competence"),
		Time: o.Text("time"), Dust: o.Text("dust"), Fume: o.Text("fume"), Mess: o.Text("mess"),
		Keeps: o.Flag("keeps"), AlwaysRefused: o.Text("always_refused"), LastResort: o.Flag("last_resort"),
		Sources: o.List("sources"), Pos: o.Doc.Pos(o.Node),
	})
}

func (r *reader) rule(o *Object) {
	rule := &rules.Rule{ID: o.Text("rule"), Because: o.Need("because"), Sources: r.sources(o), Pos: o.Doc.Pos(o.Node)}
	r.base.Rules = append(r.base.Rules, rule)
	r.later = append(r.later, func() {
		rule.When = r.cond(o, "when")
		effects := 0
		for key, verdict := range map[string]rules.Verdict{"rule_out": rules.RuledOut, "no_use": rules.NoUse, "discourage": rules.Discouraged, "favour": rules.Favoured} {
			if o.Get(key) == nil {
				continue
			}
			effects++
			if rule.Gives == nil {
				rule.Gives = map[rules.Verdict]rules.MethodSet{}
			}
			rule.Gives[verdict] = r.methods(o, key)
		}
		if raise := o.Get("raise"); raise != nil {
			effects++
			rule.Raises = r.raises(o, raise)
		}
		for _, kind := range rules.NoteKinds {
			ids := o.List(string(kind))
			if len(ids) == 0 {
				continue
			}
			effects++
			for _, id := range ids {
				r.knownNote(o, kind, id)
			}
			if rule.Attach == nil {
				rule.Attach = map[rules.NoteKind][]string{}
			}
			rule.Attach[kind] = ids
		}
		switch {
		case effects == 0:
			o.Doc.Fail(o.Node, "Add rule_out, no_use, discourage, favour, raise, caution, step, hold or refer.", "the rule %q does nothing", rule.ID)
		case rule.Attach == nil && o.Get("with") != nil:
			o.Doc.Fail(o.Key("with"), "", "with belongs to a caution, step, hold or refer")
		case rule.Attach != nil && o.Get("with") != nil:
			rule.With = r.methods(o, "with")
		case rule.Attach != nil:
			rule.With = 1<<len(r.base.Methods) - 1
		}
	})
}

func (r *reader) raises(o *Object, n *yaml.Node) map[string]string {
	raises := map[string]string{}
	if n.Kind != yaml.MappingNode {
		o.Doc.Fail(n, "Write raise: {finding: level}.", "raise names findings and levels")
		return raises
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		id, level := n.Content[i].Value, n.Content[i+1].Value
		f := r.base.Finding(id)
		if f == nil {
			var known []string
			for _, f := range r.base.Findings {
				known = append(known, f.ID)
			}
			o.Doc.Fail(n.Content[i], rules.DidYouMean(id, known), "there is no finding %q", id)
		} else if slices.Index(f.Scale, level) < 1 {
			o.Doc.Fail(n.Content[i+1], rules.DidYouMean(level, f.Scale[1:]), "the finding %q cannot be raised to %q", id, level)
		}
		raises[id] = level
	}
	return raises
}

func (r *reader) knownNote(o *Object, kind rules.NoteKind, id string) {
	if r.base.Note(kind, id) != nil {
		return
	}
	var known []string
	for _, n := range r.base.Notes {
		if n.Kind == kind {
			known = append(known, n.ID)
		}
	}
	o.Doc.Fail(o.Place(string(kind)), rules.DidYouMean(id, known), "there is no %s %q", kind, id)
}

func (r *reader) methods(o *Object, key string) rules.MethodSet {
	set, unknown := r.base.MethodSet(o.List(key))
	for _, u := range unknown {
		o.Doc.Fail(o.Place(key), rules.DidYouMean(u, r.base.MethodNames()), "there is no method or group of methods %q", u)
	}
	return set
}

func (r *reader) cond(o *Object, key string) *rules.Cond {
	n := o.Get(key)
	if n == nil || o.Text(key) == "" {
		return nil
	}
	c, problems := r.base.Parse(n.Value, o.Doc.at(n))
	for _, p := range problems {
		o.Doc.Add(p)
	}
	return c
}

func (r *reader) note(o *Object) {
	kind := rules.NoteKind(o.Keys()[0])
	n := &rules.Note{
		Kind: kind, ID: o.Text(string(kind)), Say: o.Need("say"), Do: o.Text("do"), Meanwhile: o.Text("meanwhile"),
		Sources: r.sources(o), Pos: o.Doc.Pos(o.Node),
	}
	switch kind {
	case rules.Caution:
		n.Gravity = o.Word("gravity", rules.Gravities...)
		o.Need("do")
	case rules.Step, rules.Hold:
		n.Stage = o.Word("stage", rules.WorkStages...)
	case rules.Refer:
		o.Need("meanwhile")
	}
	r.base.Notes = append(r.base.Notes, n)
}

func (r *reader) table(o *Object) {
	t := &rules.Table{ID: o.Text("table"), Rows: o.Need("rows"), Values: map[string]string{}, Ranks: o.Flag("ranks"), Pos: o.Doc.Pos(o.Node)}
	o.Word("columns", "method")
	if values := o.Get("values"); values != nil && values.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(values.Content); i += 2 {
			t.Values[values.Content[i].Value] = values.Content[i+1].Value
		}
	} else {
		o.Doc.Fail(o.Node, "Write values: {word: rule_out, ...}.", "the table %q has no values", t.ID)
	}
	words := make([]string, 0, len(t.Values))
	for w := range t.Values {
		words = append(words, w)
	}
	slices.Sort(words)
	seen := map[string]bool{}
	for _, n := range o.Doc.Items(o.Get("cells"), "cells") {
		c := o.Doc.Object(n, "a cell", "cell", "rows", "columns", "is", "because", "do", "sources")
		if c == nil {
			continue
		}
		cell := &rules.Cell{
			ID: c.Need("cell"), Rows: c.List("rows"), Columns: c.List("columns"), Is: c.Word("is", words...),
			Because: c.Need("because"), Do: c.Text("do"), Sources: r.sources(c), Pos: c.Doc.Pos(n),
		}
		if seen[cell.ID] {
			c.Doc.Fail(n, "Give it another id.", "there is already a cell %q", cell.ID)
		}
		seen[cell.ID] = true
		if t.Values[cell.Is] == "caution" && cell.Do == "" {
			c.Doc.Fail(n, "Add do: ...", "a cell that gives a caution says what to do")
		}
		t.Cells = append(t.Cells, cell)
	}
	r.base.Tables = append(r.base.Tables, t)
	r.later = append(r.later, func() {
		if r.base.Fact(t.Rows) == nil {
			o.Doc.Fail(o.Place("rows"), "", "there is no fact %q", t.Rows)
		}
		for _, w := range words {
			known := []string{"rule_out", "no_use", "discourage", "favour", "caution", "nothing"}
			if !slices.Contains(known, t.Values[w]) && r.base.Note(rules.Step, t.Values[w]) == nil {
				o.Doc.Fail(o.Place("values"), "Write one of "+strings.Join(known, ", ")+", or a step.", "a cell cannot do %q", t.Values[w])
			}
		}
	})
}

func (r *reader) constraint(o *Object) {
	c := &rules.Constraint{ID: o.Text("constraint"), Because: o.Need("because"), Sources: r.sources(o), Pos: o.Doc.Pos(o.Node)}
	o.Need("never")
	r.base.Constraints = append(r.base.Constraints, c)
	r.later = append(r.later, func() {
		if c.Never = r.cond(o, "never"); c.Never != nil {
			c.Never.Walk(func(t *rules.Test) {
				if t.Op == rules.OpLevel {
					o.Doc.Fail(o.Place("never"), "Name questions only.", "a constraint cannot rest on the finding %q", t.Finding.ID)
				}
			})
		}
	})
}

func (r *reader) promise(o *Object) {
	p := &rules.Promise{ID: o.Text("promise"), Because: o.Need("because"), Sources: r.sources(o), Pos: o.Doc.Pos(o.Node)}
	r.base.Promises = append(r.base.Promises, p)
	r.later = append(r.later, func() {
		p.When = r.cond(o, "when")
		forms := 0
		for _, form := range []struct {
			key string
			set *rules.MethodSet
		}{{"never_offered", &p.NeverOffered}, {"never_first", &p.NeverFirst}, {"always_with", &p.AlwaysWith}} {
			if o.Get(form.key) != nil {
				forms++
				*form.set = r.methods(o, form.key)
			}
		}
		notes := 0
		for _, kind := range rules.NoteKinds {
			if id := o.Text(string(kind)); id != "" {
				notes++
				p.Kind, p.Note = kind, id
				r.knownNote(o, kind, id)
			}
		}
		if forms != 1 || (o.Get("always_with") != nil) != (notes == 1) {
			o.Doc.Fail(o.Node, "Write never_offered, or never_first, or always_with and one step, hold, caution or refer.", "the promise %q has not one form", p.ID)
		}
	})
}

func (r *reader) stages(o *Object) {
	s := &rules.Stages{Fact: o.Text("stages"), Table: o.Need("table"), Takes: o.List("takes"), Pos: o.Doc.Pos(o.Node)}
	r.base.Stages = s
	r.later = append(r.later, func() {
		if f := r.base.Fact(s.Fact); f == nil || f.Order == "" {
			o.Doc.Fail(o.Place("stages"), "", "%q is no fact with an ordered list", s.Fact)
		}
		if !slices.ContainsFunc(r.base.Tables, func(t *rules.Table) bool { return t.ID == s.Table && t.Rows == s.Fact }) {
			o.Doc.Fail(o.Place("table"), "", "there is no table %q with rows of %q", s.Table, s.Fact)
		}
		for _, n := range o.Doc.Items(o.Get("not_after"), "not_after") {
			if c := o.Doc.Object(n, "not_after", "after", "bar", "because", "sources"); c != nil {
				s.NotAfter = append(s.NotAfter, rules.NotAfter{After: r.methods(c, "after"), Bar: r.methods(c, "bar"), Because: c.Need("because"), Sources: r.sources(c)})
			}
		}
	})
}

func (r *reader) source(o *Object) {
	r.base.Sources = append(r.base.Sources, &rules.Source{
		ID: o.Text("source"), Body: o.Need("body"), Title: o.Text("title"), Where: o.Text("where"), Year: int(o.Number("year", 0)),
		Read: o.Word("read", "text", "part", "reported", "data"), Pos: o.Doc.Pos(o.Node),
	})
}

func (r *reader) term(o *Object) {
	r.base.Terms = append(r.base.Terms, &rules.Term{ID: o.Text("term"), Say: o.Need("say"), Also: o.List("also"), Sources: r.sources(o), Pos: o.Doc.Pos(o.Node)})
}

// sources returns the sources of an entry; a statement without one is a mistake, and so is an unknown one.
func (r *reader) sources(o *Object) []string {
	ids := o.List("sources")
	if len(ids) == 0 {
		o.Doc.Fail(o.Node, fmt.Sprintf("Add sources: [...], or sources: [%s] or [%s].", rules.CommonPractice, rules.FromMemory), "a statement names where it comes from")
		return nil
	}
	r.later = append(r.later, func() {
		for _, id := range ids {
			if id == rules.CommonPractice || id == rules.FromMemory {
				continue
			}
			if !slices.ContainsFunc(r.base.Sources, func(s *rules.Source) bool { return s.ID == id }) {
				var known []string
				for _, s := range r.base.Sources {
					known = append(known, s.ID)
				}
				o.Doc.Fail(o.Place("sources"), rules.DidYouMean(id, known), "there is no source %q", id)
			}
		}
	})
	return ids
}
