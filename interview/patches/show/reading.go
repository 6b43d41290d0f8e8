package show

import (
	"fmt"
	"io"
	"math"
	"slices"

	"patchfirst/interview/paper"
	"patchfirst/interview/patches"
	"patchfirst/rules"
)

// Reading writes what the patches of a part show, and what to do next, in lines of at most width runes.
func Reading(out io.Writer, b *rules.Base, f *patches.Figures, name string, r *patches.Reading, width int) error {
	p := newWriter(b, f, width)
	p.Title("What the patches show: "+name, "-")
	p.next(f, r)
	if len(r.Questions) > 0 {
		p.Head("Questions to whoever wrote the log")
		for _, q := range r.Questions {
			p.Para(fmt.Sprintf("  ? entry %d: ", q.Entry), "%s", q.Ask)
		}
	}
	for _, c := range r.Candidates {
		p.shown(f, r, c)
	}
	p.Sources()
	_, err := io.WriteString(out, p.String())
	return err
}

func (p *writer) shown(f *patches.Figures, r *patches.Reading, c *patches.Candidate) {
	p.Head(paper.Capital(c.Method.Label))
	p.Para("  ", "%s.", paper.Capital(c.State.Words()))
	if c.State == patches.Refused && c.Outcome != nil && len(c.Outcome.Reasons) > 0 {
		p.Para("  ", "%s %s", c.Outcome.Reasons[0].Because, p.Cite(c.Outcome.Reasons[0].Sources))
	}
	for _, t := range c.Tests {
		p.test(f, t, r.ControlPH)
	}
	p.temperature(f, c)
	for _, b := range c.Brackets {
		p.bracket(c, b)
	}
	for _, k := range c.Contradictions {
		p.Para("  ! ", "Contradiction: %s still had coats left after %s (entry %d), while %s was clean after %s (entry %d). The paste was no thinner. Nothing is averaged: the slower counts. %s",
			k.Left.Label, patches.Duration(k.LeftMinutes), k.LeftEntry, k.Gone.Label, patches.Duration(k.GoneMinutes), k.GoneEntry, differs(k))
	}
	p.dwell(f, c)
	p.few(f, c)
	switch n := len(c.HarmFree); {
	case n > 0:
		last := c.HarmFree[n-1]
		p.Para("  ", "Without harm after %s: %.0f %% of the patches (Kaplan and Meier).", patches.Duration(last.Time), 100*last.Share)
	case c.Watched > 0:
		p.Para("  ", "No harm on the %d watched. Harm on up to %.0f %% of such places is not ruled out (exact limit, %g %%).", c.Watched, math.Ceil(100*c.HarmAtMost), 100*f.Layout.Confidence)
	}
}

// dwell says what time and thickness the patches advise, and what the temperature and the stop do to it.
func (p *writer) dwell(f *patches.Figures, c *patches.Candidate) {
	d := c.Dwell
	if d == nil {
		return
	}
	look := fmt.Sprintf("Begin to look after %s; the %s between are the margin.", patches.Duration(d.From), patches.Duration(d.Minutes-d.From))
	if d.From == 0 {
		look = "No look before it found coats left, so look from early on; how much of it is margin is not known."
	}
	p.Para("  Advised: ", "%s. %s", trimmed(dwellWords(d)), look)
	longest := d.Minutes
	if d.Elsewhere {
		longest = max(longest, d.JobMinutes)
		p.Para("  ", "At %g °C, as the job tells of the surface: %s.", d.JobSurface, patches.Duration(d.JobMinutes))
		if d.JobSurface < f.Warmth.NoneBelow {
			p.Para("  ! ", "%s", f.Warmth.SayBelow)
		}
	}
	if c.Range.Stop > 0 && longest > c.Range.Stop {
		p.Para("  ! ", "That is longer than %s, at which the paste comes off, clean or not. %s %s", patches.Duration(c.Range.Stop), c.Range.StopBecause, p.Cite(c.Range.SourceNames))
	}
}

// differs says what may lie behind a contradiction.
func differs(k patches.Contradiction) string {
	if k.Left.Area != k.Gone.Area && k.Left.Area != "" && k.Gone.Area != "" {
		return fmt.Sprintf("One was on %s and the other on %s, which may be why.", areaWords(k.Left.Area), areaWords(k.Gone.Area))
	}
	return "Look for what differs: build-up, damp, edges that dried."
}

