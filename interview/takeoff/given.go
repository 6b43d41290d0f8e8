package takeoff

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"patchfirst/interview/job"
	"patchfirst/knowledge/figures"
	"patchfirst/rules"
	"patchfirst/rules/source"
)

// Given is what a person told for the sums, under takeoff: in the job file. What is told of a part wins over what is told
// of the site.
type Given struct {
	Currency string // three letters; empty if no money was told
	values   map[string]told
	words    map[string]told
	sizes    map[string]sizes
	Openings []told
	Sure     bool // a size that seems unlikely is right
}

// sizes are sizes of containers in one unit: that of the person where all are in it, or else litres.
type sizes struct {
	unit figures.Unit
	of   []float64
}

type told struct {
	figures.Quantity
	word string
	node *yaml.Node
}

// reader reads what is told, and notes mistakes with their places.
type reader struct {
	base  *rules.Base
	doc   *source.Document
	given *Given
}

// ReadGiven reads what is told for the sums of a part. Mistakes are returned together, as rules.Problems; file is the name
// of the job file in them.
func ReadGiven(b *rules.Base, file string, j *job.Job, e *job.Element) (*Given, error) {
	r := reader{b, &source.Document{File: file},
		&Given{values: map[string]told{}, words: map[string]told{}, sizes: map[string]sizes{}}}
	if j.Takeoff != nil {
		r.read(j.Takeoff, quantities)
	}
	if e.Takeoff != nil {
		all := maps.Clone(quantities)
		maps.Copy(all, ofPart)
		r.read(e.Takeoff, all)
	}
	return r.given, r.doc.Problems.Err()
}

func (r reader) read(n *yaml.Node, quantities map[string]figures.Dimension) {
	if n.Tag == "!!null" {
		return
	}
	known := append(slices.Sorted(maps.Keys(quantities)), "currency", "prices", "containers", "rates", "solvent")
	if quantities["area"] != "" {
		known = append(known, "kind", "openings", "sure")
	}
	o := r.doc.Object(n, "takeoff", known...)
	if o == nil {
		return
	}
	for _, key := range o.Keys() {
		v := o.Get(key)
		switch key {
		case "currency":
			name, ok := figures.CurrencyNamed(o.Text(key))
			if !ok {
				r.doc.Fail(v, "Write its three letters, such as GBP, EUR or USD.", "%q is not the name of a currency",
					o.Text(key))
				continue
			}
			r.currency(v, name)
		case "solvent":
			r.solvent(v, o.Text(key))
		case "kind":
			r.kind(v, o.Text(key))
		case "sure":
			r.given.Sure = o.Flag(key)
		case "openings":
			for _, opening := range items(v) {
				if q, ok := r.quantity(opening, key, figures.Area); ok {
					r.given.Openings = append(r.given.Openings, told{q, "", opening})
				}
			}
		case "prices":
			r.each(v, key, r.price)
		case "containers":
			r.each(v, key, r.containers)
		case "rates":
			r.each(v, key, r.rate)
		default:
			if q, ok := r.quantity(v, key, quantities[key]); ok {
				r.given.values[key] = told{q, "", v}
			}
		}
	}
}

// items are the nodes of a list, or the node itself.
func items(n *yaml.Node) []*yaml.Node {
	if n.Kind == yaml.SequenceNode {
		return n.Content
	}
	return []*yaml.Node{n}
}

// each reads the entries of a mapping.
func (r reader) each(n *yaml.Node, what string, read func(name, value *yaml.Node)) {
	o := r.doc.Object(n, what)
	if o == nil {
		return
	}
	for _, key := range o.Keys() {
		read(o.Key(key), o.Get(key))
	}
}

func (r reader) quantity(n *yaml.Node, what string, d figures.Dimension) (figures.Quantity, bool) {
	if n.Kind != yaml.ScalarNode {
		r.doc.Fail(n, "Write one figure with its unit, or a range such as 2-3 m.", "%q takes one figure", what)
		return figures.Quantity{}, false
	}
	if d == figures.Wage {
		return r.money(n, what, d)
	}
	q, err := figures.ParseQuantity(n.Value, d)
	if err != nil {
		r.ask(n, what, err)
		return q, false
	}
	if b, ok := bounds[what]; ok {
		if in := inUnit(q, b.unit); in.Low < b.low || in.High > b.high {
			r.doc.Fail(n, fmt.Sprintf("Is the figure right, and its unit? %s to %s is read.", unitWords(b.low, b.unit),
				unitWords(b.high, b.unit)), "%q cannot be taken for %q", n.Value, what)
			return q, false
		}
	}
	return q, true
}

// unitWords writes a bound.
func unitWords(v float64, unit string) string {
	u, _ := figures.FindUnit(unit)
	return figures.Quantity{Range: figures.Exactly(v), Unit: u}.String()
}

