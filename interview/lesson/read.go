package lesson

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"regexp"
	"slices"
	"strconv"

	"gopkg.in/yaml.v3"

	"patchfirst/interview/patches"
	"patchfirst/knowledge/figures"
	"patchfirst/rules"
	"patchfirst/rules/cases"
	"patchfirst/rules/source"
)

// Find returns the lesson of a name, or nil.
func Find(all []*Lesson, name string) *Lesson {
	for _, l := range all {
		if l.Name == name {
			return l
		}
	}
	return nil
}

// Read reads one lesson file.
func Read(b *rules.Base, file string, data []byte) ([]*Lesson, rules.Problems) {
	d := source.Parse(file, data)
	if d.Root == nil {
		if len(d.Problems) == 0 {
			return nil, rules.Problems{{Pos: rules.Pos{File: file}, Summary: "the file is empty", Fix: "Write a list of lessons; each begins with - case: a title."}}
		}
		return nil, d.Problems
	}
	r := &reader{base: b, doc: d}
	var all []*Lesson
	for _, n := range d.Items(d.Root, "a lesson file") {
		if o := d.Object(n, "a lesson", cases.Keys...); o != nil {
			l := r.lesson(o)
			if old := Find(all, l.Name); old != nil && l.Name != "" {
				d.Fail(o.Place("lesson"), "Give it a name of its own.", "there is already a lesson %q, in line %d", l.Name, old.Pos.Line)
			}
			all = append(all, l)
		}
	}
	if len(all) == 0 && len(d.Problems) == 0 {
		d.Fail(d.Root, "Write - case: a title, lesson: its name, story: ..., given: {...}, expect: {...}, exercises: [...].", "there is no lesson in the file")
	}
	return all, d.Problems
}

type reader struct {
	base *rules.Base
	doc  *source.Document
}

var lessonName = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

func (r *reader) lesson(o *source.Object) *Lesson {
	d := r.doc
	l := &Lesson{Name: o.Need("lesson"), Level: o.Word("level", Levels...), Story: o.Need("story"), Teaches: o.List("teaches"), Pos: d.Pos(o.Node)}
	if l.Name != "" && !lessonName.MatchString(l.Name) {
		d.Fail(o.Get("lesson"), "Write small letters and digits with hyphens between them, such as boathouse-door.", "%q is not a name that can be typed", l.Name)
	}
	for _, id := range l.Teaches {
		if !slices.ContainsFunc(r.base.Rules, func(rule *rules.Rule) bool { return rule.ID == id }) {
			d.Fail(o.Place("teaches"), rules.DidYouMean(id, ruleNames(r.base)), "there is no rule %q", id)
		}
	}
	l.Case = cases.ReadCase(r.base, o)
	for _, n := range d.Items(o.Get("exercises"), "exercises") {
		if e := r.exercise(n); e != nil {
			l.Exercises = append(l.Exercises, e)
		}
	}
	if o.Get("exercises") == nil || o.Get("exercises").Kind == yaml.SequenceNode && len(o.Get("exercises").Content) == 0 {
		d.Fail(o.Place("exercises"), "Add exercises: [{ask: choose_method}].", "the lesson has no exercises")
	}
	l.Digest = digest(o.Node)
	return l
}

// digest names the content of a node: a result that was kept belongs to one text of a lesson.
func digest(n *yaml.Node) string {
	h := sha256.New()
	var walk func(*yaml.Node)
	walk = func(n *yaml.Node) {
		fmt.Fprintf(h, "%d %d %q\n", n.Kind, len(n.Content), n.Value)
		for _, c := range n.Content {
			walk(c)
		}
	}
	walk(n)
	const length = 12
	return hex.EncodeToString(h.Sum(nil))[:length]
}

func ruleNames(b *rules.Base) (ids []string) {
	for _, r := range b.Rules {
		ids = append(ids, r.ID)
	}
	return ids
}

// keys are those that exercises of each kind may have beside the common ones.
var keys = map[Kind][]string{
	ChooseMethod: {"options"}, RuleOut: {"options"}, MissingQuestion: {"options", "method"}, FindDanger: {"options", "method"}, OrderSteps: {"options"},
	ReadPatches: {"log"}, ReadPH: {"strip", "meter", "acid", "readings"}, WhatChanged: {"to", "method"},
}

