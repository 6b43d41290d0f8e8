package show

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"patchfirst/explain"
	"patchfirst/interview/paper"
	"patchfirst/interview/patches"
	"patchfirst/rules"
)

// Plan writes the plan of the patches of a part for people, in lines of at most width runes.
func Plan(out io.Writer, b *rules.Base, f *patches.Figures, name string, plan *patches.Plan, width int) error {
	p := newWriter(b, f, width)
	p.Title("Test patches: "+name, "-")
	if plan.Why != "" {
		p.none(plan)
	} else {
		p.before(plan)
		for _, c := range plan.Candidates {
			p.candidate(c, plan)
		}
		p.Head("Where")
		p.where(plan)
		p.Line("")
		p.WriteString(Map(plan, width))
		p.Head("What a result means")
		for _, m := range plan.Means {
			p.Para("  * ", "%s %s", m.Say, p.Cite(m.SourceNames))
		}
		p.finish(plan)
		p.again(plan)
		p.left(plan)
	}
	p.Sources()
	_, err := io.WriteString(out, p.String())
	return err
}

func (p *writer) none(plan *patches.Plan) {
	p.Para("", "%s", plan.Why)
	for _, n := range plan.Never {
		p.Para("", "%s %s", n.Say, p.Cite(n.SourceNames))
	}
	if len(plan.Missing) > 0 {
		p.Head("Find out first")
		for _, id := range plan.Missing {
			f := p.Base.Fact(id)
			ask := strings.ReplaceAll(id, "_", " ")
			if f != nil && f.Ask != "" {
				ask = f.Ask
			}
			p.Para("  * ", "%s", ask)
			if f != nil && f.FindOut != "" {
				p.Para("    ", "%s", f.FindOut)
			}
		}
	}
	if len(plan.Keep) > 0 {
		p.Head("Instead")
		p.notes(plan.Holds, "  HOLD ")
		p.notes(plan.Keep, "  * ")
	}
	if len(plan.Refer) > 0 {
		p.Head("Whom to call")
		for _, n := range plan.Refer {
			p.Para("  > ", "%s %s", n.Note.Say, p.Cite(n.Note.Sources))
			p.Para("    Until then: ", "%s", n.Note.Meanwhile)
		}
	}
}

func (p *writer) notes(notes []rules.Attached, lead string) {
	for _, n := range notes {
		p.Para(lead, "%s%s %s", explain.If(p.Base, n.If, n.Else), n.Note.Say, p.Cite(n.Note.Sources))
	}
}

func (p *writer) before(plan *patches.Plan) {
	p.Head("Before the first patch")
	if len(plan.Stage) > 0 {
		p.Para("  ", "No single method takes every coat. These patches are for the first stage: %s. Count the coats of that stage only, and plan again when it is off.", p.coats(plan.Stage))
	}
	p.onlyIf(plan.Conditions, "  ")
	p.notes(plan.Holds, "  HOLD ")
	if plan.Wait != "" {
		p.Para("  HOLD ", "%s %s", plan.Wait, p.Cite(plan.Warmth.SourceNames))
	}
	for _, w := range plan.Warnings {
		p.Para("  ! ", "%s %s", w, p.Cite(plan.Warmth.SourceNames))
	}
	if f := plan.Film; f != nil {
		p.Para("  ", "The paint measures %s, as much as %g coats of %s. The ranges are for that many. %s", f.Reading, f.Coats, f.Each, p.Cite(f.SourceNames))
	}
	if plan.Scarce != "" {
		p.Para("  ! ", "%s", plan.Scarce)
	}
	p.Para("  ", "What the advice says for each method holds for its patch too: cautions, holds, waste.")
}

// coats names the coats of a stage.
func (p *writer) coats(ids []string) string {
	words := slices.Clone(ids)
	if p.Base.Stages != nil {
		for i, id := range ids {
			words[i] = p.Base.Fact(p.Base.Stages.Fact).Label(id)
		}
	}
	return paper.Joined(words, "and")
}

func (p *writer) onlyIf(conditions []rules.Requirement, indent string) {
	for i, r := range conditions {
		lead := indent + "only if  "
		if i > 0 {
			lead = indent + "   and   "
		}
		p.Para(lead, "%s", explain.Requirement(p.Base, r))
	}
}

