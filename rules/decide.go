package rules

import (
	"slices"

	"patchfirst/rules/diagram"
)

// Decision is what the base says of one partial case.
type Decision struct {
	Methods     []*Outcome // gentlest first
	First       *Outcome
	Fallback    []*Outcome // the other offered methods, best first, without the last resort
	Provisional []string   // open facts that alone could change the first choice
	Open        []string   // blank facts that could change anything shown
	Findings    []Level
	Stages      []Stage
	StagesOpen  bool // stages are needed, but some coat is taken by no method that is offered
	Unreached   []string

	work *decider // for Chain
}

// Outcome is what becomes of one method.
type Outcome struct {
	Method     *Method
	Verdict    Verdict
	Reasons    []*Rule       // the rules that give the verdict: they count
	Until      []string      // of a refusal: the smallest set of blank facts whose answers could lift it
	Conditions []Requirement // of an offer: it holds only so
	Care       bool          // a ranking table gives it a caution on this case
	Notes      []Attached
	Changes    []*Rule // open rules that do not count yet
	Shown      Shown   // what trials on site showed, after Heed
}

// Attached is a note on a method.
type Attached struct {
	Note *Note
	Rule *Rule         // the first rule that attaches it
	Sure bool          // every case has it; otherwise only those that meet If
	If   []Requirement // the widest description of cases that have it
	Else bool          // cases that If does not describe have it too
}

// Has reports whether a note is attached to the method.
func (o *Outcome) Has(kind NoteKind, id string) bool {
	return slices.ContainsFunc(o.Notes, func(a Attached) bool { return a.Note.Kind == kind && a.Note.ID == id })
}

// Level is a finding with the levels it may have.
type Level struct {
	Finding  *Finding
	Min, Max int
	Rules    []*Rule // that raise it to Max
}

// decider carries the work on one space.
type decider struct {
	s        *Space
	answers  Answers
	refusing []bool         // by variable: every value is possible; the others are for someone on site to meet
	refusals []diagram.Node // by method, or uncompiled
	status   []status       // by rule, or unasked
	byMethod [][]int        // rules that give some verdict other than ruled out, by method
	ifs      map[diagram.Node]described
	good     []diagram.Node // by method: a choice of the condition facts that keeps it open, or False
	against  [][]refuter    // by method
}

type status int

const (
	unasked status = iota
	open
	always
	never
)

// Decide answers one partial case. The answers must be of known facts and values. It returns a Contradiction instead if
// no case can have these answers.
func (b *Base) Decide(answers Answers) (*Decision, *Contradiction, error) {
	s, err := b.space(answers, 0)
	if err != nil {
		return nil, nil, err
	}
	var d *Decision
	var c *Contradiction
	err = s.Store.Try(func() {
		if c = s.contradiction(answers); c != nil {
			return
		}
		d = newDecider(s, answers).decide()
	})
	if err != nil || c != nil {
		return nil, c, err
	}
	if b.Stages != nil {
		if err := b.stages(d, answers); err != nil {
			return nil, nil, err
		}
	}
	return d, nil, nil
}

func newDecider(s *Space, answers Answers) *decider {
	b := s.Base
	d := &decider{s: s, answers: answers, ifs: map[diagram.Node]described{}}
	d.refusing = make([]bool, len(b.vars))
	for v, variable := range b.vars {
		d.refusing[v] = variable.fact.Blank != Condition
	}
	for range b.Methods {
		d.refusals = append(d.refusals, uncompiled)
	}
	d.good, d.against = make([]diagram.Node, len(b.Methods)), make([][]refuter, len(b.Methods))
	d.status = make([]status, len(b.Rules))
	d.byMethod = make([][]int, len(b.Methods))
	for i, r := range b.Rules {
		for v, set := range r.Gives {
			if v == RuledOut {
				continue
			}
			for m := range b.Methods {
				if set.Has(m) {
					d.byMethod[m] = append(d.byMethod[m], i)
				}
			}
		}
	}
	return d
}

// refuse returns the function "some rule rules the method out".
func (d *decider) refuse(m int) diagram.Node {
	if d.refusals[m] == uncompiled {
		d.refusals[m] = d.s.Gives(RuledOut, d.s.Base.Methods[m])
	}
	return d.refusals[m]
}

