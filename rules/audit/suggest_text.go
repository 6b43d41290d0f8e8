package audit

import (
	"fmt"
	"strings"

	"patchfirst/rules"
	"patchfirst/rules/cases"
)

// expect says what a case expects in which a fault shows: what the rule says if it fires there, else that it says nothing.
func (g *suggester) expect(t *Tried, d *difference) (c *cases.Case, text string, fires bool) {
	b, st := g.in.s.Base, g.in.s.Store
	c = &cases.Case{Expect: cases.Expect{Verdicts: map[rules.Verdict][]string{}}}
	e := &c.Expect
	if d.finding != nil {
		level := 0
		for level+1 < len(d.finding.Scale) && st.Eval(g.in.s.Finding(d.finding, level+1), d.values) == 1 {
			level++
		}
		e.Findings = map[string]string{d.finding.ID: d.finding.Scale[level]}
		return c, fmt.Sprintf("{findings: {%s: %s}}", d.finding.ID, d.finding.Scale[level]), d.lost
	}
	if d.kind != "" {
		by, word := map[string][]string{d.method.ID: {d.id}}, "with"
		if e.With = by; !d.lost {
			e.With, e.Without, word = nil, by, "without"
		}
		return c, fmt.Sprintf("{%s: {%s: [%s]}}", word, d.method.ID, d.id), d.lost
	}
	ids := []string{d.method.ID}
	if d.lost {
		// All that the rule says of this kind, as far as nothing outdoes it.
		ids = nil
		for _, m := range b.Methods {
			if t.Rule.Gives[d.verdict].Has(m.Rank) && st.Eval(g.in.s.Verdict(m), d.values) == int(d.verdict) {
				ids = append(ids, m.ID)
			}
		}
	}
	verdict := rules.Verdict(st.Eval(g.in.s.Verdict(d.method), d.values))
	word := verdict.String()
	if verdict == rules.RuledOut {
		e.RuledOut = ids
	} else if verdict.Offered() && !d.lost && d.verdict == rules.RuledOut {
		e.Offered, word = ids, "offered"
	} else {
		e.Verdicts[verdict] = ids
	}
	return c, fmt.Sprintf("{%s: [%s]}", word, strings.Join(ids, ", ")), d.lost
}

// write writes a case file. What the rule says has the rule's source; that it says nothing elsewhere has none.
func (f *suggestion) write(b *rules.Base) string {
	var out strings.Builder
	fmt.Fprintf(&out, "- case: the rule %s\n  source: %s\n  given: %s\n  expect: %s\n", f.rule.ID, marking(f.rule, f.fires), givenText(given(b, f.given)), f.expect)
	for i, v := range f.variants {
		if i == 0 {
			out.WriteString("  variants:\n")
		}
		fmt.Fprintf(&out, "    - given: %s\n      expect: %s\n", givenText(given(b, v.given)), v.expect)
		if m := marking(f.rule, v.fires); m != marking(f.rule, f.fires) {
			fmt.Fprintf(&out, "      source: %s\n", m)
		}
	}
	return out.String()
}

// marking is the source of an expectation.
func marking(r *rules.Rule, fires bool) string {
	if !fires {
		return "invented"
	}
	for _, id := range r.Sources {
		if id != rules.CommonPractice && id != rules.FromMemory {
			return fmt.Sprintf("{id: %s}", id)
		}
	}
	return r.Sources[0]
}
