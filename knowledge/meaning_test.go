package knowledge_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"patchfirst/rules"
)

// meaning is a description as a condition in the language of the base. Audits describe cases in phrases such as
// "substrate in metal", "coatings with oil_paint, coatings without tar" or "built from 1970 below 1978".
func meaning(t testing.TB, b *rules.Base, phrase string) string {
	t.Helper()
	fact, rest, _ := strings.Cut(phrase, " ")
	quoted := func(list string) string { return `"` + strings.ReplaceAll(list, ", ", `", "`) + `"` }
	for _, form := range []struct{ begins, says string }{
		{"= ", `%s == %s`}, {"is one of ", `%s in [%s]`}, {"is not ", `!(%s in [%s])`},
	} {
		if list, ok := strings.CutPrefix(rest, form.begins); ok {
			return fmt.Sprintf(form.says, fact, quoted(list))
		}
	}
	if group, ok := strings.CutPrefix(rest, "in "); ok {
		return fact + " in " + group
	}
	if strings.HasPrefix(rest, "with") {
		return listed(fact, phrase)
	}
	var any []string
	for _, r := range strings.Split(rest, " or ") {
		m := ranged.FindStringSubmatch(r)
		if m == nil || b.Fact(fact) == nil || b.Fact(fact).Kind != rules.Number {
			t.Fatalf("%q cannot be read", phrase)
		}
		var all []string
		for i, sign := range []string{">=", ">", "<=", "<"} {
			if m[i+1] != "" {
				all = append(all, fmt.Sprintf("%s %s %s", fact, sign, m[i+1]))
			}
		}
		any = append(any, "("+strings.Join(all, " && ")+")")
	}
	return strings.Join(any, " || ")
}

var ranged = regexp.MustCompile(`^(?:from (\S+)|above (\S+))? ?(?:up to (\S+)|below (\S+))?$`)

// listed reads a phrase about the values of a list.
func listed(fact, phrase string) string {
	var all []string
	without := false
	for _, word := range strings.Split(phrase, ", ") {
		for sign, no := range map[string]bool{fact + " with ": false, fact + " without ": true} {
			if value, ok := strings.CutPrefix(word, sign); ok {
				word, without = value, no
			}
		}
		one := fmt.Sprintf("%q in %s", word, fact)
		if without {
			one = "!(" + one + ")"
		}
		all = append(all, one)
	}
	return strings.Join(all, " && ")
}

// meanings compiles what descriptions stand for.
func (e *enumerator) meanings(phrases []string) (all []*plain) {
	for _, p := range phrases {
		all = append(all, e.plain(condition(e.t, e.b, meaning(e.t, e.b, p))))
	}
	return all
}

// meets reports whether the case at hand is as some descriptions say.
func (e *enumerator) meets(all []*plain) bool {
	for _, p := range all {
		if !e.holds(p) {
			return false
		}
	}
	return true
}
