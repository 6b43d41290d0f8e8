package source

import (
	"fmt"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"patchfirst/rules"
)

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

// sources returns the sources of an entry; a statement without one is a mistake, and so is an unknown one.
// limit reads a bound on a reading. Its condition rests on questions with values: a number would be cut anew for it.
func (r *reader) limit(o *Object) {
	l := &rules.Limit{
		ID: o.Text("limit"), Reading: o.Need("of"), Stage: o.Word("stage", rules.WorkStages...), Unit: o.Text("unit"), Needs: o.Text("needs"), Hold: o.Text("hold"),
		Say: o.Need("say"), Because: o.Need("because"), Sources: r.sources(o), Pos: o.Doc.Pos(o.Node),
	}
	bound := func(key string) *float64 {
		if o.Get(key) == nil {
			return nil
		}
		v := o.Number(key, 0)
		return &v
	}
	if l.Least, l.Most = bound("least"), bound("most"); l.Least == nil && l.Most == nil {
		o.Doc.Fail(o.Node, "Add least: or most: with a number.", "the limit %q bounds nothing", l.ID)
	}
	r.base.Limits = append(r.base.Limits, l)
	r.later = append(r.later, func() {
		l.With = r.methods(o, "with")
		if l.Hold != "" {
			r.knownNote(o, rules.Hold, l.Hold)
		}
		l.When = r.cond(o, "when")
		l.When.Walk(func(t *rules.Test) {
			if t.Op == rules.OpLevel || t.Op == rules.OpCmp || t.Fact != nil && !t.Fact.Asked() {
				o.Doc.Fail(o.Place("when"), "Name questions with values only.", "the condition of a limit cannot rest on a number, a finding or an end of a list")
			}
		})
	})
}

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
