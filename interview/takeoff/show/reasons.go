package show

import (
	"fmt"
	"strings"

	"patchfirst/interview/paper"
	"patchfirst/interview/takeoff"
	"patchfirst/knowledge/figures"
	"patchfirst/rules"
)

// reasons says in words why the fastest stripper is the cheapest job or not.
func reasons(p *page, c *takeoff.Comparison) []string {
	cheapest, fast := c.Cheapest(), c.Fastest
	var unsure []string
	if len(c.Unsure) > 0 {
		var labels []string
		for _, s := range c.Unsure {
			labels = append(labels, s.Method.Label)
		}
		unsure = []string{fmt.Sprintf("Whether these take the paint at all hangs on what is not told, so they are not weighed here: %s.", strings.Join(labels, "; "))}
	}
	if cheapest == nil {
		return unsure
	}
	short := func(s *takeoff.Sums, id string) string {
		if l := s.Line(id); l != nil {
			return p.exact(s, l.Result.Point, l.Result.Unit)
		}
		return "none"
	}
	comes := "comes cheapest here"
	if c.By != "cost" {
		comes = "takes the fewest paid hours here, since no wage is told"
	}
	texts := append(unsure, fmt.Sprintf("Of what takes the paint off, %s %s, at %s.", cheapest.Method.Label, comes,
		p.quantity(cheapest, cheapest.Line(c.By).Result)))
	if len(c.Rows) > 1 && overlaps(c, cheapest) {
		texts = append(texts, "Its range overlaps with that of others. A timed patch of each tells more than the order here.")
	}
	if fast == nil {
		return append(texts, "No two pastes are open here, so there is no quick stripper to weigh against a slow one.")
	}
	texts = append(texts, fmt.Sprintf("The fastest stripper is %s: it acts %s in each pass.", fast.Method.Label,
		short(fast, "wait")))
	if fast == cheapest {
		return append(texts, fmt.Sprintf("Here it is the cheapest job as well: %s take it only %s.", coatsOf(fast),
			passes(fast)))
	}
	texts = append(texts, fmt.Sprintf("It is not the cheapest job. %s take it %s, and each is put on, scraped off and cleaned up.", coatsOf(fast), passes(fast)))
	if slow := c.Slow(); slow != nil {
		texts = append(texts, fmt.Sprintf("Beside it %s takes %s. It acts for %s, "+
			"which nobody attends to, so the time is free for other work.", slow.Method.Label, passes(slow), short(slow, "lying")))
		texts = append(texts, fmt.Sprintf("In attended hours that is %s against %s, and in paste %s against %s.",
			short(fast, "hours"), short(slow, "hours"), short(fast, "paste"), short(slow, "paste")))
	}
	texts = append(texts, fmt.Sprintf("So the fastest comes to %s.", p.quantity(fast, fast.Line(c.By).Result)))
	if d := c.Draws; d.Number > 0 {
		texts = append(texts, fmt.Sprintf("With all inputs drawn from their ranges "+
			"the cheapest stays below the fastest in %d of %d draws (seed %d).", d.Cheaper, d.Number, d.Seed))
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
	if len(c.Turns) == 0 {
		return
	}
	p.section("Where the ranking turns over")
	for _, t := range c.Turns {
		unit, _ := figures.FindUnit(t.Unit)
		at := func(v float64) string { return p.exact(c.Rows[0], v, unit) }
		if len(t.Spans) == 1 {
			p.Para("  - ", "%s: %s is cheapest throughout, from %s to %s.", inputWords[t.Input], t.Spans[0].Method.Label,
				at(t.Spans[0].From), at(t.Spans[0].To))
			continue
		}
		var parts []string
		for i, s := range t.Spans {
			switch {
			case i > 0 && i < len(t.Spans)-1 && s.From == s.To:
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
			p.Para("  - ", "%s: %s is cheaper than %s throughout.", inputWords[e.Input], e.Below.Label,
				other[e.Below].Label)
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
