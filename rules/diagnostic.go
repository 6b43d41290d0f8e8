package rules

import (
	"fmt"
	"slices"
	"strings"
)

// Pos is a place in a file. Line and Col count from 1; Line 0 means the whole file.
type Pos struct {
	File string
	Line int
	Col  int
}

func (p Pos) String() string {
	switch {
	case p.Line == 0:
		return p.File
	case p.Col == 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Col)
}

// Diagnostic is one mistake in a file, written for the person who made it.
type Diagnostic struct {
	Pos     Pos
	Summary string // what is wrong
	Fix     string // what to write instead; may be empty
	Excerpt string // the line it stands in; may be empty
}

func (d Diagnostic) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s", d.Pos, d.Summary)
	if d.Excerpt != "" {
		line := strings.TrimRight(d.Excerpt, " \t\r\n")
		col := d.Pos.Col
		const width = 100
		if runes := []rune(line); len(runes) > width {
			from := max(0, min(col-width/2, len(runes)-width))
			line, col = string(runes[from:from+width]), col-from
		}
		fmt.Fprintf(&b, "\n    %s", strings.ReplaceAll(line, "\t", " "))
		if col > 0 {
			fmt.Fprintf(&b, "\n    %s^", strings.Repeat(" ", col-1))
		}
	}
	if d.Fix != "" {
		fmt.Fprintf(&b, "\n    %s", d.Fix)
	}
	return b.String()
}

// Problems is all that is wrong with some files: an error that lists every mistake, in the order of the files.
type Problems []Diagnostic

func (p Problems) Error() string {
	lines := make([]string, len(p))
	for i, d := range p {
		lines[i] = d.Error()
	}
	return strings.Join(lines, "\n")
}

// Sort puts the mistakes in the order of files and lines.
func (p Problems) Sort() {
	slices.SortStableFunc(p, func(a, b Diagnostic) int {
		if c := strings.Compare(a.Pos.File, b.Pos.File); c != 0 {
			return c
		}
		if a.Pos.Line != b.Pos.Line {
			return a.Pos.Line - b.Pos.Line
		}
		return a.Pos.Col - b.Pos.Col
	})
}

// Err returns the problems as an error, or nil if there are none.
func (p Problems) Err() error {
	if len(p) == 0 {
		return nil
	}
	p.Sort()
	return p
}

// Nearest returns the known word that is most like the given one, and whether any is near enough to be meant.
func Nearest(word string, known []string) (string, bool) {
	best, bestDistance := "", len(word)/2+2
	for _, k := range known {
		if d := distance(strings.ToLower(word), strings.ToLower(k)); d < bestDistance {
			best, bestDistance = k, d
		}
	}
	return best, best != ""
}

// DidYouMean names the nearest known word, or else lists the known words if they are few.
func DidYouMean(word string, known []string) string {
	if near, ok := Nearest(word, known); ok {
		return fmt.Sprintf("Did you mean %q?", near)
	}
	const few = 12
	if len(known) > 0 && len(known) <= few {
		return "Known: " + strings.Join(known, ", ") + "."
	}
	return ""
}

// distance is the number of single-letter edits between two words, a swap of neighbours counted as one.
func distance(a, b string) int {
	ra, rb := []rune(a), []rune(b)
	d := make([][]int, len(ra)+1)
	for i := range d {
		d[i] = make([]int, len(rb)+1)
		d[i][0] = i
	}
	for j := range d[0] {
		d[0][j] = j
	}
	for i := 1; i <= len(ra); i++ {
		for j := 1; j <= len(rb); j++ {
			cost := 1
			if ra[i-1] == rb[j-1] {
				cost = 0
			}
			d[i][j] = min(d[i-1][j]+1, d[i][j-1]+1, d[i-1][j-1]+cost)
			if i > 1 && j > 1 && ra[i-1] == rb[j-2] && ra[i-2] == rb[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(ra)][len(rb)]
}
