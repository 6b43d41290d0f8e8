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
		count = s.add("rinses", "Rinses at least", "rinses", reading.as("reading"), left.as("water left on the surface"), rinse.as("rinse"), fresh.as("rinse water pH"), limit.as("limit")).as("rinses")
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
var papers = figures.Formula{Name: "ph_papers", Title: "pH papers", Words: "2 × (area ÷ 46 m², rounded up) × (rinses + 1)", Unit: "times", Source: "ASTM D4262: at least two readings in 46 m² or part",
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
	eq := s.add("alkali", "Alkali left on the surface", "residual_alkali", s.Line("area").as("area"), left.as("paste left"), alkali.as("alkali of the paste"), demand.as("demand of the surface"))
	s.add("neutraliser", "Vinegar of 5% to neutralise", "vinegar", eq.as("alkali"), acid.as("strength"))
}

// air works out the solvent in the air of a room, and the fresh air that it takes.
func (s *Sums) air() {
	solvent, ok := s.solvent()
	wait := s.Line("wait")
	if !ok {
		return
	}
	if a, ok := s.Case.Answers["place"]; ok && len(a.Values) == 1 && a.Values[0] == "outside" {
		s.note("Outside no sum is made for the air. Keep to windward, and keep flames away.")
		return
	}
	amount, share, dries := s.pasteOfBatch(), s.need("solvent_share", figures.Share), s.need("dries_off", figures.Share)
	if amount == nil || share == nil || dries == nil || s.err != nil || amount.Result.Point == 0 {
		return
	}
	density := s.keep(&Leaf{"solvent_density", Planned, exactly("", math.Max(float64(solvent.Density), 500), "kg/m³", "").Quantity, solvent.Name + ", " + solvent.Source, nil})
	if l, ok := s.leaf("paste_density", figures.Density); ok {
		density = l
	}
	given := s.add("solvent", "Solvent given off by a batch ("+solvent.Name+")", "solvent_given_off", amount.as("paste"), density.as("density"), share.as("share of solvent"), dries.as("share that dries off"))
	time := exactly("time", 1.0/6, "h", "a rub is over in ten minutes")
	if wait != nil {
		time = wait.as("time")
	}
	rate := s.add("solvent_rate", "Solvent given off in an hour", "rate_given_off", given.as("solvent given off"), time)
	mixing := s.need("mixing", figures.Count)
	if mixing == nil {
		return
	}
	molar := exactly("molar mass", float64(solvent.MolarMass), "g/mol", solvent.Name)
	if limit := s.limit(solvent); limit != nil && solvent.MolarMass > 0 {
		mass := s.add("exposure_limit", "Exposure limit", "limit_by_mass", limit.as("limit"), molar)
		s.add("air_for_limit", "Fresh air for the exposure limit", "air_for_limit", rate.as("solvent given off"), mass.as("exposure limit"), mixing.as("mixing factor"))
	} else {
		s.note("No exposure limit was found for " + solvent.Name + ". That does not make it harmless: look in the safety sheet.")
	}
	if solvent.MolarMass > 0 {
		lel := exactly("lower explosive limit", float64(solvent.Explosive[0]), "%", solvent.Name+", "+solvent.Source)
		s.add("air_for_explosive", "Fresh air for a quarter of the explosive limit", "air_for_explosive", rate.as("solvent given off"), molar, lel, mixing.as("mixing factor"))
	}
	s.airThere(mixing)
}

// need is leaf, and nil where there is none.
func (s *Sums) need(id string, d figures.Dimension) *Leaf {
	l, _ := s.leaf(id, d)
	return l
}

// solvent is the one that was told, or the one that is planned with.
func (s *Sums) solvent() (figures.Solvent, bool) {
	name := s.word("solvent")
	if t, ok := s.Case.Given.words["solvent"]; ok && name != "" {
		name = t.word
	}
	for _, solvent := range figures.Solvents() {
		if solvent.Name == name {
			return solvent, true
		}
	}
	return figures.Solvent{}, false
}

// pasteOfBatch is the paste that lies on one batch at once.
func (s *Sums) pasteOfBatch() *Line {
	paste, passes, batches := s.Line("paste"), s.Line("passes"), s.Line("batches")
	if paste == nil || passes == nil {
		return nil
	}
	f := figures.Formula{Name: "batch_paste", Title: "Paste on a batch", Words: "paste ÷ (passes × batches)", Unit: "L", Source: "own arithmetic",
		Slots: []figures.Slot{{Name: "paste", Unit: "L", High: 1e6}, {Name: "passes", Unit: "times", High: 2000}, {Name: "batches", Unit: "times", High: 1e9}},
		Compute: func(in []float64) (float64, error) {
			return in[0] / math.Max(1, in[1]) / math.Max(1, in[2]), nil
		}}
	n := exactly("batches", 1, "times", "all at once")
	if batches != nil {
		n = batches.as("batches")
	}
	return s.addBy("batch_paste", "Paste on a batch", f, paste.as("paste"), passes.as("passes"), n)
}

// limit is the exposure limit that was told, or the strictest that was found.
func (s *Sums) limit(solvent figures.Solvent) *Leaf {
	if l, ok := s.leaf("exposure_limit", figures.VapourShare); ok {
		return l
	}
	found, ok := solvent.LowestLimit()
	if !ok {
		return nil
	}
	return s.keep(&Leaf{"exposure_limit", Planned, exactly("", float64(found.PPM), "ppm", "").Quantity, "strictest limit found, " + found.From, nil})
}

// airThere compares the air that is needed with the air that there is.
func (s *Sums) airThere(mixing *Leaf) {
	needed := s.Line("air_for_limit")
	if needed == nil {
		needed = s.Line("air_for_explosive")
	}
	room := s.need("room", figures.Volume)
	changes := s.need("air_changes", figures.Changes)
	flow := s.need("air", figures.Flow)
	var there *Line
	switch {
	case needed == nil:
		return
	case flow != nil:
		there = s.addBy("air_there", "Fresh air there is", same("air", "Fresh air there is", "m³/h", 0, 1e9), flow.as("air"))
	case room != nil && changes != nil:
		there = s.add("air_there", "Fresh air there is", "air_there", room.as("room"), changes.as("air changes"))
	default:
		s.miss("How large is the room, and how much fresh air comes in? Write room: 30 m3, and air: 200 m3/h or air_changes: 2.")
		return
	}
	s.add("air_used", "Share of the fresh air that is needed", "air_used", needed.as("fresh air needed"), there.as("fresh air there is"))
	if changes != nil {
		s.add("purge", "Airing after the work", "purge_time", changes.as("air changes"), exactly("share removed", 99, "%", "to a hundredth"), mixing.as("mixing factor"))
	}
}
