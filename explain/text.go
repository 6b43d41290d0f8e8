package explain

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"patchfirst/interview/takeoff"
	"patchfirst/rules"
)

// Limits says what every sheet of advice says about itself.
const Limits = "Rank of what to follow: the law of the country, then the label and safety sheet of the product, then this advice. " +
	"It rests on what was told, and supports a competent person without replacing one."

// writer writes the advice of one part and gathers its sources as numbered notes.
type writer struct {
	a     *Advice
	w     *strings.Builder
	width int
	notes []string // sources in the order in which they were cited
	said  map[string]bool
}

// Text writes the advice for people, in lines of at most width runes.
func (a *Advice) Text(out io.Writer, width int) error {
	w := &writer{a: a, w: &strings.Builder{}, width: width}
	w.line(Clean(a.Job.Title))
	w.line(strings.Repeat("=", min(width, len([]rune(a.Job.Title)))))
	if len(a.Parts) == 0 {
		w.para("The job has no parts yet. Add one under elements:", "")
	}
	for i, p := range a.Parts {
		w.part(i+1, p)
	}
	w.sources()
	w.line("")
	w.para(Limits, "")
	_, err := io.WriteString(out, w.w.String())
	return err
}

func (w *writer) line(s string) { w.w.WriteString(s + "\n") }

// para writes a paragraph behind a lead, its further lines indented as far as the lead.
func (w *writer) para(text, lead string) {
	w.w.WriteString(Wrap(Clean(text), lead, strings.Repeat(" ", len([]rune(lead))), w.width))
}

func (w *writer) head(s string) { w.w.WriteString("\n  " + s + "\n") }

// cite returns the numbers of sources, numbering new ones.
func (w *writer) cite(sources []string) string {
	var numbers []string
	for _, s := range sources {
		i := slices.Index(w.notes, s)
		if i < 0 {
			i = len(w.notes)
			w.notes = append(w.notes, s)
		}
		numbers = append(numbers, fmt.Sprint(i+1))
	}
	return "[" + strings.Join(numbers, ",") + "]"
}

func (w *writer) part(number int, p Part) {
	d := p.Decision
	w.said = map[string]bool{}
	name := fmt.Sprintf("%d. %s", number, Clean(p.Element.Name))
	w.line("\n" + name)
	w.line(strings.Repeat("-", min(w.width, len([]rune(name)))))
	w.first(d)
	w.inShort(p)
	w.stages(p)
	w.findings(d)
	w.fallbacks(d)
	w.refused(d)
	w.cautions("Cautions", d.First.Notes)
	w.steps("The work, step by step", d.First.Notes)
	if notes := stageNotes(d); len(notes) > 0 {
		w.cautions("Cautions if it comes off in stages", notes)
		w.steps("The work in stages, step by step", notes)
	}
	if !d.First.Method.LastResort {
		w.referrals(d)
	}
	w.findOut(d)
}

// inShort says in a few lines what to do now, what never, and whom to call. All of it stands again below, in full.
func (w *writer) inShort(p Part) {
	const most = 3
	d := p.Decision
	var now, call []string
	for _, n := range d.First.Notes {
		switch {
		case !n.Sure:
		case n.Note.Kind == rules.Step && n.Note.Stage == rules.WorkStages[0] && len(now) < most:
			now = append(now, firstSentence(n.Note.Say))
		case n.Note.Kind == rules.Refer && len(call) < most:
			call = append(call, firstSentence(n.Note.Say))
		}
	}
	var never []string // the harshest first: they are what tempts
	for _, o := range slices.Backward(d.Methods) {
		if o.Verdict == rules.RuledOut && len(o.Until) == 0 {
			never = append(never, o.Method.Label)
		}
	}
	const mostNever = 5
	if more := len(never) - mostNever; more > 0 {
		never = append(never[:mostNever], fmt.Sprintf("and %d more, see below", more))
	}
	w.head("In short")
	for _, part := range []struct{ lead, text string }{
		{"  Now:   ", strings.Join(now, " ")}, {"  Call:  ", strings.Join(call, " ")}, {"  Not:   ", strings.Join(never, "; ")},
		{"  Or:    ", inStages(d)}, {"  Sums:  ", takeoff.Brief(w.a.Base, w.a.Job, p.Element, p.Answers, d)},
	} {
		if part.text != "" {
			w.para(part.text, part.lead)
		}
	}
}

