package takeoff

import (
	"fmt"
	"strings"

	"patchfirst/knowledge/figures"
)

// size works out the painted area and the thickness of the paint.
func (s *Sums) size() {
	s.area()
	coats := s.coats()
	film, ok := s.leaf("film", figures.Length)
	if ok {
		s.addBy("film", "Thickness of the paint", same("film", "Thickness of the paint", "µm", 0, 20_000),
			film.as("gauge reading"))
		return
	}
	if each, ok := s.leaf("film_of_coat", figures.Length); ok {
		s.add("film", "Thickness of the paint", "film_thickness", coats.as("coats"), each.as("film of one coat"))
	}
}

// same is a formula for a figure that was measured as it is.
func same(name, title, unit string, low, high float64) figures.Formula {
	return figures.Formula{Name: name, Title: title, Words: "as measured",
		Slots: []figures.Slot{{Name: measuredSlots[name], Unit: unit, Low: low, High: high}}, Unit: unit,
		Source: "measurement", Compute: func(in []float64) (float64, error) { return in[0], nil }}
}

var measuredSlots = map[string]string{"film": "gauge reading", "area": "area", "air": "air", "passes": "passes"}

// coats are the coats that were counted.
func (s *Sums) coats() *Leaf {
	times, _ := figures.FindUnit("times")
	if a, ok := s.Case.Answers["layers"]; ok {
		return s.keep(&Leaf{"coats", Answered, figures.Quantity{Range: figures.Between(a.Lo, a.Hi), Unit: times},
			"the answer to the number of coats", nil})
	}
	s.miss("How many coats are there? Count the rings in a crater, and write layers: 9.")
	if l, ok := s.leaf("coats", figures.Count); ok {
		return l
	}
	return s.keep(&Leaf{"coats", Planned, figures.Quantity{Range: figures.Exactly(1), Unit: times}, "nothing told", nil})
}

// area works out the painted area: as told, or from the sizes by a published factor, or as answered. Where nothing is told
// the sums are for a square metre.
func (s *Sums) area() {
	given := s.Case.Given.values
	_, whole := given["area"]
	_, wide := given["width"]
	_, high := given["height"]
	_, long := given["length"]
	_, girth := given["girth"]
	answered, ok := s.Case.Answers["area"]
	pin, pinned := s.pins["area"]
	switch {
	case pinned:
		s.addBy("area", "Painted area", same("area", "Painted area", "m²", 0, 100_000), exactly("area", pin, "m²", "as if"))
	case whole:
		l, _ := s.leaf("area", figures.Area)
		s.addBy("area", "Painted area", same("area", "Painted area", "m²", 0, 100_000), l.as("area"))
	case wide && high:
		w, _ := s.leaf("width", figures.Length)
		h, _ := s.leaf("height", figures.Length)
		s.byFactor(s.lessOpenings(s.add("face", "Face", "rectangle", w.as("length"), h.as("height"))))
	case long && girth:
		l, _ := s.leaf("length", figures.Length)
		g, _ := s.leaf("girth", figures.Length)
		s.add("area", "Painted area", "girth_area", l.as("length"), g.as("girth"))
	case ok:
		m2, _ := figures.FindUnit("m²")
		l := s.keep(&Leaf{"area", Answered, figures.Quantity{Range: figures.Between(answered.Lo, answered.Hi), Unit: m2},
			"the answer to the painted area", nil})
		s.addBy("area", "Painted area", same("area", "Painted area", "m²", 0, 100_000), l.as("area"))
	default:
		s.miss("How large is it? Write width: and height:, or length: and girth:, or area: under takeoff: of the part.")
		s.note("The size is not told. All sums are for one square metre.")
		s.addBy("area", "Painted area", same("area", "Painted area", "m²", 0, 100_000),
			exactly("area", 1, "m²", "not told"))
	}
}

func (s *Sums) lessOpenings(face *Line) *Line {
	openings := s.Case.Given.Openings
	if len(openings) == 0 {
		return face
	}
	f := figures.Formula{Name: "less_openings", Title: "Face less openings", Words: "face − openings of 0.5 m² and more",
		Unit: "m²", Source: "IS 1200-15 (reported)",
		Slots: []figures.Slot{{Name: "face", Unit: "m²", High: 100_000}}}
	inputs := []figures.Input{face.as("face")}
	for i, o := range openings {
		name := fmt.Sprintf("opening %d", i+1)
		f.Slots = append(f.Slots, figures.Slot{Name: name, Unit: "m²", High: 100_000, Known: true})
		inputs = append(inputs, figures.Input{Name: name, Quantity: o.Quantity,
			From: fmt.Sprintf("told in line %d of the job", o.node.Line)})
	}
	f.Compute = func(in []float64) (float64, error) {
		var holes []figures.SquareMetre
		for _, v := range in[1:] {
			holes = append(holes, figures.SquareMetre(v))
		}
		left, err := figures.LessOpenings(figures.SquareMetre(in[0]), holes...)
		return float64(left), err
	}
	return s.addBy("less_openings", "Face less openings", f, inputs...)
}

// byFactor makes a measured face the painted area, by the published factor of its kind.
func (s *Sums) byFactor(face *Line) {
	factor, ok := s.leaf("factor", figures.Count)
	each := true
	if !ok {
		kind := s.word("area_kind")
		if t, ok := s.Case.Given.words["kind"]; ok {
			kind = t.word
		}
		factor, each = s.publishedFactor(kind)
	}
	one := exactly("", 1, "times", "").Quantity
	sides, ok := s.leaf("sides", figures.Count)
	switch {
	case !each:
		sides = s.keep(&Leaf{"all over", Planned, one, "the factor counts all sides", nil})
	case !ok:
		sides = s.keep(&Leaf{"sides", Planned, one, "one side; write sides: 2 for both", nil})
	}
	if factor == nil {
		factor = s.keep(&Leaf{"factor", Planned, one, "no factor is published for it", nil})
	}
	s.add("area", "Painted area", "covered_area", face.as("measured area"), factor.as("factor"), sides.as("sides"))
}

// publishedFactor is the factor of a kind of element over all books, and whether it is for each side.
func (s *Sums) publishedFactor(kind string) (factor *Leaf, eachSide bool) {
	all, span, ok := figures.FactorsFor(kind)
	if !ok {
		return nil, true
	}
	var books []string
	for _, f := range all {
		books = append(books, fmt.Sprintf("%g by %s", f.Factor, f.Source))
		eachSide = eachSide || f.Basis == "each side"
	}
	times, _ := figures.FindUnit("times")
	return s.keep(&Leaf{"factor", Planned, figures.Quantity{Range: span, Unit: times},
		"factors of a " + strings.ReplaceAll(kind, "_", " ") + ": " + strings.Join(books, "; "), nil}), eachSide
}
