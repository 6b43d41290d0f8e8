package rules

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
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
	if ids := near(word, named(known)); len(ids) > 0 {
		return ids[0], true
	}
	return "", false
}

// few is how many words a message lists where none is near.
const few = 15

// DidYouMean names the known words that may be meant, or else lists them all if they are few.
func DidYouMean(word string, known []string) string {
	switch ids := near(word, named(known)); {
	case len(ids) > 0:
		return didYouMean(ids)
	case len(known) > 0 && len(known) <= few:
		return "Known: " + strings.Join(known, ", ") + "."
	}
	return ""
}

// DidYouMean names the values of the fact that may be meant by a word, or else lists them, or says where they are listed.
func (f *Fact) DidYouMean(word string) string {
	switch ids := near(word, f.Values); {
	case len(ids) > 0:
		return didYouMean(ids)
	case len(f.Values) <= few:
		return "It takes " + strings.Join(f.ValueIDs(), ", ") + "."
	}
	return fmt.Sprintf("It takes %d values, which survey lists when it asks: %s", len(f.Values), f.Ask)
}

// DidYouMean names the questions that may be meant by a word, or else says where they are found.
func (b *Base) DidYouMean(word string) string {
	var known []Value
	for _, f := range b.Facts {
		if f.Asked() {
			known = append(known, Value{f.ID, f.Ask})
		}
	}
	if ids := near(word, known); len(ids) > 0 {
		return didYouMean(ids)
	}
	return "A survey asks the questions one by one, and writes their names into the job file."
}

func didYouMean(ids []string) string {
	quoted := make([]string, len(ids))
	for i, id := range ids {
		quoted[i] = strconv.Quote(id)
	}
	last := len(quoted) - 1
	if last == 0 {
		return "Did you mean " + quoted[0] + "?"
	}
	return "Did you mean " + strings.Join(quoted[:last], ", ") + " or " + quoted[last] + "?"
}

func named(ids []string) []Value {
	values := make([]Value, len(ids))
	for i, id := range ids {
		values[i].ID = id
	}
	return values
}

// near lists the ids of the values that a word may mean, likeliest first, at most four: those that hold it in their id or
// label; if there is none, those that share a word with it; if there is none, those that a few slips make of it. It looks
// at spelling last, since the nearest in letters may be the opposite in meaning.
func near(word string, known []Value) []string {
	w := plainWords(word)
	if w == "" {
		return nil
	}
	for _, rank := range []func(id, label string) int{
		func(id, label string) int { return holding(w, id, label) },
		func(id, label string) int { return sharing(w, id+" "+label) },
		func(id, label string) int { return slips(w, id, label) },
	} {
		var ids []string
		ranks := map[string]int{}
		for _, v := range known {
			if r := rank(plainWords(v.ID), plainWords(v.Label)); r > 0 {
				const far = 1000
				ids, ranks[v.ID] = append(ids, v.ID), far*r+distance(w, plainWords(v.ID))
			}
		}
		slices.SortStableFunc(ids, func(a, b string) int { return ranks[a] - ranks[b] })
		const most = 4
		if len(ids) > 0 {
			return ids[:min(most, len(ids))]
		}
	}
	return nil
}

// plainWords writes a text as small words with single spaces between them.
func plainWords(text string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), " ")
}

// holding ranks how a text holds a word, best 1; 0 is not at all. A word of three letters or less must stand at the
// beginning of another.
func holding(w, id, label string) int {
	const short = 3
	switch {
	case len(w) < short:
		return 0
	case strings.Contains(" "+id, " "+w):
		return 1
	case len(w) > short && strings.Contains(id, w):
		return 2
	case strings.Contains(" "+label, " "+w):
		return 3
	case len(w) > short && strings.Contains(label, w):
		return 4
	}
	return 0
}

// sharing ranks how many words of w a text has, most first, with the endings left open; 0 is none.
func sharing(w, text string) int {
	words := strings.Fields(w)
	missing := 0
	for _, one := range words {
		if !slices.ContainsFunc(strings.Fields(text), func(other string) bool { return akin(one, other) }) {
			missing++
		}
	}
	if missing == len(words) {
		return 0
	}
	return missing + 1
}

// akin reports whether two words begin alike: in four letters at least, and in all of the shorter or two thirds of the
// longer.
func akin(a, b string) bool {
	const least = 4
	n := 0
	for n < min(len(a), len(b)) && a[n] == b[n] {
		n++
	}
	return n >= least && (n == len(a) || 3*n >= 2*max(len(a), len(b)))
}

// slips ranks how many slips lie between a word and an id or a label, fewest first; 0 is too many, which is more than one
// in three letters. In words of two letters only a swap is a slip.
func slips(w, id, label string) int {
	const tiny, third = 2, 3
	best := 0
	for _, k := range []string{id, label} {
		d := distance(w, k)
		longest := max(utf8.RuneCountInString(w), 1)
		if k == "" || d > max(1, longest/third) || longest <= tiny && !swapped(w, k) {
			continue
		}
		if best == 0 || d+1 < best {
			best = d + 1
		}
	}
	return best
}

// swapped reports whether two words have the same letters.
func swapped(a, b string) bool {
	return slices.Equal(slices.Sorted(slices.Values([]rune(a))), slices.Sorted(slices.Values([]rune(b))))
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
