// Package show puts plans and readings of test patches on paper: in words, as a map of the patches, and as cards to fill
// in. All of it can be read in black and white.
package show

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/explain"
	"patchfirst/interview/patches"
	"patchfirst/rules"
)

// paper is text in lines of at most width runes.
type paper struct {
	strings.Builder
	base  *rules.Base
	width int
	cited []string
}

func (p *paper) line(s string) { p.WriteString(s + "\n") }

func (p *paper) head(s string) {
	p.line("")
	p.para("", "%s", s)
}

// para writes a paragraph behind a lead, its further lines indented as far as the lead.
func (p *paper) para(lead, format string, args ...any) {
	text := explain.Clean(fmt.Sprintf(format, args...))
	p.WriteString(explain.Wrap(text, lead, strings.Repeat(" ", len([]rune(lead))), p.width))
}

// title writes a name, underlined.
func (p *paper) title(s, under string) {
	p.para("", "%s", s)
	p.line(strings.Repeat(under, min(p.width, len([]rune(s)))))
}

// cite returns the numbers of sources, numbering new ones.
func (p *paper) cite(sources []string) string {
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

func (p *paper) sources(f *patches.Figures) {
	if len(p.cited) == 0 {
		return
	}
	p.head("Sources")
	for i, id := range p.cited {
		p.para(fmt.Sprintf("  [%d] ", i+1), "%s", sourceWords(p.base, f, id))
	}
}

func sourceWords(b *rules.Base, f *patches.Figures, id string) string {
	for _, s := range append(slices.Clone(b.Sources), f.Sources...) {
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

func capital(s string) string {
	r := []rune(s)
	if len(r) == 0 {
		return s
	}
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

func joined(words []string, by string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " " + by + " " + words[len(words)-1]
}

func durations(minutes []float64) string {
	words := make([]string, len(minutes))
	for i, m := range minutes {
		words[i] = patches.Duration(m)
	}
	return joined(words, "and")
}

func areaWords(area string) string {
	switch area {
	case patches.Worst:
		return "the worst area"
	case patches.Soundest:
		return "the soundest area"
	}
	return "an area not named"
}
