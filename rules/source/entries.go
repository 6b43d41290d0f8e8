package source

import (
	"slices"

	"gopkg.in/yaml.v3"

	"patchfirst/rules"
)

func (r *reader) version(o *Object) { r.base.Version = o.Text("version") }

func (r *reader) fact(o *Object) {
	f := &rules.Fact{
		ID: o.Text("fact"), Name: o.Text("label"), Topic: o.Text("topic"), Scope: o.Word("scope", "site", "element"),
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
	f.Final = o.List("final")
	for _, value := range f.Final {
		if !f.Has(value) {
			o.Doc.Fail(o.Get("final"), rules.DidYouMean(value, f.ValueIDs()), "%q is not a value of %q", value, f.ID)
		}
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

func (r *reader) source(o *Object) {
	r.base.Sources = append(r.base.Sources, &rules.Source{
		ID: o.Text("source"), Body: o.Need("body"), Title: o.Text("title"), Where: o.Text("where"), Year: int(o.Number("year", 0)),
		Read: o.Word("read", "text", "part", "reported", "data"), Pos: o.Doc.Pos(o.Node),
	})
}

func (r *reader) term(o *Object) {
	r.base.Terms = append(r.base.Terms, &rules.Term{ID: o.Text("term"), Say: o.Need("say"), Also: o.List("also"), Sources: r.sources(o), Pos: o.Doc.Pos(o.Node)})
}
