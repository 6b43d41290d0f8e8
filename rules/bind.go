package rules

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/rules/diagram"
)

// variable is one question of the diagrams: a choice, one value of a several-fact, or a number cut into cells.
type variable struct {
	fact  *Fact
	value int // of a several-fact: which value it stands for
	size  int
}

// cut is a place where a number is cut. Below says to which side the place itself belongs: a rule "x < 5" cuts with 5
// above, a rule "x <= 5" with 5 below.
type cut struct {
	at    float64
	below bool
}

// Index makes the facts, groups, findings, methods and notes findable, and reports ids that are used twice. Conditions
// can be parsed after it.
func (b *Base) Index() Problems {
	var problems Problems
	b.facts, b.findings = map[string]*Fact{}, map[string]*Finding{}
	b.methods, b.groups = map[string]*Method{}, map[string]*Group{}
	b.notes = map[NoteKind]map[string]*Note{}
	twice := func(pos Pos, what, id string, first Pos) {
		problems = append(problems, Diagnostic{Pos: pos, Summary: fmt.Sprintf("%s %q is already at %s", what, id, first), Fix: "Give it another id."})
	}
	for _, f := range b.Facts {
		if old := b.facts[f.ID]; old != nil {
			twice(f.Pos, "the fact", f.ID, old.Pos)
			continue
		}
		b.facts[f.ID] = f
	}
	for _, f := range b.Facts {
		for _, end := range []string{f.First, f.Last} {
			if end == "" {
				continue
			}
			if old := b.facts[end]; old != nil {
				twice(f.Pos, "the fact", end, old.Pos)
				continue
			}
			values := append(slices.Clone(f.Values), Value{"none", "none"})
			b.facts[end] = &Fact{ID: end, Topic: f.Topic, Scope: f.Scope, Kind: Choice, Values: values, Blank: f.Blank, Change: f.Change, Pos: f.Pos, ends: f}
		}
	}
	for _, f := range b.Findings {
		if old := b.findings[f.ID]; old != nil {
			twice(f.Pos, "the finding", f.ID, old.Pos)
		} else if old := b.facts[f.ID]; old != nil {
			twice(f.Pos, "a question named", f.ID, old.Pos)
		}
		b.findings[f.ID] = f
	}
	for i, m := range b.Methods {
		if old := b.methods[m.ID]; old != nil {
			twice(m.Pos, "the method", m.ID, old.Pos)
		}
		m.Rank = i
		b.methods[m.ID] = m
	}
	const most = 64
	if len(b.Methods) > most {
		problems = append(problems, Diagnostic{Pos: b.Methods[most].Pos, Summary: fmt.Sprintf("there are %d methods, at most %d are possible", len(b.Methods), most)})
	}
	for _, g := range b.Groups {
		if old := b.groups[g.ID]; old != nil {
			twice(g.Pos, "the group", g.ID, old.Pos)
		}
		b.groups[g.ID] = g
	}
	for _, kind := range NoteKinds {
		b.notes[kind] = map[string]*Note{}
	}
	for i, n := range b.Notes {
		if old := b.notes[n.Kind][n.ID]; old != nil {
			twice(n.Pos, "the "+string(n.Kind), n.ID, old.Pos)
		}
		n.Rank = i
		b.notes[n.Kind][n.ID] = n
	}
	once := map[string]Pos{}
	unique := func(kind, id string, pos Pos) {
		if first, ok := once[kind+id]; ok {
			twice(pos, kind, id, first)
		}
		once[kind+id] = pos
	}
	for _, r := range b.Rules {
		unique("the rule", r.ID, r.Pos)
	}
	for _, c := range b.Constraints {
		unique("the constraint", c.ID, c.Pos)
	}
	for _, p := range b.Promises {
		unique("the promise", p.ID, p.Pos)
	}
	for _, l := range b.Limits {
		unique("the limit", l.ID, l.Pos)
	}
	for _, s := range b.Sources {
		unique("the source", s.ID, s.Pos)
	}
	for _, t := range b.Terms {
		unique("the term", t.ID, t.Pos)
	}
	return problems
}

// AddNote adds a note after Index, for statements that stand elsewhere, such as in a table cell.
func (b *Base) AddNote(n *Note) {
	n.Rank = len(b.Notes)
	b.Notes = append(b.Notes, n)
	b.notes[n.Kind][n.ID] = n
}

// Bind expands tables into rules, cuts the numbers, checks that findings do not go in circles, and orders the questions
// for the diagrams. It needs Index and parsed conditions.
func (b *Base) Bind() Problems {
	var problems Problems
	for _, m := range b.Methods {
		if m.AlwaysRefused != "" {
			b.Rules = append(b.Rules, &Rule{ID: "always-refused/" + m.ID, Gives: map[Verdict]MethodSet{RuledOut: 1 << m.Rank}, Because: m.AlwaysRefused, Sources: m.Sources, Pos: m.Pos})
		}
	}
	for _, t := range b.Tables {
		problems = append(problems, b.expand(t)...)
	}
	problems = append(problems, b.checkLoops()...)
	if len(problems) > 0 {
		return problems
	}
	b.cutNumbers()
	b.nameEnds()
	return b.placeVariables(b.meetings())
}

