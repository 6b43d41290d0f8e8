package patches

import (
	"slices"

	"patchfirst/rules"
)

// holds reports whether every answer that is possible is among the values.
func (w Where) holds(answers rules.Answers) bool {
	for fact, values := range w {
		a, ok := answers[fact]
		if !ok || len(a.Values) == 0 || slices.ContainsFunc(a.Values, func(v string) bool { return !slices.Contains(values, v) }) {
			return false
		}
	}
	return true
}

// mayHold reports whether some answer that is possible is among the values: for what must not be missed.
func (w Where) mayHold(answers rules.Answers) bool {
	for fact, values := range w {
		a, ok := answers[fact]
		if ok && !a.MoreBefore && !a.MoreAfter && !slices.ContainsFunc(a.Values, func(v string) bool { return slices.Contains(values, v) }) {
			return false
		}
	}
	return true
}

// told reports whether for every fact one of the values was told.
func (w Where) told(answers rules.Answers) bool {
	for fact, values := range w {
		if !slices.ContainsFunc(answers[fact].Values, func(v string) bool { return slices.Contains(values, v) }) {
			return false
		}
	}
	return true
}

// mayReach reports whether every finding may reach its level in the decision.
func mayReach(d *rules.Decision, levels map[string]string) bool {
	for id, level := range levels {
		reached := slices.ContainsFunc(d.Findings, func(l rules.Level) bool {
			at := slices.Index(l.Finding.Scale, level)
			return l.Finding.ID == id && at >= 0 && l.Max >= at
		})
		if !reached {
			return false
		}
	}
	return true
}

// Size returns the size of patches on a part.
func (f *Figures) Size(answers rules.Answers) Size {
	return f.Sizes[slices.IndexFunc(f.Sizes, func(s Size) bool { return s.Where.holds(answers) })]
}

// Range returns the planning range of a method on a part, and false if there is none. Where the coats were not counted
// it spans all that may be meant; where there are more than any range speaks of it is the last.
func (f *Figures) Range(method string, answers rules.Answers, d *rules.Decision) (Range, bool) {
	var rows []Range
	for _, r := range f.Ranges {
		if !slices.Contains(r.Methods, method) || !mayReach(d, r.Finding) {
			continue
		}
		if len(r.Finding) > 0 || r.To == 0 {
			return r.stopped(answers), true
		}
		rows = append(rows, r)
	}
	if len(rows) == 0 {
		return Range{}, false
	}
	lo, hi := rows[0].From, rows[len(rows)-1].To
	a, counted := answers["layers"]
	if counted {
		lo, hi = a.Lo, a.Hi
	}
	lo = min(max(lo, rows[0].From), rows[len(rows)-1].To)
	meant := slices.DeleteFunc(slices.Clone(rows), func(r Range) bool { return r.To < lo || r.From > hi })
	if len(meant) == 0 {
		meant = rows[:1]
		if hi > rows[0].To {
			meant = rows[len(rows)-1:]
		}
	}
	r := meant[0]
	for _, more := range meant[1:] {
		r.To, r.Thin, r.Thick = more.To, min(r.Thin, more.Thin), max(r.Thick, more.Thick)
		r.Look = append(slices.Clone(r.Look), more.Look...)
		r.Say, r.SourceNames = "", append(slices.Clone(r.SourceNames), more.SourceNames...)
		r.Stop, r.StopWhere, r.StopBecause = more.Stop, more.StopWhere, more.StopBecause
	}
	slices.Sort(r.Look)
	r.Look = slices.Compact(r.Look)
	slices.Sort(r.SourceNames)
	r.SourceNames = slices.Compact(r.SourceNames)
	r.CoatsNotSeen = !counted || a.Lo != a.Hi
	r.Beyond = counted && a.Hi > rows[len(rows)-1].To
	return r.stopped(answers), true
}

// stopped takes out the looks after the stop, where it holds.
func (r Range) stopped(answers rules.Answers) Range {
	if r.Stop == 0 || !r.StopWhere.mayHold(answers) {
		r.Stop, r.StopBecause = 0, ""
		return r
	}
	r.Look = slices.DeleteFunc(slices.Clone(r.Look), func(t float64) bool { return t > r.Stop })
	return r
}

// paste reports whether a method works as a layer of paste.
func (f *Figures) paste(method string) bool {
	return slices.ContainsFunc(f.Ranges, func(r Range) bool { return r.Thin > 0 && slices.Contains(r.Methods, method) })
}
