package explain

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"patchfirst/rules"
)

// Grid is a table of a base drawn cell by cell: a row for each value, a numbered column for each method, a sign for what the
// cell says.
type Grid struct {
	Title   string
	Columns []string
	Rows    []GridRow
	Signs   [][2]string // a sign and what it means
}

// GridRow is the signs of one value.
type GridRow struct {
	Name  string
	Signs []string
}

// TableGrid draws a table of a base.
func TableGrid(b *rules.Base, t *rules.Table) *Grid {
	g := &Grid{Title: fmt.Sprintf("%s: what each method does to each %s", t.ID, b.Fact(t.Rows).Words())}
	signs := map[string]string{}
	for _, c := range t.Cells {
		if _, ok := signs[c.Is]; ok {
			continue
		}
		sign := "."
		if t.Values[c.Is] != "nothing" {
			sign = g.sign(strings.ToUpper(c.Is))
		}
		signs[c.Is] = sign
		g.Signs = append(g.Signs, [2]string{sign, c.Is})
	}
	for _, m := range b.Methods {
		g.Columns = append(g.Columns, m.ID)
	}
	for _, v := range b.Fact(t.Rows).Values {
		row := GridRow{Name: v.ID}
		for _, m := range b.Methods {
			row.Signs = append(row.Signs, signs[t.At(v.ID, m)])
		}
		g.Rows = append(g.Rows, row)
	}
	return g
}

// sign returns the first letter of a word that is not a sign yet.
func (g *Grid) sign(word string) string {
	for _, letter := range word {
		if !slices.ContainsFunc(g.Signs, func(s [2]string) bool { return s[0] == string(letter) }) {
			return string(letter)
		}
	}
	return "?"
}

func (g *Grid) lines(width int) []string {
	lines := []string{g.Title, ""}
	name := 0
	for _, r := range g.Rows {
		name = max(name, len(r.Name))
	}
	pad := strings.Repeat(" ", name)
	tens, ones := pad, pad
	for i := range g.Columns {
		tens += " " + map[bool]string{true: " ", false: fmt.Sprint((i + 1) / 10)}[i < 9]
		ones += fmt.Sprintf(" %d", (i+1)%10)
	}
	lines = append(lines, tens, ones)
	for _, r := range g.Rows {
		lines = append(lines, fmt.Sprintf("%-*s %s", name, r.Name, strings.Join(r.Signs, " ")))
	}
	lines = append(lines, "")
	for _, s := range g.Signs {
		lines = append(lines, s[0]+"  "+strings.ReplaceAll(s[1], "_", " "))
	}
	lines = append(lines, "")
	var methods []string
	for i, c := range g.Columns {
		methods = append(methods, fmt.Sprintf("%d=%s", i+1, c))
	}
	return append(lines, strings.Split(strings.TrimSuffix(Wrap(strings.Join(methods, ", "), "", "", width), "\n"), "\n")...)
}

// Text writes the grid for people.
func (g *Grid) Text(out io.Writer, width int) error {
	_, err := io.WriteString(out, strings.Join(g.lines(width), "\n")+"\n")
	return err
}

// SVG draws the grid, readable in black and white.
func (g *Grid) SVG(out io.Writer) error {
	const wide = 80
	return drawLines(out, g.Title, g.lines(wide), wide)
}
