package show

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"patchfirst/interview/takeoff"
	"patchfirst/rules"
)

// Compare writes the methods of every part side by side, cheapest first, and says why the fastest stripper is the cheapest
// job or not.
func (b *Book) Compare(out io.Writer) error {
	p := b.page()
	for i, c := range b.Cases {
		compared, err := c.Compare()
		if err != nil {
			return err
		}
		if i > 0 {
			p.Line("")
		}
		p.compared(compared)
	}
	p.Line("")
	p.Para("", "The advice stands before any cost: what it rules out is not in these tables, and what is cheap is no reason against it.")
	p.Para("", "%s", Estimate)
	_, err := io.WriteString(out, p.String())
	return err
}

func letter(i int) string { return string(rune('A' + i)) }

// compared writes one comparison.
func (p *page) compared(c *takeoff.Comparison) {
	p.Title("Methods side by side: "+c.Case.Element.Name, "-")
	if len(c.Rows) == 0 {
		p.Para("", "There is no method here whose sums can be done. See the advice.")
		return
	}
	for i, s := range c.Rows {
		p.Para(letter(i)+"  ", "%s (%s)", s.Method.Label, verdictWords(c, s))
	}
	p.Line("")
	p.tables(c)
	for _, text := range reasons(p, c) {
		p.Para("", "%s", text)
	}
	p.even(c)
	p.turns(c)
	if len(c.Rows) > 0 {
		p.list("What would make it better", c.Rows[0].Missing)
	}
}

func verdictWords(c *takeoff.Comparison, s *takeoff.Sums) string {
	words := map[rules.Verdict]string{rules.Favoured: "favoured", rules.Discouraged: "discouraged",
		rules.Possible: "open"}[c.Verdict(s)]
	if c.Case.Decision.First.Method == s.Method {
		words += ", first choice"
	}
	if s.Method.Keeps {
		words += "; it leaves the paint on"
	}
	return words
}

// columns of the tables: the heading, and what stands under it.
type column struct {
	head string
	cell func(p *page, s *takeoff.Sums) string
}

func figureColumn(head, id string) column {
	return column{head, func(p *page, s *takeoff.Sums) string {
		l := s.Line(id)
		if l == nil {
			return "-"
		}
		q := l.Result
		if p.us {
			q = q.InUS()
		}
		return strings.NewReplacer(" (", " (", " to ", "–").Replace(q.Range.String())
	}}
}

// tables writes the figures in tables that are narrow enough, or one below the other where the paper is narrow.
func (p *page) tables(c *takeoff.Comparison) {
	first := c.Rows[0]
	money := figureColumn("cost, "+first.Case.Given.Currency, "cost")
	water, waste := figureColumn("water, L", "runoff"), figureColumn("waste, kg", "waste")
	if p.us {
		water.head, waste.head = "water, US gal", "waste, lb"
	}
	tables := [][]column{
		{money, figureColumn("attended, h", "hours"), figureColumn("it acts, h", "lying"), figureColumn("days", "days")},
		{{"dust", func(_ *page, s *takeoff.Sums) string { return s.Method.Dust }},
			{"fume", func(_ *page, s *takeoff.Sums) string { return s.Method.Fume }}, water, waste,
			{"care", func(_ *page, s *takeoff.Sums) string { return care(s) }}},
	}
	if c.By != "cost" {
		tables[0] = tables[0][1:]
	}
	for _, columns := range tables {
		if p.Width < 64 {
			for i, s := range c.Rows {
				for _, col := range columns {
					p.Para(letter(i)+"  ", "%s: %s", col.head, col.cell(p, s))
				}
			}
			continue
		}
		w := tabwriter.NewWriter(p, 2, 1, 2, ' ', 0)
		heads := []string{""}
		for _, col := range columns {
			heads = append(heads, col.head)
		}
		fmt.Fprintln(w, strings.Join(heads, "\t"))
		for i, s := range c.Rows {
			cells := []string{letter(i)}
			for _, col := range columns {
				cells = append(cells, col.cell(p, s))
			}
			fmt.Fprintln(w, strings.Join(cells, "\t"))
		}
		w.Flush()
		p.Line("")
	}
}

// care says what the rules hold of the method on this surface, besides its verdict.
func care(s *takeoff.Sums) string {
	if s.Case.Decision.Methods[s.Method.Rank].Care {
		return "needs care"
	}
	return "none told"
}
