package explain

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"patchfirst/rules"
)

var verdictWords = map[string]string{
	"possible": "open, neither favoured nor discouraged", "favoured": "favoured", "discouraged": "discouraged", "no_use": "no use here", "ruled_out": "RULED OUT",
}

func newWriter(b *rules.Base, width int) *writer {
	return &writer{a: &Advice{Base: b}, w: &strings.Builder{}, width: width}
}

func (w *writer) finish(out io.Writer) error {
	w.sources()
	_, err := io.WriteString(out, w.w.String())
	return err
}

// Text writes the reason for people, as a tree of plain signs.
func (y *Why) Text(out io.Writer, b *rules.Base, width int) error {
	w := newWriter(b, width)
	says := y.Says
	if words, ok := verdictWords[says]; ok {
		says = words
	}
	w.para(fmt.Sprintf("%s: %s", strings.TrimSuffix(y.Label, "."), says), "")
	w.para("Part: "+Clean(y.Part), "")
	if len(y.Enough) > 0 {
		w.head("These answers alone are enough for it")
		for _, g := range y.Enough {
			w.para(fmt.Sprintf("%s: %s", g.Name, g.Value), "  * ")
		}
	} else if y.Kind == "method" && y.Says == "ruled_out" {
		w.head("No answer settles it: it is refused because a case that the answers leave would be dangerous")
	}
	for _, l := range y.Chain {
		w.head("Why")
		w.link(l, "  ", "  ")
	}
	switch {
	case y.Kind != "method":
	case y.Says == "possible":
		w.head("Why")
		w.para("No rule speaks for it, and none against it counts.", "  ")
	}
	w.saids("Further rules that say so", y.Others)
	w.offered(y)
	w.opened(y)
	if len(y.Before) > 0 {
		w.head("Why it comes before gentler methods")
		for _, p := range y.Before {
			w.para(fmt.Sprintf("%s: %s. %s", p.Label, verdictWords[p.Verdict], p.Because), "  - ")
		}
	}
	return w.finish(out)
}

func (w *writer) saids(head string, all []Said) {
	if len(all) == 0 {
		return
	}
	w.head(head)
	for _, s := range all {
		w.para(fmt.Sprintf("%s %s (%s)", s.Because, w.cite(s.Sources), s.Rule), "  - ")
	}
}

func (w *writer) offered(y *Why) {
	if y.Kind != "method" || y.Says == "ruled_out" || y.Says == "no_use" {
		return
	}
	w.saids("Rules that may yet speak against it", y.Against)
	w.head("Against it")
	switch {
	case y.Silent > 0:
		w.para(fmt.Sprintf("%s could speak against it, and none of them fires here.", count(y.Silent, "other rule")), "  ")
	default:
		w.para("No other rule could speak against it.", "  ")
	}
}

func (w *writer) opened(y *Why) {
	if y.Kind != "method" || y.Says != "ruled_out" && y.Says != "no_use" {
		return
	}
	w.head("What would open it")
	if y.Change == nil {
		w.para("Nothing that a person can change opens it here.", "  ")
		return
	}
	var changes, conditions []rules.Requirement
	for _, r := range y.Change.Answers {
		if slices.Contains(y.Change.Facts, r.Fact) {
			changes = append(changes, r)
		} else {
			conditions = append(conditions, r)
		}
	}
	for i, part := range []struct {
		lead string
		all  []rules.Requirement
	}{{"The nearest change, if it is true on site:", changes}, {"Besides, these must be met:", conditions}} {
		if len(part.all) == 0 {
			if i == 0 {
				w.para("No answer must change.", "  ")
			}
			continue
		}
		w.para(part.lead, "  ")
		for _, r := range part.all {
			w.para(Requirement(w.a.Base, r), "  * ")
		}
	}
}

// link writes a rule and, one step in, its tests, each with the rules behind it.
func (w *writer) link(l *Link, first, rest string) {
	may := ""
	if !l.Sure {
		may = "perhaps: "
	}
	w.w.WriteString(Wrap(Clean(fmt.Sprintf("%s%s %s (%s)", may, l.Because, w.cite(l.Sources), l.Rule)), first, rest, w.width))
	for i, t := range l.Tests {
		branch, below := "|- ", "|  "
		if i == len(l.Tests)-1 {
			branch, below = "`- ", "   "
		}
		words := fmt.Sprintf("%s: %s", t.Name, t.Wants)
		if t.Has != "" && t.Has != t.Wants {
			words += fmt.Sprintf("  <- here: %s", t.Has)
		}
		w.w.WriteString(Wrap(Clean(words), rest+branch, rest+below, w.width))
		for j, by := range t.By {
			inner, under := "|- ", "|  "
			if j == len(t.By)-1 {
				inner, under = "`- ", "   "
			}
			w.link(by, rest+below+inner, rest+below+under)
		}
	}
}