// inStages names the methods of the stages in one line.
func inStages(d *rules.Decision) string {
	var labels []string
	for _, s := range d.Stages {
		labels = append(labels, s.Method.Method.Label)
	}
	if labels == nil {
		return ""
	}
	return "in stages: " + strings.Join(labels, ", then ")
}

func firstSentence(s string) string {
	if before, _, ok := strings.Cut(s, ". "); ok {
		return before + "."
	}
	return s
}

// referrals lists whom to call, and what to do until they come.
func (w *writer) referrals(d *rules.Decision) {
	headed := false
	for _, n := range d.First.Notes {
		if n.Note.Kind != rules.Refer {
			continue
		}
		if !headed {
			w.head("Whom to call")
			headed = true
		}
		w.para(fmt.Sprintf("%s%s %s", w.iff(n), n.Note.Say, w.cite(n.Note.Sources)), "  > ")
		w.para(n.Note.Meanwhile, "    Until then: ")
	}
}

func (w *writer) first(d *rules.Decision) {
	m := d.First.Method
	w.para(m.Label, "First choice: ")
	if m.About != "" {
		w.para(m.About, "  ")
	}
	w.conditions(d.First)
	if m.LastResort {
		w.referrals(d)
	}
	w.head("Why")
	const most = 3
	reasons := d.First.Reasons
	lead := "  + "
	if d.First.Verdict == rules.Discouraged {
		w.para("Nothing better is open. It is discouraged, and this is why:", "  - ")
		lead = "  - "
	}
	if d.First.Shown != "" {
		w.para(shownWords[d.First.Shown], lead)
		reasons = nil
	}
	for _, r := range reasons[:min(most, len(reasons))] {
		w.because(r, lead)
	}
	if len(reasons) == 0 && d.First.Shown == "" {
		if m.LastResort {
			w.para("Every other method is ruled out or of no use here.", "  + ")
		} else {
			w.para("It is the gentlest that remains, and no rule speaks against it.", "  + ")
		}
	}
	if d.First.Care {
		w.para("It needs care on this surface: see the cautions.", "  + ")
	}
	if len(d.Provisional) > 0 {
		w.para("This is provisional. Another answer to one of these would change it: "+w.questions(d.Provisional)+".", "  ? ")
	}
}

func (w *writer) conditions(o *rules.Outcome) {
	for i, c := range o.Conditions {
		lead := "  only if  "
		if i > 0 {
			lead = "     and   "
		}
		w.para(Requirement(w.a.Base, c), lead)
	}
}

// because gives the reason of a rule, once a part: the second time only by the same words' beginning.
func (w *writer) because(r *rules.Rule, lead string) {
	w.para(fmt.Sprintf("%s %s", r.Because, w.cite(r.Sources)), lead)
}

func (w *writer) stages(p Part) {
	d := p.Decision
	if len(d.Stages) == 0 && !d.StagesOpen {
		return
	}
	w.head("Stages: no single method takes every coat")
	f := w.a.Base.Fact(w.a.Base.Stages.Fact)
	for i, s := range d.Stages {
		w.para(fmt.Sprintf("%s: %s", joined(labels(f, s.Rows), "and"), s.Method.Method.Label), fmt.Sprintf("  %d. ", i+1))
	}
	if len(d.Unreached) > 0 {
		w.para(fmt.Sprintf("No method that is open here takes %s. Ask a specialist before starting.", joined(labels(f, d.Unreached), "and")), "  ! ")
	}
}

func (w *writer) findings(d *rules.Decision) {
	first := true
	for _, l := range d.Findings {
		if l.Max == 0 {
			continue
		}
		if first {
			w.head("Found")
			first = false
		}
		level := levelWords(l)
		why := ""
		if len(l.Rules) > 0 {
			why = fmt.Sprintf(". %s %s", l.Rules[0].Because, w.cite(l.Rules[0].Sources))
		}
		w.para(fmt.Sprintf("%s: %s%s", l.Finding.Label, level, why), "  * ")
	}
}