func trimmed(s string) string {
	if len(s) > 2 {
		return s[2:]
	}
	return s
}

func (p *writer) test(f *patches.Figures, t *patches.Test, control *float64) {
	what := t.Put.At.Format("2 Jan 2006 15:04")
	if t.Thickness > 0 {
		what = fmt.Sprintf("%g mm, %s", t.Thickness, what)
	}
	if t.Passes > 1 {
		what += fmt.Sprintf(", put on %d times", t.Passes)
	}
	if t.Area != "" {
		what += ", " + areaWords(t.Area)
	}
	p.Para("  "+t.Label+"  ", "%s: %s.", what, t.State.Words())
	if t.PH == nil {
		return
	}
	switch {
	case control == nil:
		p.Para("      ", "pH %g. Read an untouched spot of the same material to compare.", *t.PH)
	case math.Abs(*t.PH-*control) <= f.Neutral.Within+rounding:
		p.Para("      ", "pH %g, untouched spot %g: within %g. %s", *t.PH, *control, f.Neutral.Within, p.Cite(f.Neutral.SourceNames))
	default:
		p.Para("      ", "pH %g, untouched spot %g: more than %g apart. Rinse on. %s", *t.PH, *control, f.Neutral.Within, p.Cite(f.Neutral.SourceNames))
	}
}

// rounding is how far readings that were written down may be off in the machine.
const rounding = 1e-9

func (p *writer) temperature(f *patches.Figures, c *patches.Candidate) {
	if c.Reference == nil {
		p.Para("  ! ", "The surface temperature was never read: the times hold for that day only.")
		return
	}
	w := f.Warmth
	p.Para("  ", "Times are for a surface at %g °C. %s %s", *c.Reference, w.Say, p.Cite(w.SourceNames))
	if *c.Reference < w.NoneBelow {
		p.Para("  ! ", "%s", w.SayBelow)
	}
}

func (p *writer) bracket(c *patches.Candidate, b patches.Bracket) {
	lead := "  "
	if b.Thickness > 0 {
		lead = fmt.Sprintf("  %g mm: ", b.Thickness)
	}
	if b.Passes > 1 {
		lead = fmt.Sprintf("  %g mm, put on %d times: ", b.Thickness, b.Passes)
	}
	seen := slices.ContainsFunc(c.Tests, func(t *patches.Test) bool {
		return slices.ContainsFunc(t.Looks, func(l patches.Look) bool { return l.LayersLeft != nil })
	})
	switch {
	case !seen:
		p.Para(lead, "no coats were counted yet.")
	case math.IsInf(b.CleanBy, 1) && b.NotYet == 0:
		p.Para(lead, "nothing is known.")
	case math.IsInf(b.CleanBy, 1):
		p.Para(lead, "not yet clean after %s.", patches.Duration(b.NotYet))
	case b.NotYet == 0:
		p.Para(lead, "clean after %s, at the first look. It may be less.", patches.Duration(b.CleanBy))
	default:
		p.Para(lead, "not yet after %s, clean after %s.", patches.Duration(b.NotYet), patches.Duration(b.CleanBy))
	}
}

// few says plainly how little so few patches show.
func (p *writer) few(f *patches.Figures, c *patches.Candidate) {
	if c.Judged == 0 || c.State == patches.Harmed {
		return
	}
	l := f.Layout
	p.Para("  ", "%d of %d patches came clean: between %.0f and %.0f %% of such places would (exact %g %% interval).",
		c.Clean, c.Judged, math.Floor(100*c.Low), math.Ceil(100*c.High), 100*l.Confidence)
	if c.Judged < c.Needed {
		p.Para("  ", "That is too few to show much: it would take %d clean in a row to show %g %%.", c.Needed, 100*l.Share)
	}
	if len(c.ByThickness) > 1 {
		for _, t := range c.ByThickness {
			p.Para("  ", "%g mm: %d of %d clean, which is best read as %.0f %%, thicker never doing worse.", t.At, t.Happened, t.Looks, 100*t.Share)
		}
	}
	for _, m := range c.Shares {
		if math.IsInf(m.By, 1) {
			p.Para("  ", "Best read as: %.0f %% of places are not clean after %s (Turnbull).", 100*m.Share, patches.Duration(m.After))
			continue
		}
		p.Para("  ", "Best read as: %.0f %% of places come clean between %s and %s (Turnbull).", 100*m.Share, patches.Duration(m.After), patches.Duration(m.By))
	}
}
