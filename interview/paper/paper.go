// Package paper puts text and drawings on paper that is only so wide, in black and white.
package paper

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/explain"
	"patchfirst/rules"
)

// Paper is text in lines of at most Width runes, which numbers the sources that it cites.
type Paper struct {
	strings.Builder
	Base  *rules.Base
	More  []*rules.Source // beside those of the base
	Width int

	cited []string
}

// Line writes a line as it is.
func (p *Paper) Line(s string) { p.WriteString(s + "\n") }

// Head writes a heading, with an empty line above.
func (p *Paper) Head(s string) {
	p.Line("")
	p.Para("", "%s", s)
}

// Para writes a paragraph behind a lead, its further lines indented as far as the lead.
func (p *Paper) Para(lead, format string, args ...any) {
	text := explain.Clean(fmt.Sprintf(format, args...))
	p.WriteString(explain.Wrap(text, lead, strings.Repeat(" ", len([]rune(lead))), p.Width))
}

// Title writes a name, underlined.
func (p *Paper) Title(s, under string) {
	p.Para("", "%s", s)
	p.Line(strings.Repeat(under, min(p.Width, len([]rune(s)))))
}

// Cite returns the numbers of sources, numbering new ones.
func (p *Paper) Cite(sources []string) string {
	var numbers []string
	for _, s := range sources {
		i := slices.Index(p.cited, s)
		if i < 0 {
			i = len(p.cited)
			p.cited = append(p.cited, s)
		}
		numbers = append(numbers, fmt.Sprint(i+1))
	}
	return "[" + strings.Join(numbers, ",") + "]"
}

// Sources lists what was cited.
func (p *Paper) Sources() {
	if len(p.cited) == 0 {
		return
	}
	p.Head("Sources")
	for i, id := range p.cited {
		p.Para(fmt.Sprintf("  [%d] ", i+1), "%s", p.sourceWords(id))
	}
}

func (p *Paper) sourceWords(id string) string {
	for _, s := range append(slices.Clone(p.Base.Sources), p.More...) {
		if s.ID == id {
			words := s.Body
			for _, more := range []string{s.Title, s.Where} {
				if more != "" {
					words += ", " + more
				}
			}
			return words
		}
	}
	return id
}

// Capital begins a text with a capital letter.
func Capital(s string) string {
	r := []rune(s)
	if len(r) == 0 {
		return s
	}
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

// Joined joins words, the last two by a word such as "and".
func Joined(words []string, by string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " " + by + " " + words[len(words)-1]
}
