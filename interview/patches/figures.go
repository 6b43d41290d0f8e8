package patches

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"patchfirst/rules"
	"patchfirst/rules/source"
)

//go:embed figures.yaml
var figuresYAML []byte

// Figures are the figures of test patches.
type Figures struct {
	Warmth  Warmth
	Ranges  []Range
	Never   []Never
	NoPatch []Saying // ID is the method
	Sizes   []Size
	Few     []Saying
	Layout  Layout
	Neutral Neutral
	Ending  Ending
	Again   Again
	Slow    []Saying
	Means   []Saying
	Sources []*rules.Source // those that the base does not hold
}

// Where says which answers an entry is for: for each fact its values, groups already opened.
type Where map[string][]string

// Range is a planning range of a method.
type Range struct {
	ID           string
	Methods      []string
	Finding      map[string]string // only where the finding may reach the level
	From, To     float64           // coats; 0: any
	Thin, Thick  float64           // mm; 0: no paste
	Look         []float64         // minutes
	Passes       int
	Say          string
	Stop         float64 // minutes; 0: none
	StopWhere    Where
	StopBecause  string
	SourceNames  []string
	CoatsNotSeen bool // the coats were not counted: it spans several ranges
	Beyond       bool // there are more coats than any range speaks of
}

// Size of a patch in mm, and of the one that confirms.
type Size struct {
	ID            string
	Where         Where
	Width, Height float64
	Or, Confirm   string
	SourceNames   []string
}

// Saying is a sentence with its sources.
type Saying struct {
	ID          string
	Where       Where
	Say         string
	SourceNames []string
}

// Never says why no patch is made on some surfaces. It decides nothing.
type Never struct {
	Saying
	Finding map[string]string // only where the finding may reach the level
}

// Layout is how many patches, how far apart, and what counts.
type Layout struct {
	Gap                   float64 // mm
	Usual, Most, Precious int
	Dead                  int // so many dead patches end a method
	Applications          int // so often paste is put on before a patch is dead, where its range says nothing
	Finding               map[string]string
	Share, Confidence     float64
	SourceNames           []string
}

// Neutral is when the alkali is out of a patch.
type Neutral struct {
	Within      float64 // units from the untouched spot
	SourceNames []string
}

// Ending is how every patch ends: Notes are the ids of the steps and holds of the base that do it, in their order.
type Ending struct {
	Notes       []string
	Say         string
	SourceNames []string
}

// Again is when to look again, in minutes.
type Again struct {
	Look        []float64
	Say         string
	SourceNames []string
}

var figureKeys = map[string][]string{
	"source":      {"body", "title", "where"},
	"temperature": {"doubles_per", "range", "none_below", "dries_above", "say", "say_below", "say_above", "sources"},
	"range":       {"methods", "finding", "coats", "thickness", "look", "passes", "say", "stop", "sources"},
	"never":       {"where", "finding", "because", "sources"},
	"no_patch":    {"because", "sources"},
	"size":        {"where", "width", "height", "or", "confirm", "sources"},
	"few":         {"where", "because", "sources"},
	"layout":      {"gap", "usual", "most", "precious", "finding", "dead", "applications", "share", "confidence", "sources"},
	"neutral":     {"within", "sources"},
	"finish":      {"notes", "say", "sources"},
	"again":       {"look", "say", "sources"},
	"slow":        {"where", "say", "sources"},
	"means":       {"say", "sources"},
}

// LoadFigures reads the figures of test patches; groups in them are those of the base.
func LoadFigures(b *rules.Base) (*Figures, error) {
	d := source.Parse("figures.yaml", figuresYAML)
	f := &Figures{}
	if d.Root != nil {
		for _, n := range d.Items(d.Root, "the figures") {
			f.entry(b, d, n)
		}
	}
	return f, d.Problems.Err()
}

