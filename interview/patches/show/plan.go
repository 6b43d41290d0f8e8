package show

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"patchfirst/explain"
	"patchfirst/interview/patches"
	"patchfirst/rules"
)

// Plan writes the plan of the patches of a part for people, in lines of at most width runes.
func Plan(out io.Writer, b *rules.Base, f *patches.Figures, name string, plan *patches.Plan, width int) error {
	p := &paper{base: b, width: width}
	p.title("Test patches: "+name, "-")
	if plan.Why != "" {
		p.none(plan)
	} else {
		p.before(plan)
		for _, c := range plan.Candidates {
			p.candidate(c, plan)
		}
		p.head("Where")
		p.where(plan)
		p.line("")
		p.WriteString(Map(plan, width))
		p.head("What a result means")
		for _, m := range plan.Means {
			p.para("  * ", "%s %s", m.Say, p.cite(m.SourceNames))
		}
		p.again(plan)
		p.left(plan)
	}
	p.sources(f)
	_, err := io.WriteString(out, p.String())
	return err
}

func (p *paper) none(plan *patches.Plan) {
	p.para("", "%s", plan.Why)
	if len(plan.Missing) > 0 {
		p.head("Find out first")
		for _, id := range plan.Missing {
			f := p.base.Fact(id)
			ask := strings.ReplaceAll(id, "_", " ")
			if f != nil && f.Ask != "" {
				ask = f.Ask
			}
			p.para("  * ", "%s", ask)
			if f != nil && f.FindOut != "" {
				p.para("    ", "%s", f.FindOut)
			}
		}
	}
	if len(plan.Keep) > 0 {
		p.head("Instead")
		p.notes(plan.Holds, "  HOLD ")
		p.notes(plan.Keep, "  * ")
	}
	if len(plan.Refer) > 0 {
		p.head("Whom to call")
		for _, n := range plan.Refer {
			p.para("  > ", "%s %s", n.Note.Say, p.cite(n.Note.Sources))
			p.para("    Until then: ", "%s", n.Note.Meanwhile)
		}
	}
}

func (p *paper) notes(notes []rules.Attached, lead string) {
	for _, n := range notes {
		iff := ""
		if !n.Sure && len(n.If) > 0 {
			iff = "If " + explain.Requirements(p.base, n.If) + ": "
		}
		p.para(lead, "%s%s %s", iff, n.Note.Say, p.cite(n.Note.Sources))
	}
}

func (p *paper) before(plan *patches.Plan) {
	p.head("Before the first patch")
	if len(plan.Stage) > 0 {
		p.para("  ", "No single method takes every coat. These patches are for the first stage: %s. Count the coats of that stage only, and plan again when it is off.", p.coats(plan.Stage))
	}
	p.onlyIf(plan.Conditions, "  ")
	p.notes(plan.Holds, "  HOLD ")
	for _, w := range plan.Warnings {
		p.para("  ! ", "%s %s", w, p.cite(plan.Warmth.SourceNames))
	}
	p.para("  ", "What the advice says for each method holds for its patch too: cautions, holds, waste.")
}

// coats names the coats of a stage.
func (p *paper) coats(ids []string) string {
	words := slices.Clone(ids)
	if p.base.Stages != nil {
		for i, id := range ids {
			words[i] = p.base.Fact(p.base.Stages.Fact).Label(id)
		}
	}
	return joined(words, "and")
}

func (p *paper) onlyIf(conditions []rules.Requirement, indent string) {
	for i, r := range conditions {
		lead := indent + "only if  "
		if i > 0 {
			lead = indent + "   and   "
		}
		p.para(lead, "%s", explain.Requirement(p.base, r))
	}
}

func (p *paper) candidate(c patches.Planned, plan *patches.Plan) {
	role := "fallback"
	if c.First {
		role = "first choice"
	}
	if c.Outcome.Verdict == rules.Discouraged {
		role += ", discouraged"
	}
	p.line("")
	p.para(c.Letter+". ", "%s (%s)", c.Outcome.Method.Label, role)
	p.onlyIf(c.Conditions, "   ")
	for _, pp := range c.Patches {
		what := "on " + areaWords(pp.Area)
		if pp.Thickness > 0 {
			what = fmt.Sprintf("%g mm of wet paste, on %s", pp.Thickness, areaWords(pp.Area))
		}
		p.para("   "+pp.Label+"  ", "%s", what)
	}
	switch {
	case len(c.Range.Look) > 0:
		p.para("   Look after ", "%s. %s", durations(c.Patches[0].Look), p.cite(c.Range.SourceNames))
	case c.HasRange:
		p.para("   ", "%s %s", c.Range.Say, p.cite(c.Range.SourceNames))
	default:
		p.para("   ", "No looking time is published or common. Work on until the coat lifts or the surface shows, and note how long it took.")
	}
	if len(c.Range.Look) > 0 && c.Range.Say != "" {
		p.para("   ", "%s", c.Range.Say)
	}
	if c.Range.Passes > 1 {
		p.para("   ", "At most %d passes; then change the method.", c.Range.Passes)
	}
	if c.Range.CoatsNotSeen {
		p.para("   ", "The coats were not counted, so this spans more than one range. Count them, and it narrows.")
	}
	if c.Range.Beyond {
		p.para("   ", "There are more coats than the range speaks of: expect longer, or a second application.")
	}
	if c.Range.StopBecause != "" {
		p.para("   STOP at "+patches.Duration(c.Range.Stop)+". ", "%s", c.Range.StopBecause)
	}
}

func (p *paper) where(plan *patches.Plan) {
	s := plan.Size
	or := ""
	if s.Or != "" {
		or = ", or " + s.Or
	}
	p.para("  ", "Each patch is %g × %g mm%s. %s Leave %g mm between them. Choose places with the same coats, where they are seen least.", s.Width, s.Height, or, p.cite(s.SourceNames), plan.Gap)
	if plan.Few != "" {
		p.para("  ", "One patch for each method: %s", strings.ToLower(plan.Few[:1])+plan.Few[1:])
	}
	p.para("  ", "Leave one spot untouched as the control. Try the gentlest method first, and stop when one is proven.")
	p.para("  ", "Record for each: time, surface temperature, coats left, how they lift, harm, pH beside the control, and who looked.")
}

func (p *paper) again(plan *patches.Plan) {
	p.head("Look again for slow harm")
	p.para("  ", "After %s. %s %s", durations(plan.Again.Look), plan.Again.Say, p.cite(plan.Again.SourceNames))
	for _, s := range plan.Slow {
		p.para("  ", "%s %s", s.Say, p.cite(s.SourceNames))
	}
}

func (p *paper) left(plan *patches.Plan) {
	if len(plan.Left) == 0 {
		return
	}
	p.head("Open, and not planned now")
	for i, l := range plan.Left {
		if i > 0 && plan.Left[i-1].Why == l.Why {
			continue
		}
		var names []string
		for _, same := range plan.Left[i:] {
			if same.Why != l.Why {
				break
			}
			names = append(names, same.Method.Label)
		}
		p.para("  - ", "%s: %s", strings.Join(names, "; "), l.Why)
	}
}
