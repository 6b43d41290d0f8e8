package takeoff

import "patchfirst/knowledge/figures"

// Material is something that is bought, paid for or hired.
type Material struct {
	ID, Label string
	Price     figures.Dimension // what its price is for
}

// materials are all that a price can be told for.
var materials = []Material{
	{"solvent_paste", "slow solvent paste", figures.PriceOfVolume},
	{"solvent_gel", "solvent gel", figures.PriceOfVolume},
	{"alkaline_paste", "alkaline paste", figures.PriceOfVolume},
	{"alkaline_gel", "alkaline gel", figures.PriceOfVolume},
	{"poultice", "poultice", figures.PriceOfVolume},
	{"spirit", "spirit", figures.PriceOfVolume},
	{"neutraliser", "neutraliser", figures.PriceOfVolume},
	{"cover", "cover sheet", figures.PriceOfArea},
	{"sheeting", "floor sheeting", figures.PriceOfArea},
	{"abrasive", "abrasive sheets or discs", figures.PriceOfOne},
	{"media", "blasting media", figures.PriceOfWeight},
	{"ph_paper", "pH papers", figures.PriceOfOne},
	{"bags", "waste bags", figures.PriceOfOne},
	{"drums", "waste drums", figures.PriceOfOne},
	{"waste", "disposal of waste", figures.PriceOfWeight},
	{"hire", "hire for a day", figures.PriceOfOne},
	{"trip", "transport, one trip", figures.PriceOfOne},
	{"dip", "dipping", figures.PriceOfArea},
}

func materialOf(id string) (Material, bool) {
	for _, m := range materials {
		if m.ID == id {
			return m, true
		}
	}
	return Material{}, false
}

func materialNames() []string {
	names := make([]string, len(materials))
	for i, m := range materials {
		names[i] = m.ID
	}
	return names
}

// materials works out what some methods need beside paste.
func (s *Sums) materials() {
	area, passes := s.Line("area"), s.Line("passes")
	if passes == nil {
		return
	}
	if media := s.need("media", figures.Residue); media != nil {
		s.add("media", "Blasting media", "weight_by_area", area.as("area"), passes.as("passes"),
			media.as("weight on an area"))
	}
	if sheets := s.need("abrasives", figures.PerArea); sheets != nil {
		s.add("abrasives", "Abrasive sheets or discs", "number_by_area", area.as("area"), passes.as("passes"),
			sheets.as("number on an area"))
	}
	if spirit := s.need("spirit_use", figures.Thinness); spirit != nil {
		need := s.add("paste", "Spirit", "rinse_water", area.as("area"), spirit.as("rinse"), passes.as("rinses"))
		if m, ok := materialOf("spirit"); ok {
			s.buy("paste_bought", m, need)
		}
	}
	if trips := s.need("trips", figures.Count); trips != nil {
		s.addBy("trips", "Trips", figures.Sum("trips", "Trips", "times", "trips"), trips.as("trips"))
	}
	if s.word("hired") == "yes" && s.Line("strip") != nil {
		s.add("hire", "Days of hire", "hired_days", s.Line("strip").as("hours"), s.crew().as("crew"),
			s.day().as("working day"))
	}
}
