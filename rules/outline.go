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
	places   map[int]place
	first    int // -1 until it is known
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
	return &Outline{d: d, verdicts: map[int]Verdict{}, places: map[int]place{}, first: -1}
}

// Verdict returns the verdict of the method of a rank.
func (o *Outline) Verdict(m int) Verdict {
	v, ok := o.verdicts[m]
	if !ok {
		v = o.d.verdict(m, o.d.s.world(Defaults))
		o.verdicts[m] = v
	}
	return v
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
	d, st := o.d, o.d.s.Store
	for i, r := range d.s.Base.Rules {
		if !slices.Contains(r.Attach[kind], id) || d.fires(i) == never {
			continue
		}
		for m, method := range d.s.Base.Methods {
			if !r.With.Has(m) || !o.Verdict(m).Offered() && o.First() != method {
				continue
			}
			if d.fires(i) == always || method.LastResort || d.s.Occurs(Defaults, d.s.Rule(i), st.Not(d.refuse(m))) {
				return true
			}
		}
	}
	return false
}

// Level returns the highest level that a finding may have, by its place in the scale.
func (o *Outline) Level(f *Finding) int {
	for k := len(f.Scale) - 1; k > 0; k-- {
		if n := o.d.s.levels(f)[k]; n == diagram.True || o.d.s.Occurs(Defaults, n) {
			return k
		}
	}
	return 0
}