// conds calls f on every condition of the base.
func (b *Base) conds(f func(*Cond)) {
	for _, fact := range b.Facts {
		f(fact.Applies)
		f(fact.AtLeastWhen)
	}
	for _, r := range b.Rules {
		f(r.When)
	}
	for _, c := range b.Constraints {
		f(c.Never)
	}
	for _, p := range b.Promises {
		f(p.When)
	}
}

func (b *Base) cutNumbers() {
	b.conds(func(c *Cond) {
		c.Walk(func(t *Test) {
			if t.Op != OpCmp {
				return
			}
			var cuts []cut
			switch t.Cmp {
			case "<", ">=":
				cuts = []cut{{t.Number, false}}
			case "<=", ">":
				cuts = []cut{{t.Number, true}}
			default:
				cuts = []cut{{t.Number, false}, {t.Number, true}}
			}
			for _, k := range cuts {
				if !slices.Contains(t.Fact.cuts, k) {
					t.Fact.cuts = append(t.Fact.cuts, k)
				}
			}
		})
	})
	for _, f := range b.Facts {
		slices.SortFunc(f.cuts, cut.compare)
	}
}

// nameEnds gives each derived end the values that some condition names: the others need not be told apart.
func (b *Base) nameEnds() {
	b.conds(func(c *Cond) {
		c.Walk(func(t *Test) {
			if t.Op == OpIn && t.Fact.ends != nil {
				for _, v := range t.Values {
					if v != "none" && !slices.Contains(t.Fact.named, v) {
						t.Fact.named = append(t.Fact.named, v)
					}
				}
			}
		})
	})
}

// size returns the number of values of a choice or cells of a number.
func (f *Fact) size() int {
	switch {
	case f.ends != nil:
		return len(f.named) + 2
	case f.Kind == Number:
		return len(f.cuts) + 1
	}
	return len(f.Values)
}

// Cell returns the cell of a number that v falls into.
func (f *Fact) Cell(v float64) int {
	i := 0
	for i < len(f.cuts) && (v > f.cuts[i].at || v == f.cuts[i].at && !f.cuts[i].below) {
		i++
	}
	return i
}

// Sample returns a number inside a cell: on its edge where the edge belongs to it, else between its edges, or a step beyond
// the only one.
func (f *Fact) Sample(cell int) float64 {
	if cell > 0 && !f.cuts[cell-1].below {
		return f.cuts[cell-1].at
	}
	if cell < len(f.cuts) && f.cuts[cell].below {
		return f.cuts[cell].at
	}
	switch {
	case len(f.cuts) == 0:
		return f.From
	case cell == 0 && f.From < f.cuts[0].at:
		return max(f.From, f.cuts[0].at-f.step())
	case cell == 0:
		return f.cuts[0].at - f.step()
	case cell == len(f.cuts) && f.To > f.cuts[cell-1].at:
		return min(f.To, f.cuts[cell-1].at+f.step())
	case cell == len(f.cuts):
		return f.cuts[cell-1].at + f.step()
	}
	return (f.cuts[cell-1].at + f.cuts[cell].at) / 2
}

func (f *Fact) step() float64 {
	if f.Step > 0 {
		return f.Step
	}
	return 1
}

// index returns the place of a value among the fact's diagram values.
func (f *Fact) index(value string) int {
	if f.ends != nil {
		if value == "none" {
			return len(f.named)
		}
		if i := slices.Index(f.named, value); i >= 0 {
			return i
		}
		return len(f.named) + 1
	}
	return slices.IndexFunc(f.Values, func(v Value) bool { return v.ID == value })
}

// placeVariables numbers the questions of the diagrams and orders them. Facts that meet in a condition, by their places in
// the base, come to stand near each other.
func (b *Base) placeVariables(meet [][]diagram.Var) Problems {
	var problems Problems
	add := func(f *Fact, value, size int) {
		if size > diagram.MaxValues {
			problems = append(problems, Diagnostic{Pos: f.Pos, Summary: fmt.Sprintf("%q has %d values or cells, at most %d are possible", f.ID, size, diagram.MaxValues)})
			return
		}
		f.vars = append(f.vars, diagram.Var(len(b.vars)))
		b.vars = append(b.vars, variable{f, value, size})
	}
	for _, f := range b.Facts {
		if f.Kind == Several {
			for i := range f.Values {
				add(f, i, 2)
			}
		} else {
			add(f, 0, f.size())
		}
		for _, end := range []string{f.First, f.Last} {
			if end != "" {
				add(b.facts[end], 0, b.facts[end].size())
			}
		}
	}
	if len(problems) > 0 {
		return problems
	}
	b.orderVariables(meet)
	b.seen = &seen{}
	b.conds(func(c *Cond) { c.Walk((*Test).place) })
	for _, l := range b.Limits {
		l.When.Walk((*Test).place)
	}
	b.pairValues()
	return nil
}

