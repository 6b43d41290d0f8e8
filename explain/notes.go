package explain

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/rules"
)

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
		for _, id := range w.byWeight(d.Open) {
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

// byWeight puts first what most rules read.
func (w *writer) byWeight(ids []string) []string {
	if w.reads == nil {
		w.reads = map[string]int{}
		for _, r := range w.a.Base.Rules {
			for f := range r.When.Facts() {
				w.reads[f.ID]++
			}
		}
	}
	ids = slices.Clone(ids)
	slices.SortStableFunc(ids, func(a, b string) int { return w.reads[b] - w.reads[a] })
	return ids
}

func (w *writer) questions(ids []string) string {
	const most = 8
	words := make([]string, 0, most)
	for i, id := range w.byWeight(ids) {
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
