package patches

import (
	"cmp"
	"fmt"
	"slices"

	"patchfirst/rules"
)

// choose takes the first choice and the best fallbacks that may be patched, and puts the gentlest first. Discouraged
// methods are taken only where there are too few others.
func (p *Plan) choose(b *rules.Base, f *Figures, d *rules.Decision, try []*rules.Outcome) []*rules.Outcome {
	least, most := f.Layout.Usual, f.Layout.Usual
	if try[0].Verdict != rules.Favoured {
		most++ // no rule speaks for the first choice
	}
	if mayReach(d, f.Layout.Finding) {
		least, most = f.Layout.Precious, max(most, f.Layout.Precious)
	}
	most = min(most, f.Layout.Most)
	var chosen, discouraged []*rules.Outcome
	for _, o := range try {
		i := slices.IndexFunc(f.NoPatch, func(s Saying) bool { return s.ID == o.Method.ID })
		switch {
		case o.Method.Keeps || o.Method.LastResort:
		case i >= 0:
			p.Left = append(p.Left, Left{o.Method, f.NoPatch[i].Say})
		case !p.known(b, o):
			p.Left = append(p.Left, Left{o.Method, "The rules allow a patch of it only when more is known."})
		case o.Verdict == rules.Discouraged:
			discouraged = append(discouraged, o)
		case len(chosen) < most:
			chosen = append(chosen, o)
		default:
			p.Left = append(p.Left, Left{o.Method, "A fallback, to be tried if these fail."})
		}
	}
	for _, o := range discouraged {
		if len(chosen) < least {
			chosen = append(chosen, o)
		} else {
			p.Left = append(p.Left, Left{o.Method, "It is discouraged here."})
		}
	}
	if n := len(chosen); n > 0 && n < least {
		p.Scarce = fmt.Sprintf("%s here. The rules leave %d, so no more are planned.", wanted(least), n)
	}
	slices.SortFunc(chosen, func(a, b *rules.Outcome) int { return cmp.Compare(a.Method.Rank, b.Method.Rank) })
	return chosen
}

func wanted(methods int) string {
	return fmt.Sprintf("At least %d methods should be tried", methods)
}

// known reports whether a method may be patched with these answers. A fact that someone on site can check is a condition
// of the patch; any other blank that matters is noted as missing.
func (p *Plan) known(b *rules.Base, o *rules.Outcome) bool {
	ok, only := Patchable(o)
	for _, r := range only {
		if f := b.Fact(r.Fact); f == nil || f.Blank != rules.Condition {
			ok = false
			if !slices.Contains(p.Missing, r.Fact) {
				p.Missing = append(p.Missing, r.Fact)
			}
		}
	}
	return ok
}
