package lesson

import (
	"maps"
	"math"
	"slices"

	"patchfirst/knowledge"
	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// maker finds pairs of situations on the diagrams: in the first a rule rules a method out and nothing else does; the
// second differs in the answer to one question, and there the method is open. Both are near a situation that somebody
// told, so that they read like one.
type maker struct {
	s      *School
	space  *rules.Space
	tales  []*tale
	offers map[*rules.Method]diagram.Node // where a method is offered
	tries  int                            // pairs that may still be tried: most wishes are met soon, and some never
}

// tale is a situation that was told, with a complete case that has its answers.
type tale struct {
	name    string // of the lesson
	answers rules.Answers
	values  []uint8
}

// pair is two situations that differ in one answer and flip what is said of a method.
type pair struct {
	rule   *rules.Rule
	method *rules.Method
	fact   *rules.Fact
	first  rules.Answers
	second rules.Answer
}

// making returns the maker, with the situations of some lessons to start from.
func (s *School) making(lessons []*Lesson) (*maker, error) {
	if s.maker != nil && len(s.maker.tales) > 0 {
		return s.maker, nil
	}
	space, err := s.Base.Compile(nil, 0)
	if err != nil {
		return nil, err
	}
	m := &maker{s: s, space: space, offers: map[*rules.Method]diagram.Node{}}
	for _, l := range lessons {
		if values, ok := space.Near(nil, space.Pins(l.Case.Given)...); ok {
			m.tales = append(m.tales, &tale{l.Name, l.Case.Given, values})
		}
	}
	s.maker = m
	return m, nil
}

// only returns the functions "the rule fires, and no other rules the method out".
func (m *maker) only(r *rules.Rule, method *rules.Method) []diagram.Node {
	var all []diagram.Node
	for i, other := range m.s.Base.Rules {
		switch {
		case other == r:
			all = append(all, m.space.Rule(i))
		case other.Gives[rules.RuledOut].Has(method.Rank):
			all = append(all, m.space.Store.Not(m.space.Rule(i)))
		}
	}
	return all
}

// open returns the function "the method is offered".
func (m *maker) open(method *rules.Method) diagram.Node {
	n, ok := m.offers[method]
	if !ok {
		n = m.space.Store.Not(m.space.Store.Or(m.space.Gives(rules.RuledOut, method), m.space.Gives(rules.NoUse, method)))
		m.offers[method] = n
	}
	return n
}

// node returns the function "the rule fires".
func (m *maker) node(r *rules.Rule) diagram.Node {
	return m.space.Rule(slices.Index(m.s.Base.Rules, r))
}

// pairs lists pairs for a rule and a method near a tale, one for each question that flips it. Questions to which a person
// can change the answer come first.
func (m *maker) pairs(r *rules.Rule, method *rules.Method, t *tale) (all []*pair) {
	first, ok := m.space.Near(t.values, m.only(r, method)...)
	if !ok {
		return nil
	}
	facts := m.space.Reads(m.node(r))
	slices.SortStableFunc(facts, func(a, b *rules.Fact) int { return effort(a) - effort(b) })
	for _, f := range facts {
		second, ok := m.space.Near(first, append(m.space.Same(first, f), m.open(method))...)
		if !ok {
			continue
		}
		told := m.told(t, first, facts)
		if f.Figure != "" {
			if in, is, ok := m.input(f, second, told); ok {
				all = append(all, &pair{r, method, in, told, is})
			}
		} else if was, ok := told[f.ID]; ok {
			all = append(all, &pair{r, method, f, told, m.answer(f, second, was)})
		}
	}
	return all
}

// input returns the question that a figure is computed from, and an answer that gives the figure of a case. Not ok: it
// has several inputs, or none of the answers that were tried does.
func (m *maker) input(f *rules.Fact, values []uint8, told rules.Answers) (in *rules.Fact, a rules.Answer, ok bool) {
	if len(f.Inputs) != 1 {
		return nil, a, false
	}
	in = m.s.Base.Fact(f.Inputs[0])
	cell := f.Cell(m.space.Base.Answers(values)[f.ID].Lo)
	const tries = 60
	for x := max(in.From, 1); x <= in.To; x *= math.Pow(in.To/max(in.From, 1), 1.0/tries) {
		a = rules.Answer{Lo: math.Round(x), Hi: math.Round(x)}
		figure, known := knowledge.WithFigures(m.s.Base, told.With(in.ID, a))[f.ID]
		if known && f.Cell(figure.Lo) == cell {
			return in, a, true
		}
	}
	return in, a, false
}

// effort ranks questions by what can be done about them.
func effort(f *rules.Fact) int {
	return slices.Index([]string{"test", "arrange", "never", ""}, f.Change)
}

// told is a case as somebody would tell it: what the tale tells, what differs from it, what the rule reads, and what
// refuses while it is not known. What does not apply is not told.
func (m *maker) told(t *tale, values []uint8, reads []*rules.Fact) rules.Answers {
	told := maps.Clone(t.answers)
	differ := m.space.Differ(t.values, values)
	for _, f := range m.s.Base.Facts {
		_, tells := told[f.ID]
		switch {
		case !f.Asked():
		case m.space.Store.Eval(m.space.Node(f.Applies), values) == 0:
			delete(told, f.ID)
		case slices.Contains(differ, f), !tells && (slices.Contains(reads, f) || f.Blank == rules.Refuses):
			told[f.ID] = m.answer(f, values, told[f.ID])
		}
	}
	for _, f := range reads {
		if f.Figure == "" {
			continue
		}
		if in, a, ok := m.input(f, values, told); ok {
			told[in.ID] = a
		}
	}
	return told
}

// answer is that of a case to a question. A number is the nearest to the one it takes the place of that is a case's own
// by the rules.
func (m *maker) answer(f *rules.Fact, values []uint8, was rules.Answer) rules.Answer {
	a := m.space.Base.Answers(values)[f.ID]
	if f.Kind != rules.Number {
		return a
	}
	cell, from := f.Cell(a.Lo), was.Lo
	if from == 0 {
		from = min(max(a.Lo, f.From), f.To)
	}
	for step := 0.0; step <= f.To-f.From; step += max(f.Step, 1) {
		for _, x := range []float64{from - step, from + step} {
			if x >= f.From && x <= f.To && f.Cell(x) == cell {
				return rules.Answer{Lo: x, Hi: x}
			}
		}
	}
	return a
}
