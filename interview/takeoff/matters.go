package takeoff

import (
	"cmp"
	"math"
	"slices"

	"patchfirst/knowledge/figures"
)

// Matter is how far one input moves a figure, all others being at their points.
type Matter struct {
	Leaf     *Leaf
	Low      float64 // the figure with the input at its least
	High     float64 // and at its most
	Quantity figures.Quantity
}

// By is how far the input moves the figure.
func (m Matter) By() float64 { return math.Abs(m.High - m.Low) }

// Matters lists the inputs that move a figure, through all that lies between, the strongest first.
func (s *Sums) Matters(id string) ([]Matter, error) {
	line := s.Line(id)
	if line == nil {
		return nil, nil
	}
	var all []Matter
	for _, l := range s.Leaves {
		if l.Range.Known() {
			continue
		}
		m := Matter{Leaf: l, Quantity: line.Result}
		for _, end := range []struct {
			at float64
			to *float64
		}{{l.Low, &m.Low}, {l.High, &m.High}} {
			moved, err := s.Case.at(s.Method, map[string]float64{l.ID: end.at})
			if err != nil {
				return nil, err
			}
			if there := moved.Line(id); there != nil {
				*end.to = there.Result.Point
			}
		}
		if m.By() > 0 {
			all = append(all, m)
		}
	}
	slices.SortStableFunc(all, func(a, b Matter) int { return cmp.Compare(b.By(), a.By()) })
	return all, nil
}
