package explain

import (
	"fmt"
	"strconv"
	"strings"

	"patchfirst/rules"
)

// Answer says an answer in the words of the base.
func Answer(f *rules.Fact, a rules.Answer) string {
	if f.Kind == rules.Number {
		words := number(a.Lo)
		if a.Lo != a.Hi {
			words += ".." + number(a.Hi)
		}
		return strings.TrimSpace(words + " " + Unit(f.Unit, a.Hi))
	}
	words := labels(f, a.Values)
	if f.Kind == rules.Choice {
		if len(words) < 2 {
			return strings.Join(words, "")
		}
		return strings.Join(words, " or ") + ", cannot tell which"
	}
	between := ", "
	if f.Order != "" {
		between = ", then "
	}
	if a.MoreBefore {
		words = append([]string{"perhaps others"}, words...)
	}
	if a.MoreAfter {
		words = append(words, "perhaps others")
	}
	if len(words) == 0 {
		return "none of these"
	}
	return strings.Join(words, between)
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// unitNames are the units whose sign is not plain to everyone; a sign that is missing here is its own name.
var unitNames = map[string]string{"h": "hours", "m2": "m²"}

// Unit writes the unit of a number for people. A unit that is a word ends in s, which one of it loses.
func Unit(unit string, n float64) string {
	if name, ok := unitNames[unit]; ok {
		unit = name
	}
	const sign = 3 // letters of a sign
	if n == 1 && len(unit) > sign {
		unit = strings.TrimSuffix(unit, "s")
	}
	return unit
}

// wants says which answers a test of a fact asks for.
func wants(t *rules.Test, negated bool) string {
	f := t.Fact
	switch t.Op {
	case rules.OpCmp:
		words := map[string]string{"<": "below", "<=": "at most", ">": "above", ">=": "at least", "==": "exactly", "!=": "not"}
		opposite := map[string]string{"<": ">=", "<=": ">", ">": "<=", ">=": "<", "==": "!=", "!=": "=="}
		cmp := t.Cmp
		if negated {
			cmp = opposite[cmp]
		}
		return strings.TrimSpace(fmt.Sprintf("%s %s %s", words[cmp], number(t.Number), Unit(f.Unit, t.Number)))
	case rules.OpHas:
		if negated {
			return "without " + f.Label(t.Values[0])
		}
		return "with " + f.Label(t.Values[0])
	}
	words := joined(labels(f, t.Values), "or")
	if f.Parent() != f { // an end of a list
		at := "last"
		if f.ID == f.Parent().First {
			at = "first"
		}
		words = at + " " + words
	}
	if t.Negated != negated {
		return "not " + words
	}
	return words
}

// levels says which levels a test of a finding asks for.
func levels(t *rules.Test, negated bool) string {
	scale := t.Finding.Scale
	from, to := 0, len(scale)-1
	switch t.Cmp {
	case ">=":
		from = t.Level
	case ">":
		from = t.Level + 1
	case "<":
		to = t.Level - 1
	case "<=":
		to = t.Level
	default:
		words := scale[t.Level]
		if (t.Cmp == "!=") != negated {
			return "not " + words
		}
		return words
	}
	if negated {
		if from > 0 {
			from, to = 0, from-1
		} else {
			from, to = to+1, len(scale)-1
		}
	}
	switch {
	case from == to:
		return scale[from]
	case to == len(scale)-1:
		return scale[from] + " or more"
	}
	return scale[to] + " or less"
}
