package takeoff

import (
	"math"

	"patchfirst/knowledge/figures"
)

// air works out the solvent in the air of a room, and the fresh air that it takes.
func (s *Sums) air() {
	solvent, ok := s.solvent()
	if !ok {
		return
	}
	if a, ok := s.Case.Answers["place"]; ok && len(a.Values) == 1 && a.Values[0] == "outside" {
		s.note("Outside no sum is made for the air. Keep to windward, and keep flames away.")
		return
	}
	rate := s.rate(solvent)
	if rate == nil || s.err != nil || rate.Result.Point == 0 {
		return
	}
	mixing := s.need("mixing", figures.Count)
	if mixing == nil {
		return
	}
	molar := exactly("molar mass", float64(solvent.MolarMass), "g/mol", solvent.Name)
	if limit := s.limit(solvent); limit != nil && solvent.MolarMass > 0 {
		mass := s.add("exposure_limit", "Exposure limit", "limit_by_mass", limit.as("limit"), molar)
		s.add("air_for_limit", "Fresh air for the exposure limit", "air_for_limit", rate.as("solvent given off"),
			mass.as("exposure limit"), mixing.as("mixing factor"))
	} else {
		s.note("No exposure limit was found for " + solvent.Name + ". That does not make it harmless: look in the safety sheet.")
	}
	if solvent.MolarMass > 0 {
		lel := exactly("lower explosive limit", float64(solvent.Explosive[0]), "%", solvent.Name+", "+solvent.Source)
		s.add("air_for_explosive", "Fresh air for a quarter of the explosive limit", "air_for_explosive",
			rate.as("solvent given off"), molar, lel, mixing.as("mixing factor"))
	}
	s.airThere(mixing)
}

// rate is the solvent given off in an hour: by steady work where the stripper is brushed on and off, or by what lies and acts.
func (s *Sums) rate(solvent figures.Solvent) *Line {
	share, dries := s.need("solvent_share", figures.Share), s.need("dries_off", figures.Share)
	if share == nil || dries == nil {
		return nil
	}
	density := s.need("solvent_density", figures.Density)
	if density == nil {
		density = s.need("paste_density", figures.Density)
	}
	if density == nil {
		return nil
	}
	const title = "Solvent given off in an hour"
	if on := s.onArea(); on != nil {
		pace, ok := s.pace()
		shape := s.need("shape", figures.Count)
		if !ok || shape == nil {
			return nil
		}
		return s.add("solvent_rate", title+" ("+solvent.Name+")", "given_off_by_work", on.as("stripper on a square metre"),
			density.as("density"), share.as("share of solvent"), dries.as("share that dries off"),
			pace.as("pace"), shape.as("shape"), s.crew().as("crew"))
	}
	amount, wait := s.pasteOfBatch(), s.Line("wait")
	if amount == nil || wait == nil {
		return nil
	}
	given := s.add("solvent", "Solvent given off by a batch ("+solvent.Name+")", "solvent_given_off", amount.as("paste"),
		density.as("density"), share.as("share of solvent"), dries.as("share that dries off"))
	return s.add("solvent_rate", title, "rate_given_off", given.as("solvent given off"), wait.as("time"))
}

// onArea is what lies on a square metre of a stripper that is brushed on and off; nil for one that lies and acts.
func (s *Sums) onArea() *Leaf {
	planned := s.need("on_area", figures.Thinness)
	if c := s.candidate(); planned != nil && c != nil && c.Dwell.Thickness > 0 {
		return s.keep(&Leaf{"on_area of patches", Shown, exactly("", c.Dwell.Thickness, "L/m²", "").Quantity, shownFrom,
			nil})
	}
	return planned
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
	f := figures.Formula{Name: "batch_paste", Title: "Paste on a batch", Words: "paste ÷ (passes × batches)", Unit: "L",
		Source: "own arithmetic",
		Slots: []figures.Slot{{Name: "paste", Unit: "L", High: 1e6}, {Name: "passes", Unit: "times", High: 2000},
			{Name: "batches", Unit: "times", High: 1e9}},
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
	return s.keep(&Leaf{"exposure_limit", Planned, exactly("", float64(found.PPM), "ppm", "").Quantity,
		"strictest limit found, " + found.From, nil})
}

// airThere compares the air that is needed with the air that there is.
func (s *Sums) airThere(mixing *Leaf) {
	needed := s.Line("air_for_limit")
	if l := s.Line("air_for_explosive"); needed == nil || l != nil && l.Result.Point > needed.Result.Point {
		needed = l
	}
	if needed == nil {
		return
	}
	there := s.airFlow()
	if there == nil {
		s.miss("How large is the room, and how much fresh air comes in? Write room: 30 m3, and air: 200 m3/h or air_changes: 2.")
		return
	}
	s.add("air_used", "Share of the fresh air that is needed", "air_used", needed.as("fresh air needed"),
		there.as("fresh air there is"))
	if changes := s.need("air_changes", figures.Changes); changes != nil {
		s.add("purge", "Airing after the work", "purge_time", changes.as("air changes"),
			exactly("share removed", 99, "%", "to a hundredth"), mixing.as("mixing factor"))
	}
}

// airFlow is the fresh air that there is: as told or answered, or by the room and its air changes; nil if neither is known.
func (s *Sums) airFlow() *Line {
	flow := s.need("air", figures.Flow)
	if answered, ok := s.Case.Answers["fresh_air"]; ok && flow == nil {
		m3, _ := figures.FindUnit("m³/h")
		flow = s.keep(&Leaf{"air", Answered, figures.Quantity{Range: figures.Between(answered.Lo, answered.Hi), Unit: m3},
			"the answer to the fresh air in an hour", nil})
	}
	if flow != nil {
		return s.addBy("air_there", "Fresh air there is", same("air", "Fresh air there is", "m³/h", 0, 1e9), flow.as("air"))
	}
	room, changes := s.need("room", figures.Volume), s.need("air_changes", figures.Changes)
	if room == nil || changes == nil {
		return nil
	}
	return s.add("air_there", "Fresh air there is", "air_there", room.as("room"), changes.as("air changes"))
}
