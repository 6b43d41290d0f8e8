package takeoff

import (
	"fmt"
	"strings"

	"patchfirst/interview/patches"
	"patchfirst/knowledge/figures"
	"patchfirst/rules"
)

// paste works out the passes and the paste.
func (s *Sums) paste() {
	coats := s.coats()
	if n := s.passesShown(); n > 0 {
		l := s.keep(&Leaf{"passes of patches", Shown, exactly("", float64(n), "times", "").Quantity, shownFrom, nil})
		s.addBy("passes", "Passes", same("passes", "Passes", "times", 0, 2000), l.as("passes"))
	} else if each, ok := s.leaf("coats_a_pass", figures.Count); ok {
		s.add("passes", "Passes", "passes", coats.as("coats"), each.as("coats a pass"))
	}
	m, ok := materialOf(s.word("paste"))
	thickness, ok2 := s.thickness()
	passes := s.Line("passes")
	if !ok || !ok2 || passes == nil {
		return
	}
	waste, ok := s.leaf("waste", figures.Share)
	if !ok {
		return
	}
	need := s.add("paste", "Paste", "paste_volume", s.Line("area").as("area"), thickness.as("wet thickness"),
		passes.as("applications"), waste.as("waste"))
	s.buy("paste_bought", m, need)
	s.cover(passes)
}

// cover works out the sheet over the paste: strips from a roll over a face whose sizes are told, or else by the area.
func (s *Sums) cover(passes *Line) {
	laps, ok := s.leaf("laps", figures.Share)
	if !ok {
		return
	}
	given := s.Case.Given.values
	width, height := given["width"], given["height"]
	roll, lap, edge := s.need("roll", figures.Length), s.need("lap", figures.Length), s.need("edge", figures.Length)
	if width.node == nil || height.node == nil || s.Line("face") == nil || roll == nil || lap == nil || edge == nil {
		s.add("cover", "Cover sheet", "cover_by_area", s.Line("area").as("area"), passes.as("passes"), laps.as("laps"))
		return
	}
	w, h, sides := s.need("width", figures.Length), s.need("height", figures.Length), s.need("sides", figures.Count)
	face := s.add("cover_face", "Cover sheet of one face", "cover_area", w.as("width"), h.as("height"), roll.as("roll"),
		lap.as("lap"), edge.as("edge"))
	n := exactly("sides", 1, "times", "one side")
	if sides != nil {
		n = sides.as("sides")
	}
	s.add("cover", "Cover sheet", "covers", face.as("sheets of one face"), passes.as("passes"), n)
}

// buy rounds a volume up to whole containers, where their sizes are told.
func (s *Sums) buy(id string, m Material, need *Line) {
	sizes := s.Case.Given.sizes[m.ID]
	if len(sizes.of) == 0 || s.err != nil {
		s.miss(fmt.Sprintf("In what sizes does %s come? Write containers: {%s: [1 L, 5 L]}.", m.Label, m.ID))
		return
	}
	f, err := figures.Bought(sizes.unit, sizes.of...)
	if err != nil {
		s.fail(err)
		return
	}
	l := s.addBy(id, "To buy: "+m.Label, f, need.as("need"))
	if !s.fixed && s.err == nil {
		l.Note = sizes.words(need.Result)
	}
}

// words says how many containers of each size hold a volume.
func (z sizes) words(need figures.Quantity) string {
	in, _ := need.In(z.unit)
	all := make([]figures.Litre, len(z.of))
	for i, size := range z.of {
		all[i] = figures.Litre(size)
	}
	tins, err := figures.Containers(figures.Litre(in.Point), all...)
	if err != nil {
		return ""
	}
	words := make([]string, len(tins))
	for i, t := range tins {
		words[i] = strings.Replace(t.String(), " L", " "+z.unit.Symbol, 1)
	}
	return strings.Join(words, " and ")
}

// candidate is what the patches of the method showed, or nil.
func (s *Sums) candidate() *patches.Candidate {
	if s.Case.Reading == nil {
		return nil
	}
	for _, c := range s.Case.Reading.Candidates {
		if c.Method == s.Method && c.State == patches.Proven && c.Dwell != nil {
			return c
		}
	}
	return nil
}

// passesShown is how many applications the patches of the method took until they were clean; 0 if that was not counted.
func (s *Sums) passesShown() (most int) {
	c := s.candidate()
	if c == nil {
		return 0
	}
	for _, t := range c.Tests {
		for _, l := range t.Looks {
			if l.Clean() {
				most = max(most, l.Passes)
			}
		}
	}
	return most
}

// plan is the planning range of test patches for the method, with the coats as they stand.
func (s *Sums) plan() (patches.Range, bool) {
	coats := s.coats()
	answers := s.Case.Answers.With("layers", rules.Answer{Lo: coats.Low, Hi: coats.High})
	return s.Case.Plans.Range(s.Method.ID, answers, s.Case.Decision)
}

const shownFrom = "shown by proven test patches"

// thickness is that of the wet paste: of a proven patch, or planned.
func (s *Sums) thickness() (*Leaf, bool) {
	mm, _ := figures.FindUnit("mm")
	if c := s.candidate(); c != nil && c.Dwell.Thickness > 0 {
		return s.keep(&Leaf{"thickness", Shown, figures.Quantity{Range: figures.Exactly(c.Dwell.Thickness), Unit: mm},
			shownFrom, nil}), true
	}
	if p, ok := s.plan(); ok && p.Thick > 0 {
		return s.keep(&Leaf{"thickness", Planned, figures.Quantity{Range: figures.Between(p.Thin, p.Thick), Unit: mm},
			"planning range, " + s.Case.sources(p.SourceNames), p.SourceNames}), true
	}
	return nil, false
}