func (f *Figures) entry(b *rules.Base, d *source.Document, n *yaml.Node) {
	if n.Kind != yaml.MappingNode || len(n.Content) == 0 {
		d.Fail(n, "Begin it with its kind.", "an entry must be a list of keys and values")
		return
	}
	kind := n.Content[0].Value
	o := d.Object(n, "a "+kind, append([]string{kind}, figureKeys[kind]...)...)
	if kind != "source" && len(o.List("sources")) == 0 {
		d.Fail(n, "Add sources: [...].", "the entry names no source")
	}
	r := figureReader{b, d, o}
	say := Saying{ID: o.Need(kind), Where: r.where(o.Get("where")), Say: o.Text("say") + o.Text("because"), SourceNames: o.List("sources")}
	switch kind {
	case "source":
		f.Sources = append(f.Sources, &rules.Source{ID: say.ID, Body: o.Need("body"), Title: o.Text("title"), Where: o.Text("where")})
	case "temperature":
		from, to := r.span("range")
		f.Warmth = Warmth{o.Number("doubles_per", 0), from, to, o.Number("none_below", 0), o.Number("dries_above", 0), say.Say, o.Text("say_below"), o.Text("say_above"), say.SourceNames}
	case "range":
		f.Ranges = append(f.Ranges, r.planning(say))
	case "never":
		f.Never = append(f.Never, Never{say, r.finding()})
	case "no_patch":
		f.NoPatch = append(f.NoPatch, say)
	case "size":
		f.Sizes = append(f.Sizes, Size{say.ID, say.Where, o.Number("width", 0), o.Number("height", 0), o.Text("or"), o.Need("confirm"), say.SourceNames})
	case "few":
		f.Few = append(f.Few, say)
	case "layout":
		f.Layout = Layout{o.Number("gap", 0), int(o.Number("usual", 0)), int(o.Number("most", 0)), int(o.Number("precious", 0)), int(o.Number("dead", 0)), int(o.Number("applications", 0)),
			r.finding(), o.Number("share", 0), o.Number("confidence", 0), say.SourceNames}
	case "neutral":
		f.Neutral = Neutral{o.Number("within", 0), say.SourceNames}
	case "finish":
		f.Ending = Ending{o.List("notes"), say.Say, say.SourceNames}
	case "again":
		f.Again = Again{r.times("look"), say.Say, say.SourceNames}
	case "slow":
		f.Slow = append(f.Slow, say)
	case "means":
		f.Means = append(f.Means, say)
	}
}

type figureReader struct {
	base *rules.Base
	doc  *source.Document
	o    *source.Object
}

func (r figureReader) planning(say Saying) Range {
	p := Range{ID: say.ID, Methods: r.o.List("methods"), Finding: r.finding(), Look: r.times("look"), Passes: int(r.o.Number("passes", 0)), Say: say.Say, SourceNames: say.SourceNames}
	p.From, p.To = r.span("coats")
	p.Thin, p.Thick = r.span("thickness")
	if n := r.o.Get("stop"); n != nil {
		stop := figureReader{r.base, r.doc, r.doc.Object(n, "stop", "after", "where", "because")}
		p.Stop, p.StopWhere, p.StopBecause = stop.times("after")[0], stop.where(stop.o.Get("where")), stop.o.Need("because")
	}
	return p
}

// where reads {fact: [values or groups]}, and opens the groups.
func (r figureReader) where(n *yaml.Node) Where {
	if n == nil || n.Kind != yaml.MappingNode {
		return nil
	}
	w := Where{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		fact := n.Content[i].Value
		w[fact] = []string{} // a name that this base lacks holds nowhere
		for _, name := range r.doc.Texts(n.Content[i+1], fact) {
			values := []string{name}
			for _, g := range r.base.Groups {
				if g.ID == name && g.Of == fact {
					values = g.Is
				}
			}
			w[fact] = append(w[fact], values...)
		}
	}
	return w
}

func (r figureReader) finding() map[string]string {
	n := r.o.Get("finding")
	if n == nil {
		return nil
	}
	m := map[string]string{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		m[n.Content[i].Value] = n.Content[i+1].Value
	}
	return m
}

func (r figureReader) span(key string) (from, to float64) {
	text := r.o.Text(key)
	if text == "" {
		return 0, 0
	}
	a, b, _ := strings.Cut(text, "..")
	from, err := strconv.ParseFloat(a, 64)
	to, err2 := strconv.ParseFloat(b, 64)
	if err != nil || err2 != nil || from > to {
		r.doc.Fail(r.o.Get(key), "Write it as 2..3.", "%q is no range", text)
	}
	return from, to
}

var minutesOf = map[string]float64{"s": 1. / 60, "min": 1, "h": 60, "days": 24 * 60}

func (r figureReader) times(key string) (minutes []float64) {
	for _, text := range r.o.List(key) {
		var n float64
		var unit string
		if _, err := fmt.Sscanf(text, "%g %s", &n, &unit); err != nil || minutesOf[unit] == 0 {
			r.doc.Fail(r.o.Get(key), "Write it as 8 h; the units are s, min, h and days.", "%q is no time", text)
			minutes = append(minutes, 0)
			continue
		}
		minutes = append(minutes, n*minutesOf[unit])
	}
	return minutes
}
