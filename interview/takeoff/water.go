package takeoff

import (
	"math"

	"patchfirst/knowledge/figures"
)

// water works out rinses, neutraliser and what runs off and must be held.
func (s *Sums) water() {
	rinse, ok := s.leaf("rinse", figures.Thinness)
	if !ok {
		return
	}
	area := s.Line("area")
	var count figures.Input
	left, ok := s.leaf("water_left", figures.Thinness)
	if ok {
		reading, _ := s.leaf("film_ph", figures.Acidity)
		fresh, _ := s.leaf("rinse_water_ph", figures.Acidity)
		limit, _ := s.leaf("ph_limit", figures.Acidity)
		if reading == nil || fresh == nil || limit == nil {
			return
		}
		count = s.add("rinses", "Rinses at least", "rinses", reading.as("reading"), left.as("water left on the surface"),
			rinse.as("rinse"), fresh.as("rinse water pH"), limit.as("limit")).as("rinses")
	} else {
		l, ok := s.leaf("rinses", figures.Count)
		if !ok {
			return
		}
		count = l.as("rinses")
	}
	s.add("rinse_water", "Rinse water", "rinse_water", area.as("area"), rinse.as("rinse"), count)
	s.neutraliser()
	s.total("runoff", "Run-off to catch and hold", "L", "rinse_water", "neutraliser")
	s.note(s.word("runoff_never"))
	if left != nil {
		s.addBy("ph_papers", "pH papers", papers, area.as("area"), s.Line("rinses").as("rinses"))
	}
}

// papers counts pH readings: two for each 46 m² or part, before the first rinse and after each.
var papers = figures.Formula{Name: "ph_papers", Title: "pH papers", Words: "2 × (area ÷ 46 m², rounded up) × (rinses + 1)",
	Unit: "times", Source: "ASTM D4262: at least two readings in 46 m² or part",
	Slots: []figures.Slot{{Name: "area", Unit: "m²", High: 100_000}, {Name: "rinses", Unit: "times", High: 100}},
	Compute: func(in []float64) (float64, error) {
		return 2 * math.Ceil(in[0]/46) * (in[1] + 1), nil
	}}

func (s *Sums) neutraliser() {
	left, ok := s.leaf("paste_left", figures.Residue)
	if !ok {
		return
	}
	if !s.acid() {
		s.note("No acid belongs on this surface. Rinse and blot until the pH is within one unit of an untouched spot.")
		return
	}
	alkali, _ := s.leaf("alkali_of_paste", figures.AlkaliContent)
	demand, _ := s.leaf("surface_demand", figures.AlkaliDemand)
	acid, _ := s.leaf("acid", figures.MolarStrength)
	if alkali == nil || demand == nil || acid == nil {
		return
	}
	eq := s.add("alkali", "Alkali left on the surface", "residual_alkali", s.Line("area").as("area"), left.as("paste left"),
		alkali.as("alkali of the paste"), demand.as("demand of the surface"))
	need := s.add("neutraliser", "Vinegar of 5% to neutralise", "vinegar", eq.as("alkali"), acid.as("strength"))
	if m, ok := materialOf("neutraliser"); ok && len(s.Case.Given.sizes[m.ID].of) > 0 {
		s.buy("neutraliser_bought", m, need)
	}
}
