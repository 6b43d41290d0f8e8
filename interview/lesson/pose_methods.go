package lesson

import (
	"cmp"
	"fmt"
	"slices"

	"patchfirst/explain"
	"patchfirst/rules"
)

// What a choice earns that is allowed and not the gentlest: part of the whole, and less where rules speak against it, or
// where a specialist is called whom nobody needs.
const (
	allowed     = 0.5
	discouraged = 0.25
	notNeeded   = 0.25
)

func (s *School) chooseMethod(q *Question, e *Exercise) error {
	if q.Text == "" {
		q.Text = "Which method would you try first?"
	}
	for _, m := range s.methods(q, e, true) {
		o, option := q.outcome(m), s.methodOption(q, m)
		switch {
		case o == q.Decision.First:
			option.Worth, option.Right = 1, true
			option.Says = "the first choice"
			if o.Verdict == rules.Discouraged {
				option.Says = "the first choice, since nothing better is open"
			}
		case m.LastResort:
			option.Worth, option.Says = notNeeded, "it does no harm, and is not needed yet"
		case o.Verdict == rules.Discouraged:
			option.Worth = discouraged
		case o.Verdict.Offered():
			option.Worth = allowed
		case o.Verdict == rules.RuledOut:
			option.Grave = true
		}
		q.Options = append(q.Options, option)
	}
	return nil
}

func (s *School) ruleOut(q *Question, e *Exercise) error {
	if q.Text == "" {
		q.Text = "Which of these may not be used here?"
	}
	q.Shape = Some
	for _, m := range s.methods(q, e, false) {
		option := s.methodOption(q, m)
		option.Right = q.outcome(m).Verdict == rules.RuledOut
		option.Grave = option.Right
		q.Options = append(q.Options, option)
	}
	return nil
}

// methods returns what is to choose from, gentlest first. If the exercise names none it is the first choice, what could
// follow it, and what is refused or of no use for different reasons.
func (s *School) methods(q *Question, e *Exercise, withFirst bool) (methods []*rules.Method) {
	add := func(m *rules.Method) {
		if !slices.Contains(methods, m) {
			methods = append(methods, m)
		}
	}
	for _, id := range e.Options {
		add(s.Base.Method(id))
	}
	if len(methods) == 0 {
		const mostAllowed, mostRefused = 3, 3
		if withFirst || !q.Decision.First.Method.LastResort {
			add(q.Decision.First.Method)
		}
		for _, o := range q.Decision.Fallback[:min(mostAllowed-1, len(q.Decision.Fallback))] {
			add(o.Method)
		}
		for _, o := range tempting(q.Decision)[:min(mostRefused, len(tempting(q.Decision)))] {
			add(o.Method)
		}
	}
	slices.SortFunc(methods, func(a, b *rules.Method) int { return cmp.Compare(a.Rank, b.Rank) })
	return methods
}

// tempting lists refused methods, one for each first reason: those that a beginner reaches for come first, which is what
// makes a wall bare soonest. What is refused always teaches nothing about a case.
func tempting(d *rules.Decision) (refused []*rules.Outcome) {
	quick := func(o *rules.Outcome) int {
		return slices.Index([]string{"short", "medium", "long"}, o.Method.Time)
	}
	for _, o := range d.Methods {
		if o.Verdict != rules.RuledOut || o.Method.AlwaysRefused != "" || len(o.Reasons) == 0 {
			continue
		}
		if !slices.ContainsFunc(refused, func(old *rules.Outcome) bool { return old.Reasons[0] == o.Reasons[0] }) {
			refused = append(refused, o)
		}
	}
	slices.SortStableFunc(refused, func(a, b *rules.Outcome) int { return quick(a) - quick(b) })
	return refused
}

