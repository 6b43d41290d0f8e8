package show

import (
	"fmt"
	"time"

	"patchfirst/interview/paper"
	"patchfirst/interview/patches"
)

// next says what to do next: first what must stop.
func (p *writer) next(f *patches.Figures, r *patches.Reading) {
	n := r.Next
	if n.Harm {
		for _, c := range r.Candidates {
			for _, t := range c.Tests {
				if t.Harm != "" {
					p.Para("STOP  ", "%s: harm on patch %s after %s: %s. Take the paste off and rinse.", paper.Capital(c.Method.Label), t.Label, patches.Duration(t.HarmMinutes), t.Harm)
				}
			}
		}
	}
	p.overdue(r)
	switch n.Do {
	case patches.Confirm:
		p.confirm(f, n)
	case patches.LookAgain:
		p.Para("Next: ", "%s came clean. Rinse it, let it dry, and look again.", n.Method.Label)
		p.visits(n.Patches)
	case patches.Extend:
		if n.Fresh {
			p.fresh(r, n)
			break
		}
		p.Para("Next: ", "go on with %s.", n.Method.Label)
		p.visits(n.Patches)
	case patches.TryNext:
		first := "the next method in the advice"
		if n.Planning {
			first = "the first patches; none is recorded yet"
		}
		p.Para("Next: ", "%s: %s.", first, n.Method.Label)
		p.planned(n)
	case patches.Stop:
		p.Para("Next: ", "stop. No method is left that may be tried here.")
		for _, ref := range n.Refer {
			p.Para("  > ", "%s %s", ref.Note.Say, p.Cite(ref.Note.Sources))
			p.Para("    Until then: ", "%s", ref.Note.Meanwhile)
		}
	}
}

// overdue says which paste should be off by now.
func (p *writer) overdue(r *patches.Reading) {
	for _, c := range r.Candidates {
		for _, t := range c.Tests {
			if t.Overdue() {
				p.Para("STOP  ", "the paste on patch %s should be off since %s. %s Take it off, rinse, and record it. %s", t.Label,
					t.Put.At.Add(time.Duration(c.Range.Stop)*time.Minute).Format(moment), c.Range.StopBecause, p.Cite(c.Range.SourceNames))
			}
		}
	}
}

// confirm says what the larger patch is, or that it was made.
func (p *writer) confirm(f *patches.Figures, n patches.Next) {
	if n.Larger != nil {
		p.Para("Next: ", "%s is proven, and its confirming patch was made on %s (entry %d). The site diary says what may be done now.", n.Method.Label, n.Larger.At.Format(moment), n.Larger.ID)
	} else {
		p.Para("Next: ", "confirm %s with %s, on the worst build-up%s. %s", n.Method.Label, n.Size.Confirm, dwellWords(n.Dwell), p.Cite(n.Size.SourceNames))
		p.Para("  ", "Let it dry and look again for harm; then start the work.")
	}
	p.Para("  ", "Repeat the patch when it is colder than it was then. Go on looking at the old ones for slow harm, after %s. %s", durations(f.Again.Look), p.Cite(f.Again.SourceNames))
}

// fresh says how the next patch of a method differs from those before it.
func (p *writer) fresh(r *patches.Reading, n patches.Next) {
	more := "Keep its edges wet."
	switch {
	case len(n.Colder) > 0:
		more = "The surface is colder now."
	case n.Thicker > 0:
		more = fmt.Sprintf("Put the paste on %d times, or %g mm thick.", n.Passes, n.Thicker)
	case n.Passes > 1:
		more = fmt.Sprintf("Put the paste on %d times.", n.Passes)
	}
	for _, c := range r.Candidates {
		if c.Method == n.Method && c.Range.Stop > 0 && n.Passes > 1 {
			more += fmt.Sprintf(" It comes off by %s in all.", patches.Duration(c.Range.Stop))
		}
	}
	p.Para("Next: ", "one more patch of %s, on a fresh place of the worst area. %s", n.Method.Label, more)
	for _, l := range n.Colder {
		p.Para("  ", "%s %s %s", l.Because, l.Say, p.Cite(l.Sources))
	}
}

// planned gives the planning range until a patch is read.
func (p *writer) planned(n patches.Next) {
	if !n.HasRange {
		return
	}
	what := "look"
	if n.Range.Thick > 0 {
		what = fmt.Sprintf("%g to %g mm of wet paste, looked at", n.Range.Thin, n.Range.Thick)
	}
	if len(n.Range.Look) > 0 {
		p.Para("  ", "A planning range until a patch is read: %s after %s. %s", what, durations(n.Range.Look), p.Cite(n.Range.SourceNames))
	}
}

func dwellWords(d *patches.Dwell) string {
	if d == nil {
		return ""
	}
	words := ""
	if d.Thickness > 0 {
		words = fmt.Sprintf(", %g mm thick", d.Thickness)
	}
	if d.Passes > 1 {
		words += fmt.Sprintf(", put on %d times", d.Passes)
	}
	words += ", " + patches.Duration(d.Minutes)
	if d.Passes > 1 {
		words += " in all"
	}
	return words
}

func (p *writer) visits(visits []patches.Visit) {
	for _, v := range visits {
		off := ""
		if !v.Off.IsZero() {
			off = fmt.Sprintf(" It comes off by %s, clean or not.", v.Off.Format(moment))
		}
		words := make([]string, len(v.At))
		for i, at := range v.At {
			words[i] = at.Format(moment)
		}
		switch {
		case v.Again > 0:
			p.Para("  * ", "%s: took some coats, not all. Scrape it, put the paste on again, and record the next look with %d applications.%s", v.Label, v.Again, off)
		case len(v.At) == 0:
			p.Para("  * ", "%s: look now, and count the coats that are left.%s", v.Label, off)
		default:
			p.Para("  * ", "%s: look on %s.%s", v.Label, paper.Joined(words, "and"), off)
		}
	}
}

// moment is how a time to look is written.
const moment = "2 Jan 15:04"