func (w *writer) fallbacks(d *rules.Decision) {
	if len(d.Fallback) == 0 {
		return
	}
	w.head("If it fails on the test patch, in this order")
	const most = 4
	for i, o := range d.Fallback {
		if i == most {
			var rest []string
			for _, o := range d.Fallback[most:] {
				rest = append(rest, o.Method.Label)
			}
			w.para("Also open: "+strings.Join(rest, "; ")+".", "     ")
			break
		}
		label := o.Method.Label
		if o.Verdict == rules.Discouraged {
			label += " (discouraged)"
		}
		w.para(label, fmt.Sprintf("  %d. ", i+1))
		if o.Verdict == rules.Discouraged && len(o.Reasons) > 0 {
			w.because(o.Reasons[0], "     ")
		}
		if len(o.Conditions) > 0 {
			w.para("only if "+Requirements(w.a.Base, o.Conditions), "     ")
		}
	}
}

var shownWords = map[rules.Shown]string{
	rules.Harmed: "Its test patch harmed the surface.",
	rules.Failed: "Its test patches failed here.",
	rules.Proven: "Its test patch on this part came off clean and did no harm.",
}

// refused lists what is ruled out or of no use, methods with the same first reason together.
func (w *writer) refused(d *rules.Decision) {
	for _, part := range []struct {
		verdict rules.Verdict
		head    string
	}{{rules.RuledOut, "Ruled out"}, {rules.NoUse, "No use here"}} {
		type group struct {
			reason string
			names  []string
			until  []string
		}
		var groups []group
		var shown []*rules.Outcome
		for _, o := range d.Methods {
			if o.Verdict == part.verdict && o.Shown != "" {
				shown = append(shown, o)
				continue
			}
			if o.Verdict != part.verdict || len(o.Reasons) == 0 {
				continue
			}
			reason := w.refusal(d, o)
			i := slices.IndexFunc(groups, func(g group) bool { return g.reason == reason && slices.Equal(g.until, o.Until) })
			if i < 0 {
				i = len(groups)
				groups = append(groups, group{reason: reason, until: o.Until})
			}
			groups[i].names = append(groups[i].names, o.Method.Label)
		}
		if len(groups)+len(shown) > 0 {
			w.head(part.head)
		}
		for _, o := range shown {
			w.para(o.Method.Label, "  x ")
			w.para(shownWords[o.Shown], "    ")
		}
		for _, g := range groups {
			w.para(strings.Join(g.names, "; "), "  x ")
			w.para(g.reason, "    ")
			if len(g.until) > 0 {
				w.para("An answer to this could lift it: "+w.questions(g.until)+".", "    ")
			}
		}
	}
}

// stageNotes lists what is attached to any method of the stages, in the order of the base. What only some cases of one
// method ask for, and every case of another, is sure.
func stageNotes(d *rules.Decision) (notes []rules.Attached) {
	for _, s := range d.Stages {
		for _, n := range s.Method.Notes {
			i := slices.IndexFunc(notes, func(have rules.Attached) bool { return have.Note == n.Note })
			switch {
			case i < 0:
				notes = append(notes, n)
			case n.Sure:
				notes[i] = n
			}
		}
	}
	slices.SortStableFunc(notes, func(x, y rules.Attached) int { return x.Note.Rank - y.Note.Rank })
	return notes
}

// refusal says why a method is refused. Where an answer could lift it, the reason is one that this answer settles, and is
// not said as if it were known.
func (w *writer) refusal(d *rules.Decision, o *rules.Outcome) string {
	r := o.Reasons[0]
	for _, other := range o.Reasons {
		if slices.ContainsFunc(d.Blanks(other), func(id string) bool { return slices.Contains(o.Until, id) }) {
			r = other
			break
		}
	}
	lead := ""
	if !d.Always(r) {
		lead = "Not ruled out: "
	}
	return fmt.Sprintf("%s%s %s", lead, r.Because, w.cite(r.Sources))
}

