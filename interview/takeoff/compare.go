package takeoff

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"patchfirst/knowledge/figures"
	"patchfirst/rules"
)

// Comparison is the sums of every method that is offered for a part, side by side.
type Comparison struct {
	Case    *Case
	By      string  // the figure that they are ordered by: cost, or paid_hours where no wage is told
	Rows    []*Sums // the cheapest first; those that leave the paint where it is come last
	Unsure  []*Sums // of the rows those that may be of no use, as far as is told
	Fastest *Sums   // of the pastes the one that acts soonest; nil if fewer than two act
	Turns   []Turn
	Even    []BreakEven
	Curves  []Curve
	Draws   Draws
}

// Turn is what is cheapest as one input goes up, all others being at their points.
type Turn struct {
	Input string // coats, area or wage
	Unit  string
	Spans []Span
}

// Span is a stretch of an input on which one method is the cheapest.
type Span struct {
	From, To float64
	Method   *rules.Method
}

// BreakEven is where two methods cost the same as one input goes up: from there on the other one is cheaper.
type BreakEven struct {
	Input, Unit string
	A, B        *rules.Method
	Below       *rules.Method // the cheaper one below the first of the places; of no place throughout
	At          []float64     // the first values at which the other is cheaper
}

// Curve is the cost of a method by the number of coats.
type Curve struct {
	Method *rules.Method
	Coats  []float64
	Cost   []float64
}

// Draws says how often the cheapest job stays cheaper than the fastest stripper when all inputs are drawn from their ranges,
// those that both share alike.
type Draws struct {
	Number, Cheaper int
	Seed            uint64
}

// Verdict is what the rules say of the method of a row.
func (c *Comparison) Verdict(s *Sums) rules.Verdict {
	return c.Case.Decision.Methods[s.Method.Rank].Verdict
}

// Cheapest is the cheapest of the methods that take the paint off, or nil.
func (c *Comparison) Cheapest() *Sums {
	for _, s := range c.Rows {
		if c.weighed(s) {
			return s
		}
	}
	return nil
}

// weighed reports whether a method takes the paint off, as far as is told.
func (c *Comparison) weighed(s *Sums) bool { return !s.Method.Keeps && !slices.Contains(c.Unsure, s) }

