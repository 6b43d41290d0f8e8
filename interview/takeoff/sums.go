// Package takeoff does the sums of a part and a method: quantities, time, cost, air, water, lead and waste. Every figure is
// a working of package figures, so that it can be shown with its formula, its inputs, where each came from, and its range.
// An input is what a person told, or else what a proven patch showed, or else an answer, or else a planning range of the
// base. Nothing is rounded before it is shown.
package takeoff

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/knowledge/figures"
	"patchfirst/rules"
)

// Kind says what stands behind an input.
type Kind string

// The kinds of input, the strongest first.
const (
	Told     Kind = "told"     // by the person, under takeoff:
	Shown    Kind = "patch"    // by proven test patches
	Answered Kind = "answer"   // to a question of the survey
	Planned  Kind = "planning" // a planning range of the base
)

// Leaf is an input that no other figure gives.
type Leaf struct {
	ID   string
	Kind Kind
	figures.Quantity
	From    string // in words
	Sources []string
}

// own tells whether an input is about one method: then another method's input of the same name is another thing.
func (s *Sums) own(l *Leaf) bool {
	if slices.Contains([]string{"thickness", "planned_wait", "passes of patches", "patch_wait"}, l.ID) {
		return true
	}
	c := s.Case.Base.Coefficient(l.ID, s.Method, s.Case.Answers)
	return l.Kind == Planned && c != nil && c.Of != 1<<len(s.Case.Base.Methods)-1
}

// Line is one figure of the sums.
type Line struct {
	ID      string
	Section string
	Title   string
	figures.Working
	Uses map[string]string // the ids of the lines that gave some of its inputs
	Note string            // such as what to buy; may be empty
}

// Sums are the figures of a part and a method.
type Sums struct {
	Case    *Case
	Method  *rules.Method
	Lines   []*Line
	Leaves  []*Leaf
	Missing []string // what to tell for more or better figures
	Notes   []string // what to know about them

	Programme *Programme // nil: there is nothing to plan

	section  string
	unpriced []string
	fixed    bool               // every input stands at its point
	pins     map[string]float64 // with fixed: inputs that stand elsewhere
	err      error
}

func (c *Case) sum(m *rules.Method, fixed bool, pins map[string]float64) (*Sums, error) {
	s := &Sums{Case: c, Method: m, fixed: fixed, pins: pins}
	for _, part := range []struct {
		section string
		do      func()
	}{
		{"Size", s.size}, {"Paste and cover", s.paste}, {"Work", s.work}, {"Batches and waiting", s.waiting}, {"Days",
			s.days},
		{"Water", s.water}, {"Air", s.air}, {"Lead", s.lead}, {"Materials", s.materials}, {"Waste", s.waste}, {"Cost",
			s.cost},
	} {
		s.section = part.section
		part.do()
		if s.err != nil {
			return nil, fmt.Errorf("%s, %s: %w", c.Element.Name, m.ID, s.err)
		}
	}
	if s.Line("hours") == nil {
		s.note("There are no sums for this method. Ask whoever does it for a price, and see the advice.")
	}
	s.stages()
	return s, nil
}

// stages notes that no single method takes all coats here.
func (s *Sums) stages() {
	stages := s.Case.Decision.Stages
	if len(stages) < 2 || s.Method.Keeps {
		return
	}
	var labels []string
	for _, stage := range stages {
		labels = append(labels, stage.Method.Method.Label)
	}
	s.note(fmt.Sprintf("The advice goes in stages: %s. These sums take all coats off by one method.",
		strings.Join(labels, ", then ")))
}

// Line returns the figure of an id, or nil.
func (s *Sums) Line(id string) *Line {
	i := slices.IndexFunc(s.Lines, func(l *Line) bool { return l.ID == id })
	if i < 0 {
		return nil
	}
	return s.Lines[i]
}

// leaf finds an input: what was told under a key, or a coefficient of the base. False says that there is neither.
func (s *Sums) leaf(id string, d figures.Dimension) (*Leaf, bool) {
	if t, ok := s.Case.Given.values[id]; ok {
		return s.keep(&Leaf{id, Told, t.Quantity, fmt.Sprintf("told in line %d of the job", t.node.Line), nil}), true
	}
	c := s.Case.Base.Coefficient(id, s.Method, s.Case.Answers)
	if c == nil {
		return nil, false
	}
	q, err := s.Case.parsed(c.Is, d)
	if err != nil {
		s.fail(fmt.Errorf("%s: the coefficient %q: %w", c.Pos, id, err))
		return nil, false
	}
	if s.fixed { // nobody asks where it comes from
		return s.keep(&Leaf{id, Planned, q, "", c.Sources}), true
	}
	from := "planning range, " + s.Case.sources(c.Sources)
	if c.Say != "" {
		from += ". " + strings.TrimSuffix(c.Say, ".")
	}
	return s.keep(&Leaf{id, Planned, q, from, c.Sources}), true
}

