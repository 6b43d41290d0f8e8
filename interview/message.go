package interview

import (
	"regexp"
	"strings"

	"patchfirst/explain"
)

// Wrap sets a message for people in lines of at most width runes. What is to be copied stays whole: a line of a file
// with the mark under it, and a command, which begins with spaces and the name of the program.
func Wrap(text string, width int) string {
	var b strings.Builder
	lines := strings.Split(strings.TrimRight(explain.Clean(text), "\n"), "\n")
	marks := func(i int) bool {
		return i < len(lines) && strings.HasPrefix(lines[i], " ") && strings.TrimSpace(lines[i]) == "^"
	}
	for i, line := range lines {
		plain := strings.TrimLeft(line, " ")
		indent := line[:len(line)-len(plain)]
		if indent != "" && strings.HasPrefix(plain, "patchfirst ") || marks(i) || marks(i+1) {
			b.WriteString(line + "\n")
			continue
		}
		first, rest, words := hung(line)
		b.WriteString(explain.Wrap(words, first, rest, width))
	}
	return b.String()
}

// listMark is what an item of a list begins with, where it is set in.
var listMark = regexp.MustCompile(`^ +(?:[-+*!>?] +)?(?:\[?[0-9]{1,2}\]? +)?`)

// hung parts a line into its lead, the lead of the lines that it is broken into, and its words: items of lists hang.
func hung(line string) (first, rest, words string) {
	first = listMark.FindString(line)
	return first, strings.Repeat(" ", len(first)), line[len(first):]
}
