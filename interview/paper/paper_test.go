package paper_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"patchfirst/interview/paper"
	"patchfirst/rules"
)

func TestPaperCitesAndWraps(t *testing.T) {
	p := &paper.Paper{Base: &rules.Base{Sources: []*rules.Source{{ID: "atlas", Body: "River Society", Title: "Atlas", Where: "page 3"}}}, More: []*rules.Source{{ID: "more", Body: "Someone"}}, Width: 30}
	p.Title("The river", "=")
	p.Para("  - ", "It is deep here and deeper there, and nobody knows how deep it is. %s", p.Cite([]string{"atlas", "common practice"}))
	p.Para("", "Again. %s%s", p.Cite([]string{"more"}), p.Cite([]string{"atlas"}))
	p.Para("", "no\x1b[31m colour")
	p.Sources()
	for line := range strings.SplitSeq(p.String(), "\n") {
		if utf8.RuneCountInString(line) > 30 {
			t.Errorf("wider than 30: %q", line)
		}
	}
	for _, want := range []string{"The river\n=========\n", "is. [1,2]", "Again. [3][1]", "[1] River Society, Atlas,\n      page 3", "[2] common practice", "[3] Someone"} {
		if !strings.Contains(p.String(), want) {
			t.Errorf("it lacks %q:\n%s", want, p.String())
		}
	}
	if strings.Contains(p.String(), "\x1b") {
		t.Error("a control character got through")
	}
	empty := &paper.Paper{Base: &rules.Base{}, Width: 30}
	if empty.Sources(); empty.String() != "" {
		t.Errorf("sources of nothing: %q", empty.String())
	}
}

func TestWords(t *testing.T) {
	for _, test := range [][2]string{
		{paper.Capital("édge"), "Édge"}, {paper.Capital(""), ""}, {paper.Joined(nil, "and"), ""}, {paper.Joined([]string{"a"}, "and"), "a"},
		{paper.Joined([]string{"a", "b", "c"}, "or"), "a, b or c"}, {paper.Escape(`<a & "b">`), "&lt;a &amp; &#34;b&#34;&gt;"},
	} {
		if test[0] != test[1] {
			t.Errorf("%q, want %q", test[0], test[1])
		}
	}
}
