package show

import (
	"io"
	"math"

	"patchfirst/interview/paper"
	"patchfirst/interview/takeoff"
	"patchfirst/knowledge/figures"
)

// Names of the forms of the JSON output; one changes when a field changes its meaning or goes away.
const (
	SumsSchema    = "patchfirst/take-off/1"
	CompareSchema = "patchfirst/take-off-comparison/1"
)

type dataSums struct {
	Name      string         `json:"name"`
	Method    string         `json:"method"`
	Verdict   string         `json:"verdict"`
	Currency  string         `json:"currency"` // empty: no money was told
	Figures   []dataFigure   `json:"figures"`
	Inputs    []dataLeaf     `json:"inputs"`
	Matters   []dataMatter   `json:"moves_cost"`
	Bill      []dataBought   `json:"bill"`
	Programme *dataProgramme `json:"programme"`
	Notes     []string       `json:"notes"`
	Missing   []string       `json:"missing"`
}

type dataRange struct {
	Low   float64 `json:"low"`
	Point float64 `json:"point"`
	High  float64 `json:"high"`
	Unit  string  `json:"unit"`
}

type dataFigure struct {
	ID      string `json:"id"`
	Section string `json:"section"`
	Title   string `json:"title"`
	dataRange
	Formula string      `json:"formula"`
	Inputs  []dataInput `json:"inputs"`
	Source  string      `json:"source"`
	Caution string      `json:"caution,omitempty"`
}

type dataInput struct {
	Name string `json:"name"`
	dataRange
	From   string `json:"from"`
	Figure string `json:"figure,omitempty"`
}

type dataLeaf struct {
	ID   string       `json:"id"`
	Kind takeoff.Kind `json:"kind"`
	dataRange
	From    string   `json:"from"`
	Sources []string `json:"sources"`
}