func (r reader) money(n *yaml.Node, what string, d figures.Dimension) (figures.Quantity, bool) {
	q, name, err := figures.ParsePrice(n.Value, d)
	if err != nil {
		r.ask(n, what, err)
		return q, false
	}
	return q, r.currency(n, name)
}

// currency keeps one currency for the whole job: nothing here knows rates of exchange.
func (r reader) currency(n *yaml.Node, name string) bool {
	if r.given.Currency != "" && r.given.Currency != name {
		r.doc.Fail(n, "Write all money of a job in one currency.", "this is in %s, and other money of the job is in %s",
			name, r.given.Currency)
		return false
	}
	r.given.Currency = name
	return true
}

// ask asks back what cannot be read.
func (r reader) ask(n *yaml.Node, what string, err error) {
	var q *figures.Question
	if !errors.As(err, &q) {
		r.doc.Fail(n, "", "%s: %v", what, err)
		return
	}
	asks := []rune(strings.TrimSpace(q.Asks))
	r.doc.Fail(n, strings.ToUpper(string(asks[:1]))+string(asks[1:]), "%q cannot be taken for %q", q.Wrote, what)
}

func (r reader) kind(n *yaml.Node, kind string) {
	if _, _, ok := figures.FactorsFor(kind); !ok {
		r.doc.Fail(n, rules.DidYouMean(kind, figures.FactorKinds()), "there are no published factors for a %q", kind)
		return
	}
	r.given.words["kind"] = told{word: kind, node: n}
}

func (r reader) solvent(n *yaml.Node, name string) {
	var known []string
	for _, s := range figures.Solvents() {
		if s.Name == name {
			r.given.words["solvent"] = told{word: name, node: n}
			return
		}
		known = append(known, s.Name)
	}
	r.doc.Fail(n, hint(name, known), "there are no figures for the solvent %q", name)
}

func (r reader) price(name, value *yaml.Node) {
	m, ok := materialOf(name.Value)
	if !ok {
		r.doc.Fail(name, hint(name.Value, materialNames()), "nothing that is bought here is named %q", name.Value)
		return
	}
	if q, ok := r.money(value, "the price of "+m.Label, m.Price); ok {
		r.given.values["price of "+m.ID] = told{q, "", value}
	}
}

func (r reader) containers(name, value *yaml.Node) {
	m, ok := materialOf(name.Value)
	if !ok || m.Price != figures.PriceOfVolume {
		var liquids []string
		for _, m := range materials {
			if m.Price == figures.PriceOfVolume {
				liquids = append(liquids, m.ID)
			}
		}
		r.doc.Fail(name, rules.DidYouMean(name.Value, liquids), "nothing that comes in containers is named %q", name.Value)
		return
	}
	var all []figures.Quantity
	before := len(r.doc.Problems)
	for _, n := range items(value) {
		if q, ok := r.quantity(n, "a container of "+m.Label, figures.Volume); ok {
			all = append(all, q)
		}
	}
	if len(r.doc.Problems) > before {
		return
	}
	told := inOneUnit(all)
	if _, err := figures.Bought(told.unit, told.of...); err != nil {
		r.doc.Fail(value, "Write sizes such as [1 L, 5 L].", "%v", err)
		return
	}
	r.given.sizes[m.ID] = told
}

func inOneUnit(all []figures.Quantity) sizes {
	litre, _ := figures.FindUnit("L")
	out := sizes{unit: litre}
	if len(all) > 0 && !slices.ContainsFunc(all, func(q figures.Quantity) bool { return q.Unit != all[0].Unit }) {
		out.unit = all[0].Unit
	}
	for _, q := range all {
		in, _ := q.In(out.unit)
		out.of = append(out.of, in.Point)
	}
	return out
}

func (r reader) rate(name, value *yaml.Node) {
	m := r.base.Method(name.Value)
	if m == nil {
		var methods []string
		for _, m := range r.base.Methods {
			methods = append(methods, m.ID)
		}
		r.doc.Fail(name, hint(name.Value, methods), "there is no method %q", name.Value)
		return
	}
	if q, ok := r.quantity(value, fmt.Sprintf("the rate of %s", m.ID), figures.Pace); ok {
		r.given.values["rate of "+m.ID] = told{q, "", value}
	}
}

// hint names the nearest of the known names, or else all of them.
func hint(name string, known []string) string {
	if near := rules.DidYouMean(name, known); near != "" {
		return near
	}
	return "Known: " + strings.Join(known, ", ") + "."
}

// inUnit turns a quantity into a unit of its dimension.
func inUnit(q figures.Quantity, symbol string) figures.Quantity {
	u, _ := figures.FindUnit(symbol)
	out, _ := q.In(u)
	return out
}