// fires says whether a rule fires in every case, in none, or is open.
func (d *decider) fires(i int) status {
	if d.status[i] == unasked {
		d.status[i] = d.settles(d.s.Rule(i))
	}
	return d.status[i]
}

// settles says whether a function is True in every case, in none, or is open.
func (d *decider) settles(n diagram.Node) status {
	switch {
	case n == diagram.True:
		return always
	case !d.s.Occurs(Defaults, n):
		return never
	case !d.s.Occurs(Defaults, d.s.Store.Not(n)):
		return always
	}
	return open
}

// verdict gives the verdict of a method in a world, without reasons.
func (d *decider) verdict(m int, w *world) Verdict {
	if !d.stays(m, w) {
		return RuledOut
	}
	return d.preference(m, w)
}

// preference gives the verdict of a method that is not ruled out in a world.
func (d *decider) preference(m int, w *world) Verdict {
	best := Possible
	for _, i := range d.byMethod[m] {
		for verdict, set := range d.s.Base.Rules[i].Gives {
			if verdict > best && verdict != RuledOut && set.Has(m) && d.mustFire(i, w) {
				best = verdict
			}
		}
	}
	return best
}

// mustFire reports whether a rule fires in every case of a world.
func (d *decider) mustFire(i int, w *world) bool {
	if w.view == Defaults && (w.extra == diagram.True || d.fires(i) != open) {
		return d.fires(i) == always
	}
	return !w.occurs(d.s.Store.Not(d.s.Rule(i)))
}

// care reports whether a ranking table may put a caution on a method in some case of a world.
func (d *decider) care(m int, w *world) bool {
	for i, r := range d.s.Base.Rules {
		if r.Cell == "" || !r.With.Has(m) || r.Attach[Caution] == nil || !d.s.Base.ranks(r.Cell) {
			continue
		}
		if w.view == Defaults && (w.extra == diagram.True || d.fires(i) == never) {
			if d.fires(i) != never {
				return true
			}
			continue
		}
		if w.occurs(d.s.Rule(i)) {
			return true
		}
	}
	return false
}

func (b *Base) ranks(table string) bool {
	for _, t := range b.Tables {
		if t.ID == table {
			return t.Ranks
		}
	}
	return false
}

// place is what the first choice goes by: smaller is better.
type place struct {
	class, care, rank int
}

func (p place) before(q place) bool {
	if p.class != q.class {
		return p.class < q.class
	}
	if p.care != q.care {
		return p.care < q.care
	}
	return p.rank < q.rank
}

// worst is the place of a method that is not offered; the last resort stands just before it.
var worst = place{class: 99}

func (d *decider) place(m int, verdict Verdict, care bool) place {
	method := d.s.Base.Methods[m]
	switch {
	case verdict == RuledOut || verdict == NoUse:
		return place{class: worst.class, rank: m}
	case method.LastResort:
		return place{class: worst.class - 1, rank: m}
	}
	p := place{class: map[Verdict]int{Favoured: 0, Possible: 1, Discouraged: 2}[verdict], rank: m}
	if care {
		p.care = 1
	}
	return p
}

func (d *decider) decide() *Decision {
	b := d.s.Base
	dec := &Decision{work: d}
	usual := d.s.world(Defaults)
	places := make([]place, len(b.Methods))
	for m, method := range b.Methods {
		o := &Outcome{Method: method}
		o.Verdict = d.verdict(m, usual)
		o.Care = d.care(m, usual)
		places[m] = d.place(m, o.Verdict, o.Care)
		switch {
		case o.Verdict == RuledOut:
			o.Until = d.until(m)
		case d.s.Occurs(Defaults, d.refuse(m)):
			allowed, possible := d.offer(m, d.s.Valid(Defaults, d.refuse(m)))
			box, _ := d.s.Store.Widest(allowed, possible)
			o.Conditions = b.requirements(box)
		}
		d.reasons(o, m)
		dec.Methods = append(dec.Methods, o)
	}
	dec.rank(places)
	for m, o := range dec.Methods {
		if o.Verdict.Offered() || o == dec.First {
			o.Notes = d.notes(m)
		}
	}
	for _, f := range b.Findings {
		dec.Findings = append(dec.Findings, d.finding(f))
	}
	open := d.open(func(m int) bool { return dec.Methods[m].Verdict.Offered() })
	dec.Open = b.asked(open)
	dec.Provisional = d.provisional(dec, places, open)
	return dec
}