// Compare does the sums of every method that is offered.
func (c *Case) Compare() (*Comparison, error) {
	out := &Comparison{Case: c, By: "cost"}
	for _, o := range c.Decision.Methods {
		if !o.Verdict.Offered() || o.Method.LastResort {
			continue
		}
		s, err := c.Sum(o.Method)
		if err != nil {
			return nil, err
		}
		if s.Line("hours") != nil {
			out.Rows = append(out.Rows, s)
			if len(c.Decision.Unproven(o)) > 0 {
				out.Unsure = append(out.Unsure, s)
			}
		}
	}
	for _, s := range out.Rows {
		if s.Line("cost") == nil {
			out.By = "paid_hours"
		}
	}
	slices.SortStableFunc(out.Rows, func(a, b *Sums) int {
		if a.Method.Keeps != b.Method.Keeps {
			if b.Method.Keeps {
				return -1
			}
			return 1
		}
		return cmp.Compare(a.Line(out.By).Result.Point, b.Line(out.By).Result.Point)
	})
	out.fastest()
	for _, add := range []func() error{out.turns, out.draws} {
		if err := add(); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// fastest finds the paste that acts soonest.
func (c *Comparison) fastest() {
	var acts []*Sums
	for _, s := range c.Rows {
		if s.Line("wait") != nil {
			acts = append(acts, s)
		}
	}
	if len(acts) < 2 {
		return
	}
	c.Fastest = slices.MinFunc(acts, func(a, b *Sums) int {
		return cmp.Compare(a.Line("wait").Result.Point,
			b.Line("wait").Result.Point)
	})
}

// turns finds where the ranking turns over, as one input goes up.
func (c *Comparison) turns() error {
	coats := make([]float64, 20)
	for i := range coats {
		coats[i] = float64(i + 1)
	}
	var areas, wages []float64
	for a := 0.25; a < 300; a *= math.Sqrt2 {
		areas = append(areas, a)
	}
	for w := 1.; w <= 256; w *= math.Pow(2, 0.25) {
		wages = append(wages, w)
	}
	inputs := []struct {
		id, unit string
		at       []float64
	}{{"coats", "times", coats}, {"area", "m²", areas}, {"wage", "¤/h", wages}}
	for _, in := range inputs {
		if in.id == "wage" && c.By != "cost" {
			continue
		}
		costs, err := c.costs(in.id, in.at)
		if err != nil {
			return err
		}
		if spans := c.spans(in.at, costs); spans != nil {
			c.Turns = append(c.Turns, Turn{in.id, in.unit, spans})
		}
		c.even(in.id, in.unit, in.at, costs)
		if in.id == "coats" {
			for i, s := range c.Rows {
				c.Curves = append(c.Curves, Curve{s.Method, coats, costs[i]})
			}
		}
	}
	return nil
}

// Slow is the cheapest of the pastes that act much longer than the fastest, to weigh against it; nil if there is none.
func (c *Comparison) Slow() *Sums {
	const longer = 4
	for _, s := range c.Rows {
		if l := s.Line("wait"); l != nil && c.Fastest != nil && l.Result.Point >= longer*c.Fastest.Line("wait").Result.Point {
			return s
		}
	}
	return nil
}

// even finds the break-even of the fastest stripper and the slow one.
func (c *Comparison) even(id, unit string, values []float64, costs [][]float64) {
	slow := c.Slow()
	if slow == nil {
		return
	}
	a, b := costs[slices.Index(c.Rows, c.Fastest)], costs[slices.Index(c.Rows, slow)]
	out := BreakEven{Input: id, Unit: unit, A: c.Fastest.Method, B: slow.Method}
	cheaper := func(k int) *rules.Method {
		if a[k] < b[k] {
			return out.A
		}
		return out.B
	}
	out.Below = cheaper(0)
	for k := 1; k < len(values); k++ {
		if cheaper(k) != cheaper(k-1) {
			out.At = append(out.At, values[k])
		}
	}
	c.Even = append(c.Even, out)
}

// costs computes the figure of each row at each value of an input.
func (c *Comparison) costs(id string, values []float64) ([][]float64, error) {
	all := make([][]float64, len(c.Rows))
	for i, s := range c.Rows {
		for _, v := range values {
			at, err := c.Case.at(s.Method, map[string]float64{id: v})
			if err != nil {
				return nil, err
			}
			cost := math.NaN()
			if l := at.Line(c.By); l != nil {
				cost = l.Result.Point
			}
			all[i] = append(all[i], cost)
		}
	}
	return all, nil
}

// spans joins the values at which one method that takes the paint off is the cheapest.
func (c *Comparison) spans(values []float64, costs [][]float64) []Span {
	var spans []Span
	for k, v := range values {
		var best *rules.Method
		least := math.Inf(1)
		for i, s := range c.Rows {
			if c.weighed(s) && costs[i][k] < least {
				best, least = s.Method, costs[i][k]
			}
		}
		if best == nil {
			continue
		}
		if last := len(spans) - 1; last >= 0 && spans[last].Method == best {
			spans[last].To = v
			continue
		}
		spans = append(spans, Span{v, v, best})
	}
	return spans
}

const (
	drawn = 300
	seed  = 1911
)

// draws draws all inputs from their ranges, again and again, and counts how often the cheapest job stays cheaper than the
// fastest stripper.
func (c *Comparison) draws() error {
	cheapest := c.Cheapest()
	if cheapest == nil || c.Fastest == nil || cheapest == c.Fastest {
		return nil
	}
	random := rand.New(rand.NewPCG(seed, 0))
	c.Draws = Draws{Number: drawn, Seed: seed}
	// What is not about one method, such as the area, the shape and the wage, is drawn once for both.
	type input struct {
		id string
		of *rules.Method
	}
	for range drawn {
		all := map[input]float64{}
		var costs [2]float64
		for i, s := range []*Sums{cheapest, c.Fastest} {
			pins := map[string]float64{}
			for _, l := range s.Leaves {
				key := input{l.ID, nil}
				if s.own(l) {
					key.of = s.Method
				}
				if _, ok := all[key]; !ok {
					all[key] = figures.Triangular(l.Range, random.Float64())
				}
				pins[l.ID] = all[key]
			}
			at, err := c.Case.at(s.Method, pins)
			if err != nil {
				return err
			}
			costs[i] = at.Line(c.By).Result.Point
		}
		if costs[0] < costs[1] {
			c.Draws.Cheaper++
		}
	}
	return nil
}