func (w *writer) cautions(head string, notes []rules.Attached) {
	w.head(head)
	for _, gravity := range rules.Gravities {
		for _, n := range notes {
			if n.Note.Kind != rules.Caution || n.Note.Gravity != gravity {
				continue
			}
			lead := map[string]string{"stop": "  STOP    ", "danger": "  DANGER  ", "care": "  CARE    "}[gravity]
			w.para(fmt.Sprintf("%s%s %s", w.iff(n), n.Note.Say, w.cite(n.Note.Sources)), lead)
			w.para(n.Note.Do, "          ")
		}
	}
}

func (w *writer) iff(n rules.Attached) string { return If(w.a.Base, n.If, n.Else) }

var stageHeads = map[string]string{
	"before": "Before the work", "protect": "Protect", "test": "Test patches", "apply": "Apply", "check": "Check", "remove": "Take off",
	"clean": "Clean", "neutralise": "Neutralise", "dry": "Dry", "prime": "Prime", "waste": "Waste", "records": "Records",
}

func (w *writer) steps(head string, notes []rules.Attached) {
	w.head(head)
	number := 0
	for _, stage := range rules.WorkStages {
		headed := false
		show := func(kind rules.NoteKind, lead func() string) {
			for _, n := range notes {
				if n.Note.Kind != kind || n.Note.Stage != stage {
					continue
				}
				if !headed {
					w.line("  " + stageHeads[stage])
					headed = true
				}
				w.para(fmt.Sprintf("%s%s %s", w.iff(n), n.Note.Say, w.cite(n.Note.Sources)), lead())
			}
		}
		show(rules.Hold, func() string { return "    HOLD " })
		show(rules.Step, func() string { number++; return fmt.Sprintf("    %2d.  ", number) })
	}
}

// findOut lists the blank questions that could still change something, those that could change the first choice first.
func (w *writer) findOut(d *rules.Decision) {
	if len(d.Open) == 0 {
		return
	}
	w.head("Worth finding out")
	shown := 0
	var rest []string
	for _, decisive := range []bool{true, false} {
		for _, id := range d.Open {
			if slices.Contains(d.Provisional, id) != decisive {
				continue
			}
			f := w.a.Base.Fact(id)
			const most = 6
			if shown == most {
				rest = append(rest, id)
				continue
			}
			shown++
			effect := "It could change cautions, steps or what else is open."
			if decisive {
				effect = "It could change the first choice."
			}
			w.para(f.Ask+" "+effect, "  ? ")
			if f.FindOut != "" {
				w.para(f.FindOut+" "+w.cite(f.Sources), "    ")
			}
		}
	}
	if len(rest) > 0 {
		w.para("And: "+w.questions(rest)+".", "    ")
	}
}

func (w *writer) questions(ids []string) string {
	const most = 8
	words := make([]string, 0, most)
	for i, id := range ids {
		if i == most {
			words = append(words, fmt.Sprintf("and %d more", len(ids)-most))
			break
		}
		words = append(words, w.a.Base.Fact(id).Words())
	}
	return strings.Join(words, ", ")
}

func (w *writer) sources() {
	if len(w.notes) == 0 {
		return
	}
	w.line("\nSources")
	w.line("-------")
	for i, id := range w.notes {
		w.para(Source(w.a.Base, id), fmt.Sprintf("[%d] ", i+1))
	}
}

// Source names a source in words.
func Source(b *rules.Base, id string) string {
	for _, s := range b.Sources {
		if s.ID != id {
			continue
		}
		words := s.Body
		for _, part := range []string{s.Title, s.Where} {
			if part != "" {
				words += ", " + part
			}
		}
		if s.Year != 0 {
			words += fmt.Sprintf(" (%d)", s.Year)
		}
		if s.Read == "reported" {
			words += ", as reported elsewhere"
		}
		return words
	}
	if id == rules.CommonPractice {
		return "Common practice of the trade, no published source."
	}
	return "From memory, not checked against a source."
}
