package source

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"patchfirst/rules"
)

// More stands in a list for "and perhaps others", and alone for "not known".
const More = "?"

// Answers reads a mapping of facts to answers, and which of them are said to be not known. scopes lists the scopes of
// fact that may stand here; none allows all.
func Answers(b *rules.Base, d *Document, n *yaml.Node, scopes ...string) (answers rules.Answers, notKnown map[string]bool) {
	answers, notKnown = rules.Answers{}, map[string]bool{}
	if n == nil || n.Tag == "!!null" {
		return answers, notKnown
	}
	o := d.Object(n, "a list of answers")
	if o == nil {
		return answers, notKnown
	}
	for _, key := range o.Keys() {
		f := b.Fact(key)
		switch {
		case f == nil || !f.Asked():
			d.Fail(o.Key(key), b.DidYouMean(key), "there is no question %q", key)
		case len(scopes) > 0 && !slices.Contains(scopes, f.Scope):
			d.Fail(o.Key(key), "Answer it for each element.", "%q is a question about a part, not about the site", key)
		default:
			a, known, err := Answer(f, o.Get(key))
			switch {
			case err != nil:
				d.Fail(o.Get(key), err.Fix, "%s", err.What)
			case known:
				answers[key] = a
			case o.Get(key).Value == More:
				notKnown[key] = true
			}
		}
	}
	return answers, notKnown
}

// AnswerError says what is wrong with an answer, and what to write instead.
type AnswerError struct{ What, Fix string }

func (e *AnswerError) Error() string { return strings.TrimSpace(e.What + ". " + e.Fix) }

// Answer reads one answer: a value; a list of values; a number with or without its unit; a range such as 1900..1930.
// Not known: the answer is blank.
func Answer(f *rules.Fact, n *yaml.Node) (a rules.Answer, known bool, err *AnswerError) {
	if n.Kind == yaml.ScalarNode && (n.Value == More || n.Tag == "!!null") {
		return a, false, nil
	}
	switch {
	case f.Kind == rules.Number && n.Kind == yaml.ScalarNode:
		a.Lo, a.Hi, err = numberRange(f, n.Value)
	case f.Kind == rules.Number:
		err = &AnswerError{fmt.Sprintf("%q is one number", f.ID), "Write a number, or a range such as 3..5."}
	case f.Kind == rules.Several:
		a, err = several(f, n)
	default:
		a, err = choice(f, n)
	}
	return a, err == nil, err
}

func choice(f *rules.Fact, n *yaml.Node) (a rules.Answer, err *AnswerError) {
	nodes := []*yaml.Node{n}
	if n.Kind == yaml.SequenceNode {
		nodes = n.Content
	}
	if len(nodes) == 0 {
		return a, &AnswerError{fmt.Sprintf("the answer to %q is empty", f.ID), "Leave the line out if it is not known."}
	}
	for _, c := range nodes {
		if c.Kind != yaml.ScalarNode {
			return a, &AnswerError{fmt.Sprintf("%q is one of its values", f.ID), ""}
		}
		v := c.Value
		if f.YesNo && (v == "true" || v == "false") {
			v = map[string]string{"true": "yes", "false": "no"}[v]
		}
		if err := knownValue(f, v); err != nil {
			return a, err
		}
		if !slices.Contains(a.Values, v) {
			a.Values = append(a.Values, v)
		}
	}
	return a, nil
}

func several(f *rules.Fact, n *yaml.Node) (a rules.Answer, err *AnswerError) {
	if n.Kind != yaml.SequenceNode {
		return a, &AnswerError{fmt.Sprintf("%q is a list", f.ID), fmt.Sprintf("Write [%s], or [] for none.", n.Value)}
	}
	for i, c := range n.Content {
		switch {
		case c.Kind != yaml.ScalarNode:
			return a, &AnswerError{fmt.Sprintf("%q is a list of its values", f.ID), ""}
		case c.Value == More && i == 0 && len(n.Content) > 1 && f.Order != "":
			a.MoreBefore = true
			continue
		case c.Value == More:
			a.MoreAfter = true
			continue
		}
		if err := knownValue(f, c.Value); err != nil {
			return a, err
		}
		if f.Order != "" || !slices.Contains(a.Values, c.Value) {
			a.Values = append(a.Values, c.Value)
		}
	}
	distinct := slices.Compact(slices.Sorted(slices.Values(a.Values)))
	if f.Most > 0 && len(distinct) > f.Most {
		return a, &AnswerError{fmt.Sprintf("%q takes at most %d values", f.ID, f.Most), fmt.Sprintf("Keep the %d that matter most.", f.Most)}
	}
	return a, nil
}

// knownValue refuses a value that the fact does not have, and names the nearest.
func knownValue(f *rules.Fact, v string) *AnswerError {
	if f.Has(v) {
		return nil
	}
	fix := f.DidYouMean(v)
	if v == "unknown" || v == "not_known" || v == "not_looked" {
		fix = "What is not known is left out, or written ?."
	}
	return &AnswerError{fmt.Sprintf("%q is not a value of %q", v, f.ID), fix}
}

// numberRange reads a number or a range in the unit of the fact, and checks its bounds.
func numberRange(f *rules.Fact, text string) (lo, hi float64, err *AnswerError) {
	from, to, isRange := strings.Cut(text, "..")
	if !isRange {
		to = from
	}
	if lo, err = oneNumber(f, from); err != nil {
		return 0, 0, err
	}
	if hi, err = oneNumber(f, to); err != nil {
		return 0, 0, err
	}
	if lo > hi {
		return 0, 0, &AnswerError{fmt.Sprintf("the range %s runs backwards", text), "Write the smaller number first."}
	}
	return lo, hi, nil
}

func oneNumber(f *rules.Fact, text string) (float64, *AnswerError) {
	digits := strings.TrimSpace(text)
	if f.Unit != "" {
		digits = strings.TrimSpace(strings.TrimSuffix(digits, f.Unit))
	}
	v, err := strconv.ParseFloat(digits, 64)
	if err != nil || v != v {
		fix := "Write a plain number such as 12."
		switch {
		case f.Year:
			fix = "Write a year such as 1911, or a range such as 1900..1930."
		case f.Unit != "":
			fix = fmt.Sprintf("Write a number in %s, such as %g.", f.Unit, max(f.From, 0)+2*f.Step)
		}
		return 0, &AnswerError{fmt.Sprintf("%q is not a number that %q takes", text, f.ID), fix}
	}
	if v < f.From || v > f.To {
		return 0, &AnswerError{fmt.Sprintf("%q must be %g to %g, and this is %s", f.ID, f.From, f.To, digits), ""}
	}
	return v, nil
}
