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
	reads map[string]int
}

// Text writes the advice for people, in lines of at most width runes.
func (a *Advice) Text(out io.Writer, width int) error { return a.text(out, width, (*writer).part) }

// ShortText writes the choices, what would stop the work and what to do first, and says how much more the whole advice has.
func (a *Advice) ShortText(out io.Writer, width int) error {
	return a.text(out, width, (*writer).shortPart)
}

func (a *Advice) text(out io.Writer, width int, part func(*writer, Part)) error {
	w := &writer{a: a, w: &strings.Builder{}, width: width}
	w.line(Clean(a.Job.Title))
	w.line(strings.Repeat("=", min(width, len([]rune(a.Job.Title)))))
	if len(a.Parts) == 0 {
		w.para("The job has no parts yet. Add one under elements:", "")
	}
	for i, p := range a.Parts {
		name := fmt.Sprintf("%d. %s", i+1, Clean(p.Element.Name))
		w.line("\n" + name)
		w.line(strings.Repeat("-", min(w.width, len([]rune(name)))))
		part(w, p)
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

func (w *writer) part(p Part) {
	d := p.Decision
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

func (w *writer) shortPart(p Part) {
	d := p.Decision
	w.first(d)
	w.inShort(p)
	w.stages(p)
	w.fallbacks(d)
	all := slices.Concat(d.First.Notes, stageNotes(d))
	var grave []rules.Attached
	left := map[rules.NoteKind]int{}
	for _, n := range all {
		// What stops the work is always said, and a danger that is sure.
		gravity := slices.Index(rules.Gravities, n.Note.Gravity)
		switch {
		case slices.ContainsFunc(grave, func(a rules.Attached) bool { return a.Note == n.Note }):
		case n.Note.Kind == rules.Caution && (gravity == 0 || gravity == 1 && n.Sure):
			grave = append(grave, n)
		default:
			left[n.Note.Kind]++
		}
	}
	w.cautions("Cautions that come first", grave)
	w.findOut(d)
	w.line("")
	w.para(fmt.Sprintf("This is short. The whole advice has %d more cautions, %d hold points and %d steps. Read it before the work: leave out --short.",
		left[rules.Caution], left[rules.Hold], left[rules.Step]), "  ")
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

func (w *writer) first(d *rules.Decision) {
	m := d.First.Method
	w.para(m.Label, "First choice: ")
	if m.About != "" {
		w.para(m.About, "  ")
	}
	w.conditions(d.First)
	if m.LastResort {
		if len(d.Provisional) > 0 {
			w.para("Another method may be open once more is known. What most hangs on: "+w.questions(d.Provisional)+".", "  ? ")
		}
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
	if len(d.Provisional) > 0 && !m.LastResort {
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
		if blanks := d.Unproven(o); len(blanks) > 0 {
			w.para("Whether it takes this paint hangs on what is not known: "+w.questions(blanks)+".", "     ")
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
