package rules_test

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"patchfirst/rules"
)

// toyValues are the answers to the questions. A width stands for all that no rule tells from it.
var toyValues = [questions][]string{
	{"mud", "rock", "sand"},
	{"5", "20", "40"},
	nil,
	{"calm", "breeze", "gale"},
	{"no", "yes"},
	{"not_tested", "thick", "thin"},
	{"whole", "cracked", "none"},
}

// widthLike says which of the widths no rule of the toy base tells from this one.
func widthLike(w float64) int {
	switch {
	case w < 10:
		return 0
	case w <= 30:
		return 1
	}
	return 2
}

// toyLoad is a list as the rules see it: what is on it, and its two ends.
type toyLoad struct {
	set         []string
	first, last string
}

var loads = writeLoads()

func writeLoads() (all []toyLoad) {
	all = append(all, toyLoad{nil, "none", "none"})
	kinds := []string{"goat", "drum", "glass"}
	for i, a := range kinds {
		all = append(all, toyLoad{[]string{a}, a, a})
		for _, b := range kinds[i+1:] {
			for _, first := range []string{a, b} {
				for _, last := range []string{a, b} {
					all = append(all, toyLoad{[]string{a, b}, first, last})
				}
			}
		}
	}
	return all
}

func size(q int) int {
	if q == load {
		return len(loads)
	}
	return len(toyValues[q])
}

// toyCase is one complete case: the place of the answer to each question.
type toyCase struct {
	is    [questions]int
	fires []bool             // by rule
	gives [5]rules.MethodSet // by verdict
	found []int              // level, by finding
	real  bool               // it breaks no constraint and no "applies"
}

func (c *toyCase) value(q int) string { return toyValues[q][c.is[q]] }

func (c *toyCase) load() toyLoad { return loads[c.is[load]] }

func (c *toyCase) String() string {
	parts := make([]string, questions)
	for q := range questions {
		if q == load {
			parts[q] = fmt.Sprintf("load=%v (%s..%s)", c.load().set, c.load().first, c.load().last)
			continue
		}
		parts[q] = factIDs[q] + "=" + c.value(q)
	}
	return strings.Join(parts, " ")
}

// applies says where the two questions that do not always apply do.
func (c *toyCase) applies(q int) bool {
	switch q {
	case ice:
		return c.value(bank) != "rock"
	case bridge:
		return c.value(bank) != "mud"
	}
	return true
}

func (c *toyCase) env() map[string]any {
	w, _ := strconv.ParseFloat(c.value(width), 64)
	return map[string]any{
		"bank": c.value(bank), "width": w, "load": c.load().set, "front_load": c.load().first, "back_load": c.load().last,
		"wind": c.value(wind), "watchman": c.value(watchman), "ice": c.value(ice), "bridge_state": c.value(bridge),
		"soft_banks": []string{"mud", "sand"}, "danger": 0, "alarm": 0,
	}
}

// agrees reports whether a case has an answer.
func (c *toyCase) agrees(q int, a rules.Answer, certainMud bool) bool {
	switch q {
	case width:
		return widthLike(a.Lo) <= c.is[width] && c.is[width] <= widthLike(a.Hi)
	case load:
		after := a.MoreAfter || certainMud
		l := c.load()
		for _, v := range a.Values {
			if !slices.Contains(l.set, v) {
				return false
			}
		}
		for _, v := range l.set {
			if !slices.Contains(a.Values, v) && !a.MoreBefore && !after {
				return false
			}
		}
		if len(a.Values) == 0 {
			return true
		}
		return (a.MoreBefore || l.first == a.Values[0]) && (after || l.last == a.Values[len(a.Values)-1])
	}
	return slices.Contains(a.Values, c.value(q))
}

// only keeps the questions of a set.
func (c *toyCase) only(set int) (is [questions]int) {
	for q := range questions {
		is[q] = -1
		if set>>q&1 == 1 {
			is[q] = c.is[q]
		}
	}
	return is
}

// meets reports whether a case meets requirements, which are alternatives within a fact and joined between facts.
func (c *toyCase) meets(t interface{ Fatalf(string, ...any) }, all []rules.Requirement) bool {
	for _, r := range all {
		ok := true
		switch q := slices.Index(factIDs[:], r.Fact); {
		case r.Fact == "front_load":
			ok = slices.Contains(r.Values, c.load().first)
		case r.Fact == "back_load":
			ok = slices.Contains(r.Values, c.load().last)
		case q == load:
			for _, v := range r.With {
				ok = ok && slices.Contains(c.load().set, v)
			}
			for _, v := range r.Without {
				ok = ok && !slices.Contains(c.load().set, v)
			}
		case q == width:
			w, _ := strconv.ParseFloat(c.value(width), 64)
			ok = slices.ContainsFunc(r.Ranges, func(text string) bool { return inRange(t, text, w) })
		case q >= 0:
			ok = slices.Contains(r.Values, c.value(q))
		default:
			t.Fatalf("a requirement about %q", r.Fact)
		}
		if !ok {
			return false
		}
	}
	return true
}

var rangePart = regexp.MustCompile(`(from|above|up to|below) ([0-9.]+)`)

func inRange(t interface{ Fatalf(string, ...any) }, text string, w float64) bool {
	parts := rangePart.FindAllStringSubmatch(text, -1)
	if len(parts) == 0 {
		t.Fatalf("a range %q", text)
	}
	for _, p := range parts {
		at, _ := strconv.ParseFloat(p[2], 64)
		ok := map[string]bool{"from": w >= at, "above": w > at, "up to": w <= at, "below": w < at}[p[1]]
		if !ok {
			return false
		}
	}
	return true
}

// answersOf writes a case, or its answers to some questions, as answers. A list that no case can tell apart from others
// is written as the shortest one.
func (c *toyCase) answersOf(set int) rules.Answers {
	answers := rules.Answers{}
	for q := range questions {
		if set>>q&1 == 0 {
			continue
		}
		switch q {
		case width:
			w, _ := strconv.ParseFloat(c.value(width), 64)
			answers["width"] = rules.Answer{Lo: w, Hi: w}
		case load:
			answers["load"] = rules.Answer{Values: c.load().list()}
		default:
			answers[factIDs[q]] = rules.Answer{Values: []string{c.value(q)}}
		}
	}
	return answers
}

func (l toyLoad) list() []string {
	switch {
	case len(l.set) < 2:
		return l.set
	case l.first != l.last:
		return []string{l.first, l.last}
	}
	other := l.set[0]
	if other == l.first {
		other = l.set[1]
	}
	return []string{l.first, other, l.last}
}
