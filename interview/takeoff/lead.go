package takeoff

import (
	"patchfirst/knowledge/figures"
)

// lead estimates the lead on the part, where there may be any.
func (s *Sums) lead() {
	if !s.mayReach("lead") || s.Method.Keeps {
		return
	}
	area, film := s.Line("area"), s.Line("film")
	density, share := s.need("paint_density", figures.Density), s.need("lead_share", figures.Share)
	if loading := s.need("lead", figures.LeadLoading); loading != nil {
		s.add("lead", "Lead on the part", "lead_on", loading.as("lead on the surface"), area.as("area"))
	} else if film != nil && density != nil && share != nil {
		loading := s.add("lead_loading", "Lead on the surface", "lead_loading", film.as("thickness"), density.as("density"),
			share.as("share of lead"))
		s.add("lead", "Lead on the part", "lead_on", loading.as("lead on the surface"), area.as("area"))
		s.miss("What did a reading of lead give? Write lead: 2.5 mg/cm2, or lead_share: 4% from a laboratory.")
	}
	if s.Line("lead") != nil {
		s.note("The lead is an estimate. Only a laboratory settles it.")
	}
}

// mayReach tells whether a finding may be above its mildest level.
func (s *Sums) mayReach(finding string) bool {
	for _, l := range s.Case.Decision.Findings {
		if l.Finding.ID == finding {
			return l.Max > 0
		}
	}
	return false
}

// waste works out what is left over and must go away in order.
func (s *Sums) waste() {
	if s.Method.Keeps {
		return
	}
	if s.Line("trips") != nil {
		s.note("Old paint, bath and rinse stay in the workshop. Ask where they go: the owner of a waste answers for it.")
		return
	}
	area, film, density := s.Line("area"), s.Line("film"), s.need("paint_density", figures.Density)
	if film == nil || density == nil || s.err != nil {
		return
	}
	s.add("old_paint", "Old paint", "paint_mass", area.as("area"), film.as("thickness"), density.as("density"))
	s.sheets()
	paste := s.pasteWeight()
	dries := s.need("dries_off", figures.Share)
	off := exactly("share that dries off", 0, "%", "nothing dries off")
	if dries != nil {
		off = dries.as("share that dries off")
	}
	s.add("waste", "Waste without the run-off", "waste_mass", paste, off, s.Line("old_paint").as("paint"),
		exactly("water caught", 0, "kg", "held apart, see run-off"), s.Line("sheet_weight").or("sheets", "kg", "none"))
	if s.Line("media") != nil {
		s.total("waste_all", "Waste with the media", "kg", "waste", "media")
	}
	waste := s.Line("waste_all")
	if waste == nil {
		waste = s.Line("waste")
	}
	if bulk := s.need("bulk", figures.Density); bulk != nil {
		s.add("waste_volume", "Room for the waste", "waste_volume", waste.as("waste"), bulk.as("bulk density"))
	}
	if bag := s.need("bag", figures.Weight); bag != nil {
		s.add("bags", "Waste bags", "held_weight", waste.as("weight"), bag.as("one holds"))
	}
	if runoff, drum, filled := s.Line("runoff"), s.need("drum", figures.Volume), s.need("drum_filled",
		figures.Share); runoff != nil && drum != nil && filled != nil {
		s.add("drums", "Drums for the run-off", "held_volume", runoff.as("volume"), drum.as("one holds"),
			filled.as("share filled"))
	}
	s.leadInWaste(waste)
	for _, flag := range []string{"corrosive", "flammable"} {
		s.noteOf(flag)
	}
	s.noteOf("waste_list")
	s.note("The waste authority decides what the waste is and who takes it. These are estimates to ask it with.")
}

func (s *Sums) leadInWaste(waste *Line) {
	lead := s.Line("lead")
	if lead == nil || s.err != nil || waste.Result.Low <= 0 {
		return
	}
	in := s.add("lead_in_waste", "Lead in the waste", "lead_in_waste", lead.as("lead"), waste.as("waste"))
	s.add("leach", "Most that the leaching test can find", "leach_at_most", in.as("lead in the debris"))
	if screened, err := figures.TwentyTimes(figures.MilligramPerKg(in.Result.High)); err == nil {
		s.note("By the twenty-times rule dry waste of this lead " + screened.String() + ".")
	}
	s.noteOf("toxic")
}

// noteOf notes a text of the base, if there is one for this case.
func (s *Sums) noteOf(id string) {
	if text := s.word(id); text != "" {
		s.note(text)
	}
}

// sheets works out floor sheeting, and what all sheets weigh.
func (s *Sums) sheets() {
	once := exactly("passes", 1, "times", "it lies through all passes")
	if more := s.need("sheeting_more", figures.Share); more != nil {
		s.add("sheeting", "Floor sheeting", "cover_by_area", s.Line("area").as("area"), once, more.as("laps"))
	}
	weight := s.need("sheet_weight", figures.Residue)
	all := s.total("sheets", "All sheets", "m²", "cover", "sheeting")
	if weight == nil || all == nil {
		return
	}
	s.add("sheet_weight", "Weight of the sheets", "weight_by_area", all.as("area"), once, weight.as("weight on an area"))
}

func (s *Sums) pasteWeight() figures.Input {
	paste, density := s.Line("paste"), s.need("paste_density", figures.Density)
	if paste == nil || density == nil {
		return exactly("paste", 0, "kg", "no paste")
	}
	return s.add("paste_weight", "Weight of the paste", "liquid_weight", paste.as("volume"),
		density.as("density")).as("paste")
}