func (p *writer) candidate(c patches.Planned, plan *patches.Plan) {
	role := "fallback"
	if c.First {
		role = "first choice"
	}
	if c.Outcome.Verdict == rules.Discouraged {
		role += ", discouraged"
	}
	p.Line("")
	p.Para(c.Letter+". ", "%s (%s)", c.Outcome.Method.Label, role)
	p.onlyIf(c.Conditions, "   ")
	for _, pp := range c.Patches {
		what := "on " + areaWords(pp.Area)
		if pp.Thickness > 0 {
			what = fmt.Sprintf("%g mm of wet paste, on %s", pp.Thickness, areaWords(pp.Area))
		}
		p.Para("   "+pp.Label+"  ", "%s", what)
	}
	switch {
	case len(c.Range.Look) > 0:
		p.Para("   Look after ", "%s. %s", durations(c.Patches[0].Look), p.Cite(c.Range.SourceNames))
	case c.HasRange:
		p.Para("   ", "%s %s", c.Range.Say, p.Cite(c.Range.SourceNames))
	default:
		p.Para("   ", "No looking time is published or common. Work on until the coat lifts or the surface shows, and note how long it took.")
	}
	if len(c.Range.Look) > 0 && c.Range.Say != "" {
		p.Para("   ", "%s", c.Range.Say)
	}
	if c.Range.Passes > 1 {
		p.Para("   ", "At most %d passes; then change the method.", c.Range.Passes)
	}
	if c.Range.CoatsNotSeen {
		p.Para("   ", "The coats were not counted, so this spans more than one range. Count them, and it narrows.")
	}
	if c.Range.Beyond {
		p.Para("   ", "There are more coats than the range speaks of: expect longer, or a second application.")
	}
	if c.Range.StopBecause != "" {
		p.Para("   STOP at "+patches.Duration(c.Range.Stop)+". ", "%s", c.Range.StopBecause)
	}
}

func (p *writer) where(plan *patches.Plan) {
	s := plan.Size
	or := ""
	if s.Or != "" {
		or = ", or " + s.Or
	}
	p.Para("  ", "Each patch is %g × %g mm%s. %s Leave %g mm between them. %s Choose places with the same coats, where they are seen least.", s.Width, s.Height, or, p.Cite(s.SourceNames), plan.Gap, p.Cite(plan.GapSources))
	if plan.Few != "" {
		p.Para("  ", "One patch for each method: %s", strings.ToLower(plan.Few[:1])+plan.Few[1:])
	}
	p.Para("  ", "Chalk the label of each beside it, as on the map, and take a photograph with it.")
	p.Para("  ", "Leave one spot untouched as the control. Try the gentlest method first, and stop when one is proven.")
	p.Para("  ", "Record for each: time, surface temperature, coats left, how they lift, harm, pH beside the control, and who looked.")
}

// finish says how every patch ends. Acid or none hangs on the surface, so it is the rules that say it.
func (p *writer) finish(plan *patches.Plan) {
	p.Head("Finish every patch")
	p.Para("  ", "%s %s", plan.Ending.Say, p.Cite(plan.Ending.SourceNames))
	for _, n := range plan.Finish {
		lead := "  " + strings.Join(n.For, ", ") + "  "
		if n.Note.Kind == rules.Hold {
			lead += "HOLD "
		}
		p.notes([]rules.Attached{n.Attached}, lead)
	}
}

func (p *writer) again(plan *patches.Plan) {
	p.Head("Look again for slow harm")
	p.Para("  ", "After %s. %s %s", durations(plan.Again.Look), plan.Again.Say, p.Cite(plan.Again.SourceNames))
	for _, s := range plan.Slow {
		p.Para("  ", "%s %s", s.Say, p.Cite(s.SourceNames))
	}
}

func (p *writer) left(plan *patches.Plan) {
	if len(plan.Left) == 0 {
		return
	}
	p.Head("Open, and not planned now")
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
		p.Para("  - ", "%s: %s", strings.Join(names, "; "), l.Why)
	}
}