func (s *School) findDanger(q *Question, e *Exercise) error {
	q.Shape = Some
	if e.Method != "" {
		return s.dangerOf(q, e, s.Base.Method(e.Method))
	}
	first := q.Decision.First
	if q.Text == "" {
		q.Text = "Which of these dangers does the work have here?"
	}
	belongs := func(n *rules.Note) bool {
		return slices.ContainsFunc(first.Notes, func(a rules.Attached) bool { return a.Note == n && a.Sure })
	}
	var notes []*rules.Note
	for _, id := range e.Options {
		notes = append(notes, s.Base.Note(rules.Caution, id))
	}
	if len(notes) == 0 {
		notes = s.cautions(q)
	}
	for _, n := range notes {
		i := slices.IndexFunc(first.Notes, func(a rules.Attached) bool { return a.Note == n })
		o := &Option{ID: n.ID, Label: n.Say, Right: belongs(n), Says: "not a danger of this work", Grave: belongs(n) && n.Gravity == rules.Gravities[0]}
		if i >= 0 && !o.Right {
			return q.cannot(e, "Take it out of the options, or give what it hangs on.", "whether %q belongs here hangs on what is not told: %s", n.ID, explain.Requirements(s.Base, first.Notes[i].If))
		}
		if o.Right {
			o.Says, o.Caution, o.Why = n.Gravity, n, said([]*rules.Rule{first.Notes[i].Rule})
		}
		q.Options = append(q.Options, o)
	}
	return nil
}

// cautions offers the gravest cautions of the first choice, and some that do not belong to it.
func (s *School) cautions(q *Question) (notes []*rules.Note) {
	const most = 3
	first := q.Decision.First
	for _, gravity := range rules.Gravities {
		for _, a := range first.Notes {
			if a.Note.Kind == rules.Caution && a.Sure && a.Note.Gravity == gravity && len(notes) < most {
				notes = append(notes, a.Note)
			}
		}
	}
	belongs := len(notes)
	for _, n := range shuffled(s.Base.Notes, q.seed, noteName) {
		if n.Kind == rules.Caution && n.Gravity != rules.Gravities[2] && len(notes) < belongs+most && !first.Has(rules.Caution, n.ID) {
			notes = append(notes, n)
		}
	}
	slices.SortFunc(notes, func(a, b *rules.Note) int { return cmp.Compare(a.Rank, b.Rank) })
	return notes
}

// dangerOf asks what speaks against a refused method: the reasons that do, among some that do not here.
func (s *School) dangerOf(q *Question, e *Exercise, m *rules.Method) error {
	o := q.outcome(m)
	if o.Verdict != rules.RuledOut {
		return q.cannot(e, "Name a method that is ruled out.", "%s is not ruled out here: %s", m.ID, o.Why())
	}
	if q.Text == "" {
		q.Text = fmt.Sprintf("Someone proposes this: %s. What is the danger?", m.Label)
	}
	reasons := sure(q.Decision, o.Reasons)
	var chosen []*rules.Rule
	for _, r := range s.Base.Rules {
		if slices.Contains(e.Options, r.ID) {
			chosen = append(chosen, r)
		}
	}
	if len(chosen) == 0 {
		chosen = s.reasonsAnd(q, reasons, func(r *rules.Rule) bool { return r.Gives[rules.RuledOut] != 0 })
	}
	for _, r := range chosen {
		option := s.reasonOption(r)
		option.Right = slices.Contains(reasons, r)
		if !option.Right && !q.Decision.Never(r) && slices.Contains(o.Reasons, r) {
			return q.cannot(e, "Take it out of the options, or give what it hangs on.", "whether %q counts here hangs on what is not told", r.ID)
		}
		option.Says = "not so here"
		if option.Right {
			option.Says, option.Caution = "a danger here", s.caution(q, m, []*rules.Rule{r})
		}
		q.Options = append(q.Options, option)
	}
	return nil
}

func (s *School) reasonOption(r *rules.Rule) *Option {
	return &Option{ID: r.ID, Label: r.Because, Why: said([]*rules.Rule{r})}
}

// reasonsAnd mixes at most three reasons with as many that are none here, in an order that gives nothing away.
func (s *School) reasonsAnd(q *Question, reasons []*rules.Rule, other func(*rules.Rule) bool) (mixed []*rules.Rule) {
	const most = 3
	because := map[string]bool{}
	add := func(r *rules.Rule) {
		mixed, because[r.Because] = append(mixed, r), true
	}
	for _, r := range reasons {
		because[r.Because] = true
	}
	for _, r := range shuffled(s.Base.Rules, q.seed, ruleName) {
		if len(mixed) == most {
			break
		}
		if !because[r.Because] && other(r) && r.Because != "" && q.Decision.Never(r) {
			add(r)
		}
	}
	for _, r := range reasons[:min(most, len(reasons))] {
		add(r)
	}
	return shuffled(mixed, q.seed+" order", ruleName)
}
