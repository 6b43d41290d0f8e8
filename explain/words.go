package explain

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"patchfirst/rules"
)

// Clean makes text from a file fit for a terminal: control characters, which could move the cursor or recolour the
// screen, become a visible mark.
func Clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' || unicode.Is(unicode.Bidi_Control, r) || r == utf8.RuneError {
			return '�'
		}
		return r
	}, s)
}

// Wrap breaks text into lines of at most width runes. The first line begins with first, the others with rest.
func Wrap(text, first, rest string, width int) string {
	var b strings.Builder
	line, empty := first, true
	for _, word := range strings.Fields(text) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			b.WriteString(strings.TrimRight(line, " ") + "\n")
			line, empty = rest, true
		}
		if !empty {
			line += " "
		}
		line += word
		empty = false
	}
	b.WriteString(strings.TrimRight(line, " ") + "\n")
	return b.String()
}

// Requirement says in words which answers are meant: "worker: a tradesperson or a specialist".
func Requirement(b *rules.Base, r rules.Requirement) string {
	f := b.Fact(r.Fact)
	name := f.Words()
	var parts []string
	if len(r.Values) > 0 {
		// The shorter of the two ways to say it.
		if out := others(f, r.Values); len(out) < len(r.Values) && !f.YesNo {
			parts = append(parts, "not "+joined(labels(f, out), "or"))
		} else {
			parts = append(parts, joined(labels(f, r.Values), "or"))
		}
	}
	if len(r.With) > 0 {
		parts = append(parts, "with "+joined(labels(f, r.With), "and"))
	}
	if len(r.Without) > 0 {
		parts = append(parts, "without "+joined(labels(f, r.Without), "or"))
	}
	if len(r.Ranges) > 0 {
		words := joined(r.Ranges, "or")
		if f.Unit != "" {
			words += " " + f.Unit
		}
		parts = append(parts, words)
	}
	return name + ": " + strings.Join(parts, ", ")
}

// Requirements joins several requirements.
func Requirements(b *rules.Base, rs []rules.Requirement) string {
	parts := make([]string, len(rs))
	for i, r := range rs {
		parts[i] = Requirement(b, r)
	}
	return strings.Join(parts, "; ")
}

func others(f *rules.Fact, values []string) (out []string) {
	for _, v := range f.Values {
		found := false
		for _, w := range values {
			found = found || v.ID == w
		}
		if !found {
			out = append(out, v.ID)
		}
	}
	return out
}

func labels(f *rules.Fact, values []string) []string {
	all := make([]string, len(values))
	for i, v := range values {
		all[i] = f.Label(v)
	}
	return all
}

func joined(words []string, by string) string {
	switch len(words) {
	case 0:
		return ""
	case 1:
		return words[0]
	}
	return fmt.Sprintf("%s %s %s", strings.Join(words[:len(words)-1], ", "), by, words[len(words)-1])
}

// If begins a sentence that holds where the requirements are met, and perhaps elsewhere too.
func If(b *rules.Base, met []rules.Requirement, elsewhere bool) string {
	switch {
	case len(met) == 0:
		return ""
	case elsewhere:
		return "If " + Requirements(b, met) + ", or for another reason: "
	}
	return "If " + Requirements(b, met) + ": "
}