type dataMatter struct {
	Input string  `json:"input"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

type dataBought struct {
	Item   string `json:"item"`
	Figure string `json:"figure"`
	dataRange
	Containers string `json:"containers,omitempty"`
}

type dataProgramme struct {
	Days   int        `json:"days"`
	OnSite int        `json:"days_on_site"`
	Hours  float64    `json:"hours_a_day"`
	Late   bool       `json:"late"`
	Tasks  []dataTask `json:"tasks"`
	Holds  []Hold     `json:"holds"`
}

type dataTask struct {
	Row   string  `json:"row"`
	Pass  int     `json:"pass"`
	Batch int     `json:"batch"`
	Start float64 `json:"start_h"`
	End   float64 `json:"end_h"`
	Waits bool    `json:"waits"`
}

type dataComparison struct {
	Name     string       `json:"name"`
	By       string       `json:"by"`
	Cheapest string       `json:"cheapest"`
	Fastest  string       `json:"fastest,omitempty"`
	Reasons  []string     `json:"reasons"`
	Methods  []dataMethod `json:"methods"`
	Turns    []dataTurn   `json:"turns"`
	Even     []dataEven   `json:"break_even"`
	Curves   []dataCurve  `json:"curves"`
	Draws    *dataDraws   `json:"draws,omitempty"`
}

type dataMethod struct {
	Method  string               `json:"method"`
	Verdict string               `json:"verdict"`
	Keeps   bool                 `json:"keeps_paint"`
	Care    bool                 `json:"care"`
	Dust    string               `json:"dust"`
	Fume    string               `json:"fume"`
	Figures map[string]dataRange `json:"figures"`
}

type dataTurn struct {
	Input string     `json:"input"`
	Unit  string     `json:"unit"`
	Spans []dataSpan `json:"cheapest"`
}

type dataSpan struct {
	From   float64 `json:"from"`
	To     float64 `json:"to"`
	Method string  `json:"method"`
}

type dataEven struct {
	Input   string    `json:"input"`
	Unit    string    `json:"unit"`
	Methods [2]string `json:"methods"`
	Below   string    `json:"cheaper_below"`
	At      []float64 `json:"at"`
}

type dataCurve struct {
	Method string     `json:"method"`
	Coats  []float64  `json:"coats"`
	Value  []*float64 `json:"value"`
}

type dataDraws struct {
	Number  int    `json:"number"`
	Cheaper int    `json:"cheapest_below_fastest"`
	Seed    uint64 `json:"seed"`
}

// JSON writes the sums of every part as data. Nothing in it is rounded.
func (b *Book) JSON(out io.Writer, method string) error {
	parts := []dataSums{}
	for _, c := range b.Cases {
		s, err := b.Sums(c, method)
		if err != nil {
			return err
		}
		part, err := b.sumsData(s)
		if err != nil {
			return err
		}
		parts = append(parts, part)
	}
	return paper.Data(out, SumsSchema, b.Advice.Job.Title, parts)
}

func (b *Book) rangeOf(s *takeoff.Sums, q figures.Quantity) dataRange {
	if b.US {
		q = q.InUS()
	}
	return dataRange{q.Low, q.Point, q.High, figures.InCurrency(q.Unit.Symbol, s.Case.Given.Currency)}
}

func (b *Book) sumsData(s *takeoff.Sums) (dataSums, error) {
	out := dataSums{Name: s.Case.Element.Name,
		Method: s.Method.ID, Verdict: s.Case.Decision.Methods[s.Method.Rank].Verdict.String(), Currency: s.Case.Given.Currency,
		Figures: []dataFigure{}, Inputs: []dataLeaf{}, Matters: []dataMatter{}, Bill: []dataBought{}, Notes: list(s.Notes), Missing: list(s.Missing)}
	for _, l := range s.Lines {
		f := dataFigure{l.ID, l.Section, l.Title, b.rangeOf(s, l.Result), l.Formula.Words, []dataInput{}, l.Formula.Source,
			l.Formula.Caution}
		for _, in := range l.Inputs {
			f.Inputs = append(f.Inputs, dataInput{in.Name, b.rangeOf(s, in.Quantity), in.From, l.Uses[in.Name]})
		}
		out.Figures = append(out.Figures, f)
	}
	for _, l := range s.Leaves {
		out.Inputs = append(out.Inputs, dataLeaf{l.ID, l.Kind, b.rangeOf(s, l.Quantity), l.From, list(l.Sources)})
	}
	matters, err := s.Matters("cost")
	for _, m := range matters {
		out.Matters = append(out.Matters, dataMatter{m.Leaf.ID, m.Low, m.High})
	}
	for _, bought := range s.Bill() {
		out.Bill = append(out.Bill, dataBought{bought.Material.ID, bought.Line.ID, b.rangeOf(s, bought.Line.Result),
			bought.Line.Note})
	}
	if p := s.Programme; p != nil {
		out.Programme = &dataProgramme{p.Days, p.OnSite, p.Day, p.Late, []dataTask{}, list(holds(s))}
		for _, t := range p.Tasks {
			out.Programme.Tasks = append(out.Programme.Tasks, dataTask(t))
		}
	}
	return out, err
}

// CompareJSON writes the methods of every part side by side as data.
func (b *Book) CompareJSON(out io.Writer) error {
	parts := []dataComparison{}
	for _, c := range b.Cases {
		compared, err := c.Compare()
		if err != nil {
			return err
		}
		parts = append(parts, b.comparisonData(compared))
	}
	return paper.Data(out, CompareSchema, b.Advice.Job.Title, parts)
}

func (b *Book) comparisonData(c *takeoff.Comparison) dataComparison {
	out := dataComparison{Name: c.Case.Element.Name, By: c.By, Reasons: list(reasons(b.page(), c)), Methods: []dataMethod{},
		Turns: []dataTurn{}, Even: []dataEven{}, Curves: []dataCurve{}}
	if s := c.Cheapest(); s != nil {
		out.Cheapest = s.Method.ID
	}
	if c.Fastest != nil {
		out.Fastest = c.Fastest.Method.ID
	}
	for _, s := range c.Rows {
		m := dataMethod{s.Method.ID, c.Verdict(s).String(), s.Method.Keeps, s.Case.Decision.Methods[s.Method.Rank].Care,
			s.Method.Dust, s.Method.Fume, map[string]dataRange{}}
		for _, id := range []string{"cost", "hours", "paid_hours", "lying", "days", "days_on_site", "runoff", "waste",
			"paste"} {
			if l := s.Line(id); l != nil {
				m.Figures[id] = b.rangeOf(s, l.Result)
			}
		}
		out.Methods = append(out.Methods, m)
	}
	for _, t := range c.Turns {
		turn := dataTurn{t.Input, figures.InCurrency(t.Unit, c.Case.Given.Currency), []dataSpan{}}
		for _, s := range t.Spans {
			turn.Spans = append(turn.Spans, dataSpan{s.From, s.To, s.Method.ID})
		}
		out.Turns = append(out.Turns, turn)
	}
	for _, e := range c.Even {
		out.Even = append(out.Even, dataEven{e.Input, figures.InCurrency(e.Unit, c.Case.Given.Currency),
			[2]string{e.A.ID, e.B.ID}, e.Below.ID, list(e.At)})
	}
	for _, curve := range c.Curves {
		d := dataCurve{curve.Method.ID, curve.Coats, nil}
		for _, v := range curve.Cost {
			if math.IsNaN(v) {
				d.Value = append(d.Value, nil)
				continue
			}
			d.Value = append(d.Value, &v)
		}
		out.Curves = append(out.Curves, d)
	}
	if c.Draws.Number > 0 {
		out.Draws = &dataDraws{c.Draws.Number, c.Draws.Cheaper, c.Draws.Seed}
	}
	return out
}

// list makes a nil list an empty one, so that JSON shows [].
func list[T any](l []T) []T {
	if l == nil {
		return []T{}
	}
	return l
}