// pair is two values of one several-fact, by their questions.
type pair struct{ one, two diagram.Var }

// pairValues notes which values of a several-fact some condition speaks of together.
func (b *Base) pairValues() {
	b.together = map[pair]bool{}
	b.conds(func(c *Cond) {
		var said []diagram.Var
		c.Walk(func(t *Test) {
			list := t.Fact
			switch {
			case t.Op == OpIn && list.ends != nil:
				list = list.ends
			case t.Op != OpHas:
				return
			}
			earlier := said
			for _, value := range t.Values {
				i := list.index(value)
				if i < 0 { // the end of an empty list
					continue
				}
				v := list.vars[i]
				for _, other := range earlier {
					if b.vars[other].fact == list {
						b.together[pair{min(v, other), max(v, other)}] = true
					}
				}
				said = append(said, v)
			}
		})
	})
}

// meetings lists the facts that meet in a condition, by their places in the base.
func (b *Base) meetings() (groups [][]diagram.Var) {
	at := map[*Fact]diagram.Var{}
	for i, f := range b.Facts {
		at[f] = diagram.Var(i)
	}
	b.conds(func(c *Cond) {
		var g []diagram.Var
		c.Walk(func(t *Test) {
			if t.Fact == nil {
				return
			}
			if v := at[t.Fact.Parent()]; !slices.Contains(g, v) {
				g = append(g, v)
			}
		})
		if len(g) > 1 {
			groups = append(groups, g)
		}
	})
	for _, f := range b.Facts {
		f.Applies.Walk(func(t *Test) {
			if t.Fact != nil {
				groups = append(groups, []diagram.Var{at[f], at[t.Fact.Parent()]})
			}
		})
	}
	return groups
}

// orderVariables orders the facts by FORCE and lays the questions of each fact side by side, since a limit on how many
// values of a list are true at once would otherwise be multiplied with everything that stands between them. Lists with
// ends come first: which value is at which end ties so many questions together that what stands above them would be
// multiplied too. A ranking, which holds no truths, keeps the order of FORCE: its paths are shorter.
func (b *Base) orderVariables(meet [][]diagram.Var) {
	b.byForce = nil
	var lists, rest []diagram.Var
	for _, v := range diagram.Force(len(b.Facts), meet) {
		f := b.Facts[v]
		b.byForce = slices.Concat(b.byForce, b.endVars(f), f.vars)
		if ends := b.endVars(f); ends != nil {
			lists = slices.Concat(lists, ends, f.vars)
		} else {
			rest = append(rest, f.vars...)
		}
	}
	b.order = append(lists, rest...)
}

// Parent returns the fact itself, or of a derived end the list that it is an end of.
func (f *Fact) Parent() *Fact {
	if f.ends != nil {
		return f.ends
	}
	return f
}

func (b *Base) endVars(f *Fact) (vars []diagram.Var) {
	for _, end := range []string{f.First, f.Last} {
		if end != "" {
			vars = append(vars, b.facts[end].vars...)
		}
	}
	return vars
}

// checkLoops refuses findings that depend on themselves, and spells the circle out.
func (b *Base) checkLoops() Problems {
	needs := map[string][]string{}
	by := map[[2]string]*Rule{}
	for _, r := range b.Rules {
		for raised := range r.Raises {
			r.When.Walk(func(t *Test) {
				if t.Op == OpLevel {
					needs[raised] = append(needs[raised], t.Finding.ID)
					by[[2]string{raised, t.Finding.ID}] = r
				}
			})
		}
	}
	var problems Problems
	state := map[string]int{} // 1 on the path, 2 done
	var path []string
	var visit func(string)
	visit = func(id string) {
		state[id] = 1
		path = append(path, id)
		for _, n := range needs[id] {
			switch state[n] {
			case 0:
				visit(n)
			case 1:
				circle := append(slices.Clone(path[slices.Index(path, n):]), n)
				r := by[[2]string{id, n}]
				problems = append(problems, Diagnostic{Pos: r.Pos, Summary: "findings go in a circle: " + strings.Join(circle, " needs "), Fix: fmt.Sprintf("Break it, for instance in the rule %q.", r.ID)})
			}
		}
		path = path[:len(path)-1]
		state[id] = 2
	}
	for _, f := range b.Findings {
		if state[f.ID] == 0 {
			visit(f.ID)
		}
	}
	return problems
}
