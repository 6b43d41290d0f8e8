package audit

import (
	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// exemplify looks for few answers on which the base breaks the promise when it decides.
func (p *Proof) exemplify(b *rules.Base, prepare Prepare) error {
	if p.Outcome != diagram.Found {
		return nil
	}
	answers, ok, err := simplest(b, b.Answers(p.Values), nil, nil, func(answers rules.Answers) (broken bool, err error) {
		o, contradiction, err := b.Outline(ready(b, answers, prepare))
		if err != nil || contradiction != nil {
			return false, err
		}
		err = o.Try(func() { broken = breaks(o, p.Promise, p.Method) })
		return broken, err
	})
	if ok {
		p.Example = append([]Given{}, given(b, answers)...) // no answers at all are an example, too
	}
	return err
}

// breaks reports whether a partial case breaks a promise by a method: its condition holds in every case that the answers
// leave, and by its form the method is offered, is first, or is offered and nothing can attach the note.
func breaks(o *rules.Outline, p *rules.Promise, m *rules.Method) bool {
	if p.When != nil {
		if holds, _ := o.Settles(p.When.Root); !holds {
			return false
		}
	}
	if p.NeverFirst != 0 {
		return o.First() == m
	}
	return o.Verdict(m.Rank) != rules.RuledOut && (p.AlwaysWith == 0 || !o.MayAttach(p.Kind, p.Note, m))
}
