package show

import (
	"fmt"
	"io"
	"math"
	"strings"
	"text/tabwriter"

	"patchfirst/interview/paper"
	"patchfirst/interview/takeoff"
	"patchfirst/knowledge/figures"
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
	words := map[rules.Verdict]string{rules.Favoured: "favoured", rules.Discouraged: "discouraged", rules.Possible: "open"}[c.Verdict(s)]
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
		{{"dust", func(_ *page, s *takeoff.Sums) string { return s.Method.Dust }}, {"fume", func(_ *page, s *takeoff.Sums) string { return s.Method.Fume }}, water, waste,
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

// reasons says in words why the fastest stripper is the cheapest job or not.
func reasons(p *page, c *takeoff.Comparison) []string {
	cheapest, fast := c.Cheapest(), c.Fastest
	if cheapest == nil {
		return nil
	}
	short := func(s *takeoff.Sums, id string) string {
		if l := s.Line(id); l != nil {
			return p.exact(s, l.Result.Point, l.Result.Unit)
		}
		return "none"
	}
	texts := []string{fmt.Sprintf("Of what takes the paint off, %s comes cheapest here, at %s.", cheapest.Method.Label, p.quantity(cheapest, cheapest.Line(c.By).Result))}
	if len(c.Rows) > 1 && overlaps(c, cheapest) {
		texts = append(texts, "Its range overlaps with that of others. A timed patch of each tells more than the order here.")
	}
	if fast == nil {
		return append(texts, "No two pastes are open here, so there is no quick stripper to weigh against a slow one.")
	}
	texts = append(texts, fmt.Sprintf("The fastest stripper is %s: it acts %s in each pass.", fast.Method.Label, short(fast, "wait")))
	if fast == cheapest {
		return append(texts, fmt.Sprintf("Here it is the cheapest job as well: %s take it only %s.", coatsOf(fast), passes(fast)))
	}
	texts = append(texts, fmt.Sprintf("It is not the cheapest job. %s take it %s, and each is put on, scraped off and cleaned up.", coatsOf(fast), passes(fast)))
	if slow := c.Slow(); slow != nil {
		texts = append(texts, fmt.Sprintf("Beside it %s takes %s. It acts for %s, which nobody attends to, so the time is free for other work.", slow.Method.Label, passes(slow), short(slow, "lying")))
		texts = append(texts, fmt.Sprintf("In attended hours that is %s against %s, and in paste %s against %s.", short(fast, "hours"), short(slow, "hours"), short(fast, "paste"), short(slow, "paste")))
	}
	texts = append(texts, fmt.Sprintf("So the fastest comes to %s.", p.quantity(fast, fast.Line(c.By).Result)))
	if d := c.Draws; d.Number > 0 {
		texts = append(texts, fmt.Sprintf("With all inputs drawn from their ranges the cheapest stays below the fastest in %d of %d draws (seed %d).", d.Cheaper, d.Number, d.Seed))
	}
	return texts
}

// overlaps tells whether some other method may be cheaper than the cheapest.
func overlaps(c *takeoff.Comparison, cheapest *takeoff.Sums) bool {
	for _, s := range c.Rows {
		if s != cheapest && !s.Method.Keeps && s.Line(c.By).Result.Low < cheapest.Line(c.By).Result.High {
			return true
		}
	}
	return false
}

func coatsOf(s *takeoff.Sums) string {
	for _, l := range s.Leaves {
		if l.ID == "coats" {
			return paper.Capital(numbered(l.Point, "coat"))
		}
	}
	return "The coats"
}

func passes(s *takeoff.Sums) string {
	l := s.Line("passes")
	words := numbered(l.Result.Point, "pass")
	if l.Result.Known() {
		return words
	}
	return fmt.Sprintf("%s (%s to %s)", words, figures.Rounded(l.Result.Low), figures.Rounded(l.Result.High))
}

func numbered(v float64, what string) string {
	if v == 1 {
		return "one " + what
	}
	if what == "pass" {
		what += "e"
	}
	return fmt.Sprintf("%s %ss", figures.Rounded(v), what)
}

// turns says where the ranking turns over.
func (p *page) turns(c *takeoff.Comparison) {
	p.section("Where the ranking turns over")
	for _, t := range c.Turns {
		unit, _ := figures.FindUnit(t.Unit)
		at := func(v float64) string { return p.exact(c.Rows[0], v, unit) }
		if len(t.Spans) == 1 {
			p.Para("  - ", "%s: %s is cheapest throughout, from %s to %s.", inputWords[t.Input], t.Spans[0].Method.Label, at(t.Spans[0].From), at(t.Spans[0].To))
			continue
		}
		var parts []string
		for i, s := range t.Spans {
			switch {
			case s.From == s.To:
				parts = append(parts, fmt.Sprintf("at %s %s", at(s.To), s.Method.Label))
			case i == 0:
				parts = append(parts, fmt.Sprintf("up to %s %s is cheapest", at(s.To), s.Method.Label))
			case i == len(t.Spans)-1:
				parts = append(parts, fmt.Sprintf("from %s on %s", at(s.From), s.Method.Label))
			default:
				parts = append(parts, fmt.Sprintf("from %s to %s %s", at(s.From), at(s.To), s.Method.Label))
			}
		}
		p.Para("  - ", "%s: %s.", inputWords[t.Input], strings.Join(parts, "; "))
	}
}

// even says where the fastest stripper and a slow one cost the same.
func (p *page) even(c *takeoff.Comparison) {
	if len(c.Even) == 0 {
		return
	}
	p.section("Where the fastest and the slow one break even")
	for _, e := range c.Even {
		unit, _ := figures.FindUnit(e.Unit)
		at := func(v float64) string { return p.exact(c.Rows[0], v, unit) }
		other := map[*rules.Method]*rules.Method{e.A: e.B, e.B: e.A}
		if len(e.At) == 0 {
			p.Para("  - ", "%s: %s is cheaper than %s throughout.", inputWords[e.Input], e.Below.Label, other[e.Below].Label)
			continue
		}
		parts := []string{fmt.Sprintf("below %s %s is cheaper", at(e.At[0]), e.Below.Label)}
		now := e.Below
		for _, v := range e.At {
			now = other[now]
			parts = append(parts, fmt.Sprintf("from %s on %s", at(v), now.Label))
		}
		p.Para("  - ", "%s: %s.", inputWords[e.Input], strings.Join(parts, "; "))
	}
}

var inputWords = map[string]string{"coats": "By the number of coats", "area": "By the area", "wage": "By the wage"}

// dashes tell curves apart without colour.
var dashes = []string{"", "8 4", "2 3", "10 3 2 3", "4 4", "14 4"}

// CostSVG draws the cost of the methods of a part by the number of coats.
func CostSVG(c *takeoff.Comparison) (string, error) {
	if len(c.Curves) == 0 {
		return "", fmt.Errorf("there are no methods of %s to draw", c.Case.Element.Name)
	}
	const width, height, left, right, top, bottom = 1040., 560., 80., 430., 60., 60.
	most := 0.
	for _, curve := range c.Curves {
		for _, v := range curve.Cost {
			if !math.IsNaN(v) {
				most = math.Max(most, v)
			}
		}
	}
	step := niceStep(most / 6)
	most = math.Ceil(most/step) * step
	coats := c.Curves[0].Coats
	x := func(v float64) float64 {
		return left + (v-coats[0])/(coats[len(coats)-1]-coats[0])*(width-left-right)
	}
	y := func(v float64) float64 { return height - bottom - v/most*(height-top-bottom) }
	what := "Cost, " + c.Case.Given.Currency
	if c.By != "cost" {
		what = "Hours paid"
	}
	d := &paper.Drawing{Scale: 1}
	title := fmt.Sprintf("%s by coats: %s", what, c.Case.Element.Name)
	d.Begin(width, height, title, curveWords(c, what))
	d.Add(`<rect width="%g" height="%g" fill="#fff"/>`, width, height)
	d.Text(10, 24, 16, "start", title)
	d.Add(`<path d="M%g %gV%gH%g" fill="none" stroke="#000" stroke-width="1.5"/>`, left, top, height-bottom, width-right)
	for v := 0.; v <= most+step/2; v += step {
		d.Add(`<path d="M%g %.1fh-5" stroke="#000" stroke-width="1"/>`, left, y(v))
		d.Text(left-8, y(v)+4, 12, "end", figures.Rounded(v))
	}
	for _, v := range coats {
		d.Text(x(v), height-bottom+18, 12, "middle", fmt.Sprint(v))
	}
	d.Text((left+width-right)/2, height-bottom+42, 13, "middle", "number of coats; every other input at its likeliest")
	for i, curve := range c.Curves {
		var points []string
		for k, v := range curve.Cost {
			if !math.IsNaN(v) {
				points = append(points, fmt.Sprintf("%.1f,%.1f", x(curve.Coats[k]), y(v)))
			}
		}
		wide := 1.5
		if i >= len(dashes) {
			wide = 3
		}
		d.Add(`<polyline points="%s" fill="none" stroke="#000" stroke-width="%g" stroke-dasharray="%s"/>`, strings.Join(points, " "), wide, dashes[i%len(dashes)])
		at := top + 22*float64(i)
		d.Add(`<path d="M%g %gh40" stroke="#000" stroke-width="%g" stroke-dasharray="%s"/>`, width-right+15, at, wide, dashes[i%len(dashes)])
		d.Text(width-right+62, at+4, 12, "start", letter(i)+" "+curve.Method.Label)
	}
	if l := leafOf(c.Rows[0], "coats"); l != nil && l.Known() && l.Point >= coats[0] && l.Point <= coats[len(coats)-1] {
		d.Add(`<path d="M%.1f %gV%g" stroke="#000" stroke-width="0.7" stroke-dasharray="1 4"/>`, x(l.Point), top, height-bottom)
		d.Text(x(l.Point), top-6, 12, "middle", "this part")
	}
	d.Add("</svg>")
	return d.String(), nil
}

func leafOf(s *takeoff.Sums, id string) *takeoff.Leaf {
	for _, l := range s.Leaves {
		if l.ID == id {
			return l
		}
	}
	return nil
}

// curveWords says in words what the curves show: each at its first and its last.
func curveWords(c *takeoff.Comparison, what string) string {
	var parts []string
	for i, curve := range c.Curves {
		last := len(curve.Cost) - 1
		parts = append(parts, fmt.Sprintf("%s, %s: from %s at %g coats to %s at %g.", letter(i), curve.Method.Label, figures.Rounded(curve.Cost[0]), curve.Coats[0], figures.Rounded(curve.Cost[last]), curve.Coats[last]))
	}
	return what + ". " + strings.Join(parts, " ")
}

// niceStep rounds a step of an axis up to 1, 2 or 5 times a power of ten.
func niceStep(v float64) float64 {
	if v <= 0 {
		return 1
	}
	power := math.Pow(10, math.Floor(math.Log10(v)))
	for _, k := range []float64{1, 2, 5, 10} {
		if v <= k*power {
			return k * power
		}
	}
	return 10 * power
}
