package show

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/explain"
	"patchfirst/interview/lesson"
	"patchfirst/rules"
)

// Reveal tells what the engine says of a question: how the answer was judged, what was dangerous in it, the decision
// with its reasons, what would have changed it, and what would have gone wrong. Without a judgement it tells a room.
func Reveal(b *rules.Base, q *lesson.Question, j *lesson.Judgement) (string, error) {
	p := &page{base: b}
	if err := p.reveal(q, j); err != nil {
		return "", err
	}
	p.sources()
	return p.String(), nil
}

func (p *page) reveal(q *lesson.Question, j *lesson.Judgement) error {
	said := map[string]bool{}
	if j != nil {
		p.line("%s%s", j.Mark.Words(), points(j))
		p.dangers(q, j, said)
	}
	p.decision(q)
	p.options(q)
	if err := p.changes(q, j); err != nil {
		return err
	}
	p.wrongs(q, said)
	return nil
}

func points(j *lesson.Judgement) string {
	if j.Mark != lesson.HalfRight {
		return "."
	}
	const percent = 100
	return fmt.Sprintf(": %.0f of 100.", percent*j.Points)
}

// dangers calls out what would have done harm, with its consequence.
func (p *page) dangers(q *lesson.Question, j *lesson.Judgement, said map[string]bool) {
	for _, o := range j.Dangers {
		said[o.ID] = true
		switch {
		case q.Shape == lesson.Order:
			p.line("! Too late: %s", o.Label)
		case o.Right:
			p.line("! Left out: %s", o.Label)
		default:
			p.line("! Chosen: %s", o.Label)
		}
		p.consequence(o)
	}
}