// reasons lists the rules that give the verdict, and the open ones that could change it.
func (d *decider) reasons(o *Outcome, m int) {
	for i, r := range d.s.Base.Rules {
		if d.fires(i) == never {
			continue
		}
		for v, set := range r.Gives {
			if !set.Has(m) {
				continue
			}
			switch {
			case v == o.Verdict && (d.fires(i) == always || v == RuledOut):
				o.Reasons = append(o.Reasons, r)
			case d.fires(i) == open:
				o.Changes = append(o.Changes, r)
			}
		}
	}
	// Rules that are sure come before those that only may fire.
	rank := map[*Rule]int{}
	for i, r := range d.s.Base.Rules {
		if d.fires(i) == open {
			rank[r] = 1
		}
	}
	slices.SortStableFunc(o.Reasons, func(x, y *Rule) int { return rank[x] - rank[y] })
}

// notes lists what is attached to an offered method: everything that some case asks for in which it is offered.
func (d *decider) notes(m int) []Attached {
	b, st := d.s.Base, d.s.Store
	var notes []Attached
	at := map[*Note]int{}
	asks := map[*Note][]diagram.Node{} // where some rule attaches the note
	for i, r := range b.Rules {
		if !r.With.Has(m) || len(r.Attach) == 0 || d.fires(i) == never {
			continue
		}
		sure := d.fires(i) == always
		if !sure {
			n, offered := d.s.Rule(i), st.Not(d.refuse(m))
			if !b.Methods[m].LastResort && !d.s.Occurs(Defaults, n, offered) {
				continue
			}
			sure = d.s.Occurs(Defaults, offered) && !d.s.Occurs(Defaults, st.Not(n), offered)
		}
		for _, kind := range NoteKinds {
			for _, id := range r.Attach[kind] {
				note := b.notes[kind][id]
				asks[note] = append(asks[note], d.s.Rule(i))
				if k, ok := at[note]; !ok {
					at[note] = len(notes)
					notes = append(notes, Attached{Note: note, Rule: r, Sure: sure})
				} else if sure && !notes[k].Sure {
					notes[k].Sure, notes[k].Rule = true, r
				}
			}
		}
	}
	for k, a := range notes {
		if !a.Sure {
			notes[k].If, notes[k].Else = d.when(st.OrAll(asks[a.Note]))
		}
	}
	slices.SortStableFunc(notes, func(x, y Attached) int { return x.Note.Rank - y.Note.Rank })
	return notes
}

// described is a description in words of where a function is True.
type described struct {
	box  []Requirement
	more bool // it is True elsewhere too
}

// when describes the cases in which a function is True by the widest box of them, and says whether it is True elsewhere.
func (d *decider) when(n diagram.Node) (box []Requirement, more bool) {
	if w, ok := d.ifs[n]; ok {
		return w.box, w.more
	}
	st := d.s.Store
	valid := d.s.Valid(Defaults, n)
	var w described
	if c, ok := st.Widest(n, valid); ok {
		all := st.And(n, valid)
		within := diagram.True
		for v, set := range c {
			if set != 0 {
				within = st.And(within, st.Literal(diagram.Var(v), set))
			}
		}
		w = described{d.s.Base.requirements(c), st.And(all, st.Not(within)) != diagram.False}
	}
	d.ifs[n] = w
	return w.box, w.more
}

func (d *decider) finding(f *Finding) Level {
	l := Level{Finding: f}
	for k := 1; k < len(f.Scale); k++ {
		switch d.settles(d.s.Finding(f, k)) {
		case always:
			l.Min, l.Max = k, k
		case open:
			l.Max = k
		}
	}
	for i, r := range d.s.Base.Rules {
		if level, ok := r.Raises[f.ID]; ok && d.fires(i) != never && slices.Index(f.Scale, level) >= l.Max && l.Max > 0 {
			l.Rules = append(l.Rules, r)
		}
	}
	return l
}
