package show

import (
	"encoding/csv"
	"fmt"
	"io"
	"strconv"

	"patchfirst/interview/takeoff"
	"patchfirst/knowledge/figures"
)

// CSV writes what is to be bought, hired or paid for, a line each, for a supplier: the range and what to order, which is the
// likeliest quantity rounded up.
func (b *Book) CSV(out io.Writer, method string) error {
	w := csv.NewWriter(out)
	if err := w.Write([]string{"part", "method", "item", "description", "order", "unit", "containers", "least", "most",
		"price", "currency"}); err != nil {
		return err
	}
	for _, c := range b.Cases {
		s, err := b.Sums(c, method)
		if err != nil {
			return err
		}
		for _, bought := range s.Bill() {
			if err := w.Write(b.order(s, bought)); err != nil {
				return err
			}
		}
	}
	w.Flush()
	return w.Error()
}

// order is one line of the list.
func (b *Book) order(s *takeoff.Sums, bought takeoff.Bought) []string {
	q := bought.Line.Result
	if b.US {
		q = q.InUS()
	}
	unit := q.Unit.Symbol
	if unit == "times" {
		unit = "pieces"
	}
	price, currency := "", ""
	if l := s.Line(bought.Material.ID + "_cost"); l != nil {
		price, currency = strconv.FormatFloat(l.Result.Point, 'f', 2, 64), s.Case.Given.Currency
	}
	return []string{plain(s.Case.Element.Name), s.Method.ID, bought.Material.ID, bought.Material.Label,
		figures.RoundedUp(q.Point), unit, bought.Line.Note,
		figures.Rounded(q.Low), figures.RoundedUp(q.High), price, currency}
}

// plain keeps a spreadsheet from taking a name for a formula.
func plain(name string) string {
	if name != "" && (name[0] == '=' || name[0] == '+' || name[0] == '-' || name[0] == '@') {
		return "'" + name
	}
	return name
}

// SVG draws the only part: its programme, or the cost of its methods by coats.
func (b *Book) SVG(out io.Writer, drawing, method string) error {
	if len(b.Cases) != 1 {
		return fmt.Errorf("a drawing shows one part, and the job has %d: name one with --part", len(b.Cases))
	}
	text := ""
	switch drawing {
	case "days":
		s, err := b.Sums(b.Cases[0], method)
		if err != nil {
			return err
		}
		if text, err = DaysSVG(s); err != nil {
			return err
		}
	case "cost":
		c, err := b.Cases[0].Compare()
		if err != nil {
			return err
		}
		if text, err = CostSVG(c); err != nil {
			return err
		}
	default:
		return fmt.Errorf("there is no drawing %q: write days or cost", drawing)
	}
	_, err := io.WriteString(out, text)
	return err
}