// consequence says why an option is dangerous, and the caution that goes with it.
func (p *page) consequence(o *lesson.Option) {
	if o.Says != "" && len(o.Why) == 0 {
		p.line("  %s.", capital(o.Says))
	}
	for _, s := range o.Why[:min(2, len(o.Why))] {
		if s.Because != o.Label {
			p.line("  %s%s", s.Because, p.cite(s.Sources))
		}
	}
	if c := o.Caution; c != nil {
		text := c.Do
		if c.Say != o.Label {
			text = c.Say + " " + c.Do
		}
		p.line("  %s: %s%s", strings.ToUpper(c.Gravity), text, p.cite(c.Sources))
	}
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// decision tells the first choice and its reasons, the weightiest first.
func (p *page) decision(q *lesson.Question) {
	p.head("The advice")
	if q.Before != nil {
		p.first("First situation", q.Before)
		p.first("Second situation", q.Decision)
		return
	}
	p.first("First choice", q.Decision)
}

func (p *page) first(name string, d *rules.Decision) {
	p.line("  %s: %s", name, d.First.Method.Label)
	const most = 3
	reasons := d.First.Reasons
	for _, r := range reasons[:min(most, len(reasons))] {
		p.line("  %s %s%s", map[bool]string{true: "-", false: "+"}[d.First.Verdict == rules.Discouraged], r.Because, p.cite(r.Sources))
	}
	switch {
	case len(reasons) > 0:
	case d.First.Method.LastResort:
		p.line("  + Every other method is ruled out or of no use here.")
	default:
		p.line("  + It is the gentlest that remains, and no rule speaks against it.")
	}
}

// options tells what the engine says of each option.
func (p *page) options(q *lesson.Question) {
	if q.Shape == lesson.Order {
		p.head("The order")
		sorted := slices.Clone(q.Options)
		slices.SortStableFunc(sorted, func(a, b *lesson.Option) int { return a.Place - b.Place })
		for i, o := range sorted {
			p.line("  %d  %s (%s)", i+1, o.Label, o.Says)
		}
		return
	}
	p.head("What each comes to")
	for i, o := range q.Options {
		mark := " "
		if o.Right {
			mark = "*"
		}
		p.line("  %s %d  %s: %s", mark, i+1, strings.TrimSuffix(o.Label, "."), o.Says)
		for _, s := range o.Why {
			if s.Because != o.Label {
				p.line("      %s%s", s.Because, p.cite(s.Sources))
			}
		}
		if len(o.Why) > 0 && o.Why[0].Because == o.Label {
			p.line("      Source:%s", p.cite(o.Why[0].Sources))
		}
	}
}

// changes tells what would have changed the decision: what would open a method that was refused, and which answers the
// first choice hangs on.
func (p *page) changes(q *lesson.Question, j *lesson.Judgement) error {
	p.head("What would have changed it")
	const most = 2
	told := 0
	for _, o := range dangerousFirst(q, j) {
		m := p.base.Method(o.ID)
		if m == nil || told == most || q.Decision.Methods[m.Rank].Verdict != rules.RuledOut {
			continue
		}
		why, err := q.Explain.Why(m.ID)
		if err != nil {
			return err
		}
		told++
		if why.Change == nil {
			p.line("  Nothing that a person can change opens this here: %s.", m.Label)
			continue
		}
		if words := opening(p.base, why.Change); words != "" {
			p.line("  What would open %s, if it is true on site: %s.", m.Label, words)
		}
	}
	d := q.Decision
	if len(q.Changed) > 0 {
		lead := map[bool]string{true: "This flipped it: ", false: ""}[q.Before != nil]
		p.line("  %s%s.", lead, strings.TrimSuffix(strings.Join(q.Changed, "; "), "."))
		return nil
	}
	if len(d.Provisional) == 0 {
		p.line("  The first choice hangs on no answer that is missing.")
		return nil
	}
	const mostNames = 6
	var names []string
	for _, id := range d.Provisional {
		names = append(names, p.base.Fact(id).Words())
	}
	if more := len(names) - mostNames; more > 0 {
		names = append(names[:mostNames], fmt.Sprintf("and %d more", more))
	}
	p.line("  An answer to one of these could change the first choice: %s.", strings.Join(names, "; "))
	return nil
}

// opening says which answers must change; conditions that must be met besides are left to the advice.
func opening(b *rules.Base, c *explain.Change) string {
	var changes []rules.Requirement
	for _, r := range c.Answers {
		if slices.Contains(c.Facts, r.Fact) {
			changes = append(changes, r)
		}
	}
	return explain.Requirements(b, changes)
}

func dangerousFirst(q *lesson.Question, j *lesson.Judgement) []*lesson.Option {
	if j == nil {
		return q.Options
	}
	all := slices.Clone(j.Dangers)
	for _, o := range q.Options {
		if !slices.Contains(all, o) {
			all = append(all, o)
		}
	}
	return all
}

// wrongs tells what would have gone wrong with the dangerous options that nobody chose, those with the same end together.
func (p *page) wrongs(q *lesson.Question, said map[string]bool) {
	type end struct {
		names []string
		text  string
	}
	var ends []*end
	for _, o := range q.Options {
		if !o.Grave || said[o.ID] || q.Shape == lesson.Order && len(said) > 0 {
			continue
		}
		text := p.consequenceOf(o)
		i := slices.IndexFunc(ends, func(e *end) bool { return e.text == text })
		if i < 0 {
			i = len(ends)
			ends = append(ends, &end{text: text})
		}
		ends[i].names = append(ends[i].names, strings.TrimSuffix(o.Label, "."))
	}
	if len(ends) == 0 {
		return
	}
	p.head(map[bool]string{true: "Left until the work has begun", false: "What would have gone wrong"}[q.Shape == lesson.Order])
	for _, e := range ends {
		p.line("  - %s: %s", strings.Join(e.names, "; "), e.text)
	}
}

// consequenceOf says in one line what comes of an option: the caution that goes with it, or else its reason.
func (p *page) consequenceOf(o *lesson.Option) string {
	switch {
	case o.Caution != nil && o.Caution.Say != o.Label:
		return fmt.Sprintf("%s: %s %s%s", strings.ToUpper(o.Caution.Gravity), o.Caution.Say, o.Caution.Do, p.cite(o.Caution.Sources))
	case o.Caution != nil:
		return o.Caution.Do + p.cite(o.Caution.Sources)
	case len(o.Why) > 0:
		return o.Why[0].Because + p.cite(o.Why[0].Sources)
	}
	return o.Says
}

// Answered repeats an answer in words.
func Answered(q *lesson.Question, chosen []string) string {
	var labels []string
	for _, id := range chosen {
		if o := q.Option(id); o != nil {
			labels = append(labels, strings.TrimSuffix(o.Label, "."))
		}
	}
	between := "; "
	if q.Shape == lesson.Order {
		between = ", then "
	}
	return strings.Join(labels, between)
}
