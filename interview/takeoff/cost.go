package takeoff

import (
	"fmt"
	"strings"

	"patchfirst/knowledge/figures"
)

// cost works out what is paid, as far as wage and prices are told.
func (s *Sums) cost() {
	paid := s.total("paid_hours", "Hours paid", "h", "hours", "waiting")
	wage, ok := s.leaf("wage", figures.Wage)
	if !ok {
		s.miss("What does an hour of work cost? Write wage: 28 GBP/h, in your currency.")
	} else if paid != nil {
		s.add("wages", "Wages", "wages", paid.as("hours"), wage.as("wage"))
	}
	items := []string{"wages"}
	for _, bought := range s.Bill() {
		id := bought.Material.ID + "_cost"
		s.priced(id, bought.Material, bought.Line)
		items = append(items, id)
	}
	if len(s.unpriced) > 0 {
		s.miss(fmt.Sprintf("Prices are not told, and left out of the cost, for: %s. Write prices: {%s: ...}.",
			strings.Join(s.unpriced, ", "), s.unpriced[0]))
	}
	if s.Line("wages") == nil {
		return
	}
	total := s.total("cost", "Cost", "¤", items...)
	if area := s.Line("area"); s.err == nil && total != nil && area.Result.Low > 0 {
		s.addBy("cost_m2", "Cost of a square metre", figures.Formula{Name: "cost_m2", Title: "Cost of a square metre",
			Words: "cost ÷ area", Unit: "¤/m²", Source: "own arithmetic",
			Slots: []figures.Slot{{Name: "cost", Unit: "¤", High: 1e12},
				{Name: "area", Unit: "m²", Low: 1e-6, High: 1e6}},
			Compute: func(in []float64) (float64, error) { return in[0] / in[1], nil }}, total.as("cost"), area.as("area"))
	}
}

// Bought is something to buy, hire or pay for, and how much of it.
type Bought struct {
	Material Material
	Line     *Line
}

// Bill lists what is bought, hired or paid for.
func (s *Sums) Bill() []Bought {
	var all []Bought
	add := func(material string, ids ...string) {
		m, ok := materialOf(material)
		for _, id := range ids {
			if l := s.Line(id); ok && l != nil {
				all = append(all, Bought{m, l})
				return
			}
		}
	}
	add(s.word("paste"), "paste_bought", "paste")
	add("neutraliser", "neutraliser_bought", "neutraliser")
	add("cover", "cover")
	add("sheeting", "sheeting")
	add("abrasive", "abrasives")
	add("media", "media")
	add("ph_paper", "ph_papers")
	add("bags", "bags")
	add("drums", "drums")
	add("waste", "waste_all", "waste")
	add("hire", "hire")
	add("trip", "trips")
	if s.Line("trips") != nil {
		add("dip", "area")
	}
	return all
}

// formulas of the price of a quantity, by what the price is for, with the name of the slot.
var priceFormulas = map[figures.Dimension][2]string{
	figures.PriceOfVolume: {"price_of_volume", "bought"}, figures.PriceOfArea: {"price_of_area", "bought"},
	figures.PriceOfWeight: {"price_of_weight", "weight"}, figures.PriceOfOne: {"price_of_number", "number"},
}

// priced works out what a material costs, or says that its price is missing.
func (s *Sums) priced(id string, m Material, quantity *Line) {
	price, ok := s.leaf("price of "+m.ID, m.Price)
	if !ok {
		s.unpriced = append(s.unpriced, m.ID)
		return
	}
	f := priceFormulas[m.Price]
	s.add(id, "Price of the "+m.Label, f[0], quantity.as(f[1]), price.as("price"))
}