// Text writes what moves for people.
func (i *WhatIf) Text(out io.Writer, b *rules.Base, width int) error {
	w := newWriter(b, width)
	w.para("Part: "+Clean(i.Part), "")
	for _, g := range i.If {
		w.para(fmt.Sprintf("%s: %s", g.Name, g.Value), "If ")
	}
	if i.First.Was == i.First.Is {
		w.line("")
		w.para("The first choice stays: "+i.First.Is+".", "")
	} else {
		w.line("")
		w.para(fmt.Sprintf("The first choice becomes: %s. It was: %s. %s", i.First.Is, i.First.Was, i.First.Because), "")
	}
	if len(i.First.OnlyIf) > 0 {
		w.para("Only if "+Requirements(b, i.First.OnlyIf)+".", "  ")
	}
	for _, part := range []struct {
		head  string
		moved []Moved
	}{{"Verdicts that move", i.Verdicts}, {"Findings that move", i.Findings}} {
		if len(part.moved) > 0 {
			w.head(part.head)
		}
		for _, m := range part.moved {
			w.para(fmt.Sprintf("%s: from %s to %s. %s", m.Label, spaced(m.Was), spaced(m.Is), m.Because), "  * ")
			if len(m.OnlyIf) > 0 {
				w.para("Only if "+Requirements(b, m.OnlyIf)+".", "    ")
			}
		}
	}
	for _, part := range []struct {
		head  string
		notes []NoteSaid
	}{{"New for the first choice", i.Gained}, {"No longer needed", i.Lost}} {
		if len(part.notes) > 0 {
			w.head(part.head)
		}
		for _, n := range part.notes {
			w.para(fmt.Sprintf("%s: %s", n.Kind, n.Say), "  - ")
		}
	}
	return w.finish(out)
}

func spaced(id string) string { return strings.ReplaceAll(id, "_", " ") }

// NextText writes for people what is worth finding out.
func NextText(out io.Writer, b *rules.Base, part string, all []Worth, width int) error {
	w := newWriter(b, width)
	w.para("Worth finding out about "+Clean(part)+": what settles most for the least effort first", "")
	if len(all) == 0 {
		w.para("Nothing. No answer that is missing could change the advice.", "  ")
	}
	const most = 8
	for i, f := range all[:min(most, len(all))] {
		w.line("")
		w.para(f.Ask, fmt.Sprintf("%2d. ", i+1))
		if f.Decisive {
			w.para("It could change the first choice.", "    ")
		}
		if len(f.Lifts) > 0 {
			var names []string
			for _, id := range f.Lifts {
				names = append(names, b.Method(id).Label)
			}
			w.para("It could help to lift the refusal of: "+strings.Join(names, "; ")+".", "    ")
		}
		w.para(fmt.Sprintf("%s on it.", count(f.Rules, "open rule")+verb(f.Rules, " hang", " hangs")), "    ")
		if f.How != "" {
			w.para(f.How+" "+w.cite(f.Sources), "    How: ")
		}
	}
	if len(all) > most {
		var names []string
		for _, f := range all[most:] {
			names = append(names, f.Name)
		}
		w.line("")
		w.para("Also open: "+strings.Join(names, ", ")+".", "")
	}
	return w.finish(out)
}

func count(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

func verb(n int, many, one string) string {
	if n == 1 {
		return one
	}
	return many
}

// CompareText writes methods side by side for people, one property a line.
func CompareText(out io.Writer, b *rules.Base, part string, rows []Compared, width int) error {
	w := newWriter(b, width)
	w.para("Methods for "+Clean(part)+", side by side", "")
	for i, r := range rows {
		w.line("")
		w.para(r.Label, fmt.Sprintf("%d. ", i+1))
		for _, line := range []struct{ name, text string }{
			{"verdict", verdictWords[r.Verdict]}, {"because", r.Because}, {"harm", r.Harm}, {"dust", r.Dust}, {"fume", r.Fume}, {"mess", r.Mess},
			{"time", r.Time}, {"who", r.Competence}, {"needs", joined(spacedAll(r.Needs), "and")}, {"only if", strings.Join(r.OnlyIf, "; ")},
		} {
			if line.text != "" {
				w.para(line.text, fmt.Sprintf("   %-8s ", line.name))
			}
		}
	}
	return w.finish(out)
}

func spacedAll(ids []string) []string {
	words := make([]string, len(ids))
	for i, id := range ids {
		words[i] = spaced(id)
	}
	return words
}

// TermText writes what a word of the trade means.
func TermText(out io.Writer, b *rules.Base, word string, width int) error {
	var known []string
	for _, t := range b.Terms {
		for _, name := range append([]string{t.ID}, t.Also...) {
			if strings.EqualFold(spaced(name), spaced(word)) {
				w := newWriter(b, width)
				w.para(fmt.Sprintf("%s %s", t.Say, w.cite(t.Sources)), spaced(t.ID)+": ")
				return w.finish(out)
			}
			known = append(known, name)
		}
	}
	return fmt.Errorf("the glossary has no word %q. %s", word, rules.DidYouMean(word, known))
}