// word finds a word of the base, such as which paste a method takes.
func (s *Sums) word(id string) string {
	if c := s.Case.Base.Coefficient(id, s.Method, s.Case.Answers); c != nil {
		return c.Is
	}
	return ""
}

// keep notes an input, and puts it where it is pinned.
func (s *Sums) keep(l *Leaf) *Leaf {
	if old := slices.IndexFunc(s.Leaves, func(o *Leaf) bool { return o.ID == l.ID }); old >= 0 {
		return s.Leaves[old]
	}
	if s.fixed {
		at := l.Point
		if pin, ok := s.pins[l.ID]; ok {
			at = pin
		}
		l.Range = figures.Exactly(at)
	}
	s.Leaves = append(s.Leaves, l)
	return l
}

// as gives the leaf to a formula under the name of one of its slots.
func (l *Leaf) as(slot string) figures.Input {
	return figures.Input{Name: slot, Quantity: l.Quantity, From: l.From}
}

// as gives the figure to another formula.
func (l *Line) as(slot string) figures.Input {
	return figures.Input{Name: slot, Quantity: l.Result, From: usedFrom + l.ID}
}

// usedFrom marks an input that another figure gives.
const usedFrom = "worked out: "

// usedBy is the id of the figure that gives an input, or empty.
func usedBy(in figures.Input) string {
	used, ok := strings.CutPrefix(in.From, usedFrom)
	if !ok {
		return ""
	}
	return used
}

// or gives the figure, or an exact nothing where it was not worked out.
func (l *Line) or(slot, unit, why string) figures.Input {
	if l == nil {
		return exactly(slot, 0, unit, why)
	}
	return l.as(slot)
}

// exactly is an input that is known to the point.
func exactly(slot string, v float64, unit, from string) figures.Input {
	u, _ := figures.FindUnit(unit)
	return figures.Input{Name: slot, Quantity: figures.Quantity{Range: figures.Exactly(v), Unit: u}, From: from}
}

// add works a figure out. After an error it does nothing and returns an empty line.
func (s *Sums) add(id, title, formula string, inputs ...figures.Input) *Line {
	f, ok := figures.FormulaFor(formula)
	if !ok {
		s.fail(fmt.Errorf("there is no formula %q", formula))
	}
	return s.addBy(id, title, f, inputs...)
}

func (s *Sums) addBy(id, title string, f figures.Formula, inputs ...figures.Input) *Line {
	l := &Line{ID: id, Section: s.section, Title: title, Uses: map[string]string{}}
	if s.err != nil {
		return l
	}
	var err error
	if l.Working, err = f.Work(inputs...); err != nil {
		s.fail(fmt.Errorf("%s: %w", strings.ToLower(title), err))
		return l
	}
	for _, in := range inputs {
		if used := usedBy(in); used != "" {
			l.Uses[in.Name] = used
		}
	}
	s.Lines = append(s.Lines, l)
	return l
}

// total adds up the lines of some ids that are there. It returns nil if none is.
func (s *Sums) total(id, title, unit string, ids ...string) *Line {
	var names []string
	var inputs []figures.Input
	for _, part := range ids {
		if l := s.Line(part); l != nil {
			name := strings.ToLower(l.Title)
			names, inputs = append(names, name), append(inputs, l.as(name))
		}
	}
	if len(names) == 0 {
		return nil
	}
	return s.addBy(id, title, figures.Sum(id, title, unit, names...), inputs...)
}

func (s *Sums) fail(err error) {
	if s.err == nil {
		s.err = err
	}
}

func (s *Sums) miss(text string) {
	if !slices.Contains(s.Missing, text) {
		s.Missing = append(s.Missing, text)
	}
}

func (s *Sums) note(text string) {
	if text != "" && !slices.Contains(s.Notes, text) {
		s.Notes = append(s.Notes, text)
	}
}
