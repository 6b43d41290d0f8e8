package interview

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"patchfirst/explain"
	"patchfirst/rules"
	"patchfirst/rules/source"
)

// question makes the question about a fact. answers are what is known of the part it is about.
func question(b *rules.Base, f *rules.Fact, answers rules.Answers) *Ask {
	a := &Ask{Text: f.Ask, Unknown: true, Why: func() string { return why(b, f, answers) }}
	for _, v := range f.Values {
		a.Options = append(a.Options, Option{v.ID, v.Label})
	}
	switch f.Kind {
	case rules.Choice:
		a.Kind, a.List = One, true
		a.Or = len(f.Values) > 2
	case rules.Several:
		a.Kind, a.List, a.Most = Many, true, f.Most
		a.Help = "Numbers with commas between them, or 0 for none."
		if f.Order != "" {
			a.Order = strings.ReplaceAll(f.Order, "_", " ")
			a.Help = fmt.Sprintf("Numbers in their order, %s, with commas between them, or 0 for none.", a.Order)
		}
		if f.Most > 0 && f.Most < len(f.Values) {
			a.Help += fmt.Sprintf(" At most %d.", f.Most)
		}
		a.Help += " Put ? at the end if there may be others."
	default:
		a.Kind, a.Options = Line, nil
		switch {
		case f.Year:
			a.Help = "A year, or a range such as 1900..1930."
		case f.Unit != "":
			from := max(f.From, 0)
			a.Help = fmt.Sprintf("A number in %s, from %s to %s, or a range such as %s..%s.", explain.Unit(f.Unit, 0), plainNumber(f.From), plainNumber(f.To), plainNumber(from+2*f.Step), plainNumber(from+5*f.Step))
		default:
			a.Help = fmt.Sprintf("A number from %g to %s, or a range.", f.From, plainNumber(f.To))
		}
	}
	a.Check = func(r Reply) error {
		_, err := answerOf(f, r)
		return err
	}
	return a
}

func plainNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// answerOf reads a reply just as the same words in a job file are read.
func answerOf(f *rules.Fact, r Reply) (rules.Answer, error) {
	scalar := func(s string) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: s} }
	n := &yaml.Node{Kind: yaml.SequenceNode}
	if f.Kind == rules.Number {
		n = scalar(r.Line)
	} else {
		if r.MoreBefore {
			n.Content = append(n.Content, scalar(source.More))
		}
		for _, v := range r.Values {
			n.Content = append(n.Content, scalar(v))
		}
		if r.MoreAfter {
			n.Content = append(n.Content, scalar(source.More))
		}
	}
	a, _, err := source.Answer(f, n)
	if err == nil {
		return a, nil
	}
	// The file says which question it speaks of; here the person sees it.
	what := strings.ReplaceAll(err.What, fmt.Sprintf(" that %q takes", f.ID), "")
	what = strings.ReplaceAll(what, fmt.Sprintf("%q", f.ID), "The answer")
	fix := err.Fix
	if f.Kind == rules.Number && fix != "" {
		fix += " For a range write two dots, as in " + plainNumber(f.From+1) + ".." + plainNumber(f.From+2) + "."
		if f.Year {
			fix = "Write a year such as 1911, or a range such as 1900..1930."
		}
	}
	return a, fmt.Errorf("%s", strings.TrimSpace(what+". "+fix))
}

// replyOf is the reply that gives an answer.
func replyOf(f *rules.Fact, a rules.Answer) *Reply {
	r := &Reply{Values: slices.Clone(a.Values), MoreBefore: a.MoreBefore, MoreAfter: a.MoreAfter}
	if f.Kind == rules.Number {
		r.Line = numberWords(a)
	}
	return r
}

func numberWords(a rules.Answer) string {
	if a.Lo == a.Hi {
		return plainNumber(a.Lo)
	}
	return plainNumber(a.Lo) + ".." + plainNumber(a.Hi)
}

// outsideIn is the order of a list that begins at the surface.
const outsideIn = "outside in"

// why tells why a question is asked, how to find out, what it could change, and what not knowing means.
func why(b *rules.Base, f *rules.Fact, answers rules.Answers) string {
	var lines []string
	add := func(label, text string) {
		if text = strings.TrimSpace(text); text != "" {
			lines = append(lines, label+text)
		}
	}
	add("Why: ", f.Why)
	add("How to find out: ", strings.Join(strings.Fields(f.FindOut), " "))
	because := openReasons(b, f, answers)
	const most = 3
	for i, text := range because {
		if i == 0 {
			add("", "What turns on it:")
		}
		if i == most {
			more := "and 1 more rule"
			if n := len(because) - most; n > 1 {
				more = fmt.Sprintf("and %d more rules", n)
			}
			add("- ", more)
			break
		}
		add("- ", text)
	}
	switch f.Blank {
	case rules.Refuses:
		add("If it is not known: ", "whatever it might rule out stays ruled out.")
	case rules.Condition:
		add("If it is not known: ", "the advice says on what it depends.")
	default:
		add("If it is not known: ", fmt.Sprintf("it counts as %q.", f.Label(f.Blank)))
	}
	return strings.Join(lines, "\n")
}

// openReasons lists the reasons of the rules that read a fact and that the answers to the other facts leave open, those
// that rule something out first.
func openReasons(b *rules.Base, f *rules.Fact, answers rules.Answers) []string {
	others := answers.With(f.ID, rules.Answer{})
	delete(others, f.ID)
	var refusing, rest []string
	for _, r := range b.Rules {
		text := strings.Join(strings.Fields(r.Because), " ")
		if !r.When.Facts()[f] || text == "" || slices.Contains(refusing, text) || slices.Contains(rest, text) || holds(r.When.Root, others) != maybe {
			continue
		}
		if r.Gives[rules.RuledOut] != 0 {
			refusing = append(refusing, text)
		} else {
			rest = append(rest, text)
		}
	}
	return append(refusing, rest...)
}
