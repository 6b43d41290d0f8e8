package rules

import (
	"slices"

	"patchfirst/rules/diagram"
)

// Outline is a decision without its reasons: what is asked of it is found out when it is asked. It is not for use by
// several goroutines at once.
type Outline struct {
	d        *decider
	verdicts map[int]Verdict
	open     map[int]bool // by method, whether it is not ruled out
	places   map[int]place
	refusers map[int][]int // by method, the rules that rule it out in every case
	first    int           // -1 until it is known
}

// Outline decides a partial case as Decide does, as far as it is asked.
func (b *Base) Outline(answers Answers) (*Outline, *Contradiction, error) {
	s, err := b.space(answers, 0)
	if err != nil {
		return nil, nil, err
	}
	var o *Outline
	var c *Contradiction
	err = s.Store.Try(func() {
		if c = s.contradiction(answers); c == nil {
			o = newOutline(newDecider(s, answers))
		}
	})
	return o, c, err
}

func newOutline(d *decider) *Outline {
	return &Outline{d: d, verdicts: map[int]Verdict{}, open: map[int]bool{}, places: map[int]place{}, refusers: map[int][]int{}, first: -1}
}

// Verdict returns the verdict of the method of a rank.
func (o *Outline) Verdict(m int) Verdict {
	v, ok := o.verdicts[m]
	if !ok {
		usual := o.d.s.world(Defaults)
		open, known := o.open[m]
		if !known {
			open = o.d.stays(m, usual)
			o.open[m] = open
		}
		if v = RuledOut; open {
			v = o.d.preference(m, usual)
		}
		o.verdicts[m] = v
	}
	return v
}

// refusedBy lists the rules that rule a method out in every case.
func (o *Outline) refusedBy(m int) []int {
	list, ok := o.refusers[m]
	if !ok {
		for i, r := range o.d.s.Base.Rules {
			if r.Gives[RuledOut].Has(m) && o.d.fires(i) == always {
				list = append(list, i)
			}
		}
		o.refusers[m] = list
	}
	return list
}

// First returns the first choice.
func (o *Outline) First() *Method {
	if o.first < 0 {
		o.first = 0
		for m := range o.d.s.Base.Methods {
			if o.place(m).before(o.place(o.first)) {
				o.first = m
			}
		}
	}
	return o.d.s.Base.Methods[o.first]
}

func (o *Outline) place(m int) place {
	p, ok := o.places[m]
	if !ok {
		p = o.d.place(m, o.Verdict(m), o.d.care(m, o.d.s.world(Defaults)))
		o.places[m] = p
	}
	return p
}

// Has reports whether a method that is offered, or is first, has a note.
func (o *Outline) Has(kind NoteKind, id string) bool {
	return slices.ContainsFunc(o.d.s.Base.Methods, func(m *Method) bool { return o.shows(m, id, kind) })
}

// Shows reports whether a method is offered, or is first, and has a note of any kind with this id.
func (o *Outline) Shows(m *Method, id string) bool { return o.shows(m, id, NoteKinds...) }

func (o *Outline) shows(m *Method, id string, kinds ...NoteKind) bool {
	d, st := o.d, o.d.s.Store
	for i, r := range d.s.Base.Rules {
		if !r.With.Has(m.Rank) || !slices.ContainsFunc(kinds, func(k NoteKind) bool { return slices.Contains(r.Attach[k], id) }) {
			continue
		}
		if d.fires(i) == never || !o.Verdict(m.Rank).Offered() && o.First() != m {
			continue
		}
		if d.fires(i) == always || m.LastResort || d.s.Occurs(Defaults, d.s.Rule(i), st.Not(d.refuse(m.Rank))) {
			return true
		}
	}
	return false
}

// MayAttach reports whether in some case that the answers leave a rule attaches a note to a method, offered or not.
func (o *Outline) MayAttach(kind NoteKind, id string, m *Method) bool {
	for i, r := range o.d.s.Base.Rules {
		if r.With.Has(m.Rank) && slices.Contains(r.Attach[kind], id) && o.d.fires(i) != never {
			return true
		}
	}
	return false
}

// Try runs f, which may ask the outline, and returns the *diagram.TooLarge with which a question gave up, if one did.
func (o *Outline) Try(f func()) error { return o.d.s.Store.Try(f) }

// Level returns the highest level that a finding may have, by its place in the scale.
func (o *Outline) Level(f *Finding) int {
	for k := len(f.Scale) - 1; k > 0; k-- {
		if n := o.d.s.levels(f)[k]; n == diagram.True || o.d.s.Occurs(Defaults, n) {
			return k
		}
	}
	return 0
}

// Counts reports whether a rule counts on the case: it fires in every case that the answers leave, or it rules something
// out and may fire.
func (o *Outline) Counts(i int) bool {
	status := o.d.fires(i)
	return status == always || status == open && o.d.s.Base.Rules[i].Gives[RuledOut] != 0
}

// Settles reports whether a test holds in every case that the answers leave, or in none.
func (o *Outline) Settles(t *Test) (holds, fails bool) {
	status := o.d.settles(o.d.s.test(t))
	return status == always, status == never
}

// Decides reports whether the case would come out otherwise without a rule: a method of the rule would have another verdict,
// an offered one would lack a note, or a finding would be lower.
func (o *Outline) Decides(i int) bool {
	r := o.d.s.Base.Rules[i]
	without := o.With(i, &Rule{ID: r.ID, When: r.When})
	if without == nil {
		return false
	}
	for id := range r.Raises {
		if f := o.d.s.Base.findings[id]; o.Level(f) != without.Level(f) {
			return true
		}
	}
	for m, method := range o.d.s.Base.Methods {
		for _, set := range r.Gives {
			if set.Has(m) && o.Verdict(m) != without.Verdict(m) {
				return true
			}
		}
		for _, kind := range NoteKinds {
			for _, id := range r.Attach[kind] {
				if r.With.Has(m) && o.shows(method, id, kind) != without.shows(method, id, kind) {
					return true
				}
			}
		}
	}
	return false
}
