package takeoff

import (
	"fmt"

	"patchfirst/knowledge/figures"
)

// cost works out what is paid, as far as wage and prices are told.
func (s *Sums) cost() {
	hours := s.Line("hours")
	wage, ok := s.leaf("wage", figures.Wage)
	if !ok {
		s.miss("What does an hour of work cost? Write wage: 28 GBP/h, in your currency.")
	} else if hours != nil {
		s.add("wages", "Wages", "wages", hours.as("hours"), wage.as("wage"))
	}
	if m, ok := materialOf(s.word("paste")); ok && s.Line("paste") != nil {
		bought := s.Line("paste_bought")
		if bought == nil {
			bought = s.Line("paste")
		}
		s.priced("paste_cost", m, bought)
	}
	if s.Line("wages") != nil {
		s.total("cost", "Cost", "¤", "wages", "paste_cost")
	}
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
		s.miss(fmt.Sprintf("What does %s cost? Write prices: {%s: ...}. It is left out of the cost.", m.Label, m.ID))
		return
	}
	f := priceFormulas[m.Price]
	s.add(id, "Price of "+m.Label, f[0], quantity.as(f[1]), price.as("price"))
}
