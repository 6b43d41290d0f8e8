package knowledge_test

import (
	"slices"

	"patchfirst/rules"
)

// decided is what the definitions say of one complete case.
type decided struct {
	fires    []bool // by rule
	levels   []int  // by finding
	raisers  []int  // by finding: how many rules raise it to its level
	verdicts []rules.Verdict
	gives    [rules.RuledOut + 1]once // by verdict
	notes    []once                   // by place of the note: the methods to which rules attach it
	shown    rules.MethodSet          // the methods whose notes are shown: they are offered, or the last resort
	places   []int                    // by method: twice the class that is offered, and one more with care
	first    int
}

// once are methods to which at least one, and at least two, of the rules that fire do something.
type once struct{ by, twice rules.MethodSet }

func (o *once) add(set rules.MethodSet) {
	o.twice |= o.by & set
	o.by |= set
}

// notOffered is the place of a method that is not offered.
const notOffered = 6

// effects is what the rules of a base do, laid out for many cases.
type effects struct {
	raises [][]raise // by finding
	gives  [][]give  // by rule
	notes  [][]int   // by rule: places of the notes that it attaches
	rows   int       // the fact of the table that ranks
	care   map[string]rules.MethodSet
}

type raise struct{ rule, level int }

type give struct {
	verdict rules.Verdict
	to      rules.MethodSet
}

func effectsOf(b *rules.Base) effects {
	e := effects{raises: make([][]raise, len(b.Findings)), care: map[string]rules.MethodSet{}}
	for i, r := range b.Rules {
		var gives []give
		for v, set := range r.Gives {
			gives = append(gives, give{v, set})
		}
		var notes []int
		for kind, ids := range r.Attach {
			for _, id := range ids {
				notes = append(notes, b.Note(kind, id).Rank)
			}
		}
		e.gives, e.notes = append(e.gives, gives), append(e.notes, notes)
		for k, f := range b.Findings {
			if to, ok := r.Raises[f.ID]; ok {
				e.raises[k] = append(e.raises[k], raise{i, slices.Index(f.Scale, to)})
			}
		}
	}
	for _, t := range b.Tables {
		if !t.Ranks {
			continue
		}
		e.rows = slices.IndexFunc(b.Facts, func(f *rules.Fact) bool { return f.ID == t.Rows })
		for _, row := range b.Facts[e.rows].Values {
			for m, method := range b.Methods {
				if t.Values[t.At(row.ID, method)] == "caution" {
					e.care[row.ID] |= 1 << m
				}
			}
		}
	}
	return e
}

// decide decides the case at hand. What it returns holds until the next case.
func (e *enumerator) decide() *decided {
	b, d := e.b, &e.found
	if d.fires == nil {
		*d = decided{fires: make([]bool, len(b.Rules)), levels: make([]int, len(b.Findings)), raisers: make([]int, len(b.Findings)),
			verdicts: make([]rules.Verdict, len(b.Methods)), notes: make([]once, len(b.Notes)), places: make([]int, len(b.Methods))}
	}
	clear(e.levels)
	for _, k := range e.order {
		level, raisers := 0, 0
		for _, r := range e.effects.raises[k] {
			switch {
			case r.level < level || !e.holds(e.rules[r.rule]):
			case r.level == level:
				raisers++
			default:
				level, raisers = r.level, 1
			}
		}
		e.levels[k], d.raisers[k] = level, raisers
	}
	copy(d.levels, e.levels)
	clear(d.notes)
	clear(d.gives[:])
	for i, r := range b.Rules {
		if d.fires[i] = e.holds(e.rules[i]); !d.fires[i] {
			continue
		}
		for _, g := range e.effects.gives[i] {
			d.gives[g.verdict].add(g.to)
		}
		for _, n := range e.effects.notes[i] {
			d.notes[n].add(r.With)
		}
	}
	d.rank(b, e.effects.care[e.answers[e.effects.rows][e.is[e.effects.rows]][b.Facts[e.effects.rows].ID].(string)])
	return d
}

// rank gives each method its verdict and its place, and finds the first choice.
func (d *decided) rank(b *rules.Base, care rules.MethodSet) {
	best, last := notOffered, 0
	d.first, d.shown = -1, 0
	for m, method := range b.Methods {
		d.verdicts[m] = rules.Possible
		for v := rules.Favoured; v <= rules.RuledOut; v++ {
			if d.gives[v].by.Has(m) {
				d.verdicts[m] = v
			}
		}
		d.places[m] = notOffered
		if class := slices.Index([]rules.Verdict{rules.Favoured, rules.Possible, rules.Discouraged}, d.verdicts[m]); class >= 0 {
			d.shown |= 1 << m
			d.places[m] = 2 * class
			if care.Has(m) {
				d.places[m]++
			}
		}
		switch {
		case method.LastResort:
			last = m
			d.shown |= 1 << m
		case d.places[m] < best:
			best, d.first = d.places[m], m
		}
	}
	if d.first < 0 {
		d.first = last
	}
}

// breaks returns the methods by which a case breaks a promise that speaks of it. Of no use is not ruled out.
func (e *enumerator) breaks(d *decided, p *rules.Promise) rules.MethodSet {
	lacks := rules.MethodSet(0)
	if p.AlwaysWith != 0 {
		lacks = p.AlwaysWith &^ d.notes[e.b.Note(p.Kind, p.Note).Rank].by
	}
	return (p.NeverOffered|lacks)&^d.gives[rules.RuledOut].by | p.NeverFirst&(1<<d.first)
}

// needs reports whether a case would come out otherwise without a rule that fires in it: a method would have another
// verdict, an offered one would lack a note, or a finding would be lower.
func (e *enumerator) needs(d *decided, rule int) bool {
	for _, g := range e.effects.gives[rule] {
		alone := g.to &^ d.gives[g.verdict].twice
		for v := g.verdict + 1; v <= rules.RuledOut; v++ {
			alone &^= d.gives[v].by
		}
		if alone != 0 {
			return true
		}
	}
	for _, n := range e.effects.notes[rule] {
		if e.b.Rules[rule].With&d.shown&^d.notes[n].twice != 0 {
			return true
		}
	}
	for k, raises := range e.effects.raises {
		for _, r := range raises {
			if r.rule == rule && r.level == d.levels[k] && d.raisers[k] == 1 {
				return true
			}
		}
	}
	return false
}
