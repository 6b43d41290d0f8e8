package audit

import (
	"fmt"
	"slices"

	"patchfirst/rules"
	"patchfirst/rules/cases"
)

// firstsKept checks on a partial case the promises that a method is never first: the first choice of a partial case may be
// none of its complete cases', so the proof over those does not speak of it. A promise speaks of a partial case if its
// condition holds in every complete case that the answers leave.
func firstsKept(b *rules.Base, c *cases.Case, prepare Prepare) (broken []cases.Failure, err error) {
	if !slices.ContainsFunc(b.Promises, func(p *rules.Promise) bool { return p.NeverFirst != 0 }) {
		return nil, nil
	}
	o, contradiction, err := b.Outline(ready(b, c.Given, prepare))
	if err != nil || contradiction != nil {
		return nil, err
	}
	err = o.Try(func() {
		for _, p := range b.Promises {
			if p.NeverFirst == 0 {
				continue
			}
			speaks := p.When == nil
			if !speaks {
				speaks, _ = o.Settles(p.When.Root)
			}
			if !speaks {
				continue
			}
			if first := o.First(); p.NeverFirst.Has(first.Rank) {
				broken = append(broken, cases.Failure{Case: c, What: fmt.Sprintf("the first choice is %s, and it is promised that it never is", first.ID), Why: fmt.Sprintf("%s (%s): %s", p.ID, p.Pos, p.Because)})
			}
		}
	})
	return broken, err
}