func (r *reader) exercise(n *yaml.Node) *Exercise {
	d := r.doc
	all := []string{"ask", "text", "hints", "then"}
	for _, k := range keys {
		all = append(all, k...)
	}
	slices.Sort(all)
	o := d.Object(n, "an exercise", slices.Compact(all)...)
	if o == nil {
		return nil
	}
	var known []string
	for _, k := range Kinds {
		known = append(known, string(k))
	}
	e := &Exercise{Kind: Kind(o.Word("ask", known...)), Text: o.Text("text"), Hints: o.List("hints"), Pos: d.Pos(n)}
	if !slices.Contains(Kinds, e.Kind) {
		return nil
	}
	for _, key := range o.Keys() {
		if !slices.Contains([]string{"ask", "text", "hints", "then"}, key) && !slices.Contains(keys[e.Kind], key) {
			d.Fail(o.Key(key), rules.DidYouMean(key, keys[e.Kind]), "an exercise to %s has no key %q", e.Kind.Words(), key)
		}
	}
	e.Then, _ = source.Answers(r.base, d, o.Get("then"))
	e.Method = o.Text("method")
	if e.Method != "" && r.base.Method(e.Method) == nil {
		d.Fail(o.Get("method"), rules.DidYouMean(e.Method, r.base.MethodNames()), "there is no method %q", e.Method)
	}
	r.options(o, e)
	switch e.Kind {
	case WhatChanged:
		e.To, _ = source.Answers(r.base, d, o.Get("to"))
		if len(e.To) == 0 {
			d.Fail(o.Place("to"), "Add to: {fact: other value}.", "what changes?")
		}
	case ReadPatches:
		r.log(o, e)
	case ReadPH:
		e.PH = r.ph(o)
	}
	return e
}

// options checks that what is to choose from is known: methods, questions, steps, cautions, or rules.
func (r *reader) options(o *source.Object, e *Exercise) {
	e.Options = o.List("options")
	what, known := "method", r.base.MethodNames()
	switch {
	case e.Kind == MissingQuestion:
		what, known = "question", nil
		for _, f := range r.base.Facts {
			if f.Asked() {
				known = append(known, f.ID)
			}
		}
	case e.Kind == FindDanger && e.Method != "":
		what, known = "rule", ruleNames(r.base)
	case e.Kind == FindDanger:
		what, known = "caution", r.notes(rules.Caution)
	case e.Kind == OrderSteps:
		what, known = "step", r.notes(rules.Step)
	}
	at := func(i int) *yaml.Node {
		if n := o.Get("options"); n.Kind == yaml.SequenceNode {
			return n.Content[i]
		}
		return o.Get("options")
	}
	for i, id := range e.Options {
		switch {
		case !slices.Contains(known, id):
			r.doc.Fail(at(i), rules.DidYouMean(id, known), "there is no %s %q", what, id)
		case slices.Contains(e.Options[:i], id):
			r.doc.Fail(at(i), "Keep one of them.", "%q is there twice", id)
		}
	}
	const least, most = 2, 9
	if n := len(e.Options); n > 0 && (n < least || n > most) {
		r.doc.Fail(o.Place("options"), "Leave options out, and the engine offers some.", "%d to %d options can be chosen from, not %d", least, most, n)
	}
}

func (r *reader) notes(kind rules.NoteKind) (ids []string) {
	for _, n := range r.base.Notes {
		if n.Kind == kind {
			ids = append(ids, n.ID)
		}
	}
	return ids
}

func (r *reader) log(o *source.Object, e *Exercise) {
	e.Log = o.Get("log")
	if e.Log == nil || e.Log.Kind != yaml.SequenceNode || len(e.Log.Content) == 0 {
		r.doc.Fail(o.Place("log"), "Add log: [...], as in a job file.", "there is no patch record to read")
		e.Log = nil
		return
	}
	if _, err := patches.ReadRecord(r.base, r.doc.File, e.Log); err != nil {
		var problems rules.Problems
		if problems, _ = err.(rules.Problems); len(problems) == 0 {
			r.doc.Fail(e.Log, "", "%v", err)
		}
		for _, p := range problems {
			r.doc.Add(p)
		}
	}
}

func (r *reader) ph(o *source.Object) *PHLog {
	d := r.doc
	log := &PHLog{Acid: o.Flag("acid"), Instrument: figures.PHMeter}
	switch strip, meter := o.Get("strip"), o.Flag("meter"); {
	case strip != nil && meter:
		d.Fail(strip, "Keep one of them.", "it was read with a strip or a meter, not both")
	case strip != nil:
		i, err := figures.PHStrip(figures.PH(o.Number("strip", 1)))
		if err != nil {
			d.Fail(strip, "Write how far the colour squares stand apart, such as 0.5 or 1.", "%v", err)
		}
		log.Instrument = i
	case !meter:
		d.Fail(o.Node, "Add strip: 0.5, the step of its squares, or meter: true.", "what was the pH read with?")
	}
	for _, n := range d.Items(o.Get("readings"), "readings") {
		if e := d.Object(n, "a reading", "surface", "control", "when", "where"); e != nil {
			reading := PHReading{Dry: e.Word("when", "wet", "dry") == "dry", Where: e.Text("where")}
			for key, into := range map[string]*figures.PH{"surface": &reading.Surface, "control": &reading.Control} {
				if v, err := strconv.ParseFloat(e.Need(key), 64); err == nil && v >= 0 && v <= 14 {
					*into = figures.PH(v)
				} else if e.Get(key) != nil {
					d.Fail(e.Get(key), "Write a number from 0 to 14.", "%q is not a pH", e.Get(key).Value)
				}
			}
			log.Readings = append(log.Readings, reading)
		}
	}
	if len(log.Readings) == 0 {
		d.Fail(o.Place("readings"), "Add readings: [{when: dry, surface: 8, control: 7}].", "there is no reading")
	}
	return log
}
