package interview

import (
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
		b.WriteString(explain.Wrap(plain, indent, indent, width))
	}
	return b.String()
}
