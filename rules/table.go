package rules

import (
	"fmt"
	"slices"
)

// Table actions, besides a verdict and the id of a step.
const (
	nothing = "nothing"
	care    = "caution"
)

var actionVerdicts = map[string]Verdict{"rule_out": RuledOut, "no_use": NoUse, "discourage": Discouraged, "favour": Favoured}

// expand fills a table from its cells and adds the rules that they stand for.
func (b *Base) expand(t *Table) Problems {
	var problems Problems
	fact := b.facts[t.Rows]
	rowIDs := fact.ValueIDs()
	t.at = map[string][]*Cell{}
	for _, r := range rowIDs {
		t.at[r] = make([]*Cell, len(b.Methods))
	}
	width := map[*Cell]int{}
	clash := map[[2]*Cell]bool{}
	for _, c := range t.Cells {
		var rows []string
		for _, name := range c.Rows {
			members := []string{name}
			if g := b.groups[name]; g != nil && g.Of == t.Rows {
				members = g.Is
			}
			for _, r := range members {
				if !fact.Has(r) {
					problems = append(problems, Diagnostic{Pos: c.Pos, Summary: fmt.Sprintf("%q is not a row of the table %q", r, t.ID), Fix: DidYouMean(r, rowIDs)})
				} else if !slices.Contains(rows, r) {
					rows = append(rows, r)
				}
			}
		}
		columns, unknown := b.MethodSet(c.Columns)
		for _, u := range unknown {
			problems = append(problems, Diagnostic{Pos: c.Pos, Summary: fmt.Sprintf("there is no method or group of methods %q", u), Fix: DidYouMean(u, b.MethodNames())})
		}
		n := 0
		for m := range b.Methods {
			if columns.Has(m) {
				n++
			}
		}
		width[c] = n * len(rows)
		for _, r := range rows {
			for m := range b.Methods {
				if !columns.Has(m) {
					continue
				}
				switch old := t.at[r][m]; {
				case old == nil || width[c] < width[old]:
					t.at[r][m] = c
				case width[c] == width[old] && !clash[[2]*Cell{old, c}]:
					clash[[2]*Cell{old, c}] = true
					problems = append(problems, Diagnostic{Pos: c.Pos, Summary: fmt.Sprintf("cells %q and %q both fill %s with %s, and neither is narrower", old.ID, c.ID, r, b.Methods[m].ID), Fix: fmt.Sprintf("Narrow one of them; the other is at %s.", old.Pos)})
				}
			}
		}
	}
	for _, r := range rowIDs {
		var empty []string
		for m, c := range t.at[r] {
			if c == nil {
				empty = append(empty, b.Methods[m].ID)
			}
		}
		if len(empty) > 0 {
			problems = append(problems, Diagnostic{Pos: t.Pos, Summary: fmt.Sprintf("the table %q has no cell for %s with %v", t.ID, r, empty), Fix: "Add a cell, if only a wide one."})
		}
	}
	if len(problems) > 0 {
		return problems
	}
	for _, c := range t.Cells {
		b.cellRules(t, fact, c)
	}
	return nil
}

// cellRules adds the rules of one cell: one for each set of methods that it fills in the same rows.
func (b *Base) cellRules(t *Table, fact *Fact, c *Cell) {
	action := t.Values[c.Is]
	if action == nothing {
		return
	}
	var rules []*Rule
	var sets [][]string
	for m := range b.Methods {
		var rows []string
		for _, v := range fact.Values {
			if t.at[v.ID][m] == c {
				rows = append(rows, v.ID)
			}
		}
		if rows == nil {
			continue
		}
		i := slices.IndexFunc(sets, func(s []string) bool { return slices.Equal(s, rows) })
		if i < 0 {
			i = len(sets)
			sets = append(sets, rows)
			id := t.ID + "/" + c.ID
			if i > 0 {
				id = fmt.Sprintf("%s/%d", id, i+1)
			}
			rules = append(rules, &Rule{ID: id, When: anyOf(fact, rows, c.Pos), Because: c.Because, Sources: c.Sources, Pos: c.Pos, Cell: t.ID})
		}
		r := rules[i]
		switch verdict, ok := actionVerdicts[action]; {
		case ok:
			if r.Gives == nil {
				r.Gives = map[Verdict]MethodSet{}
			}
			r.Gives[verdict] |= 1 << m
		case action == care:
			id := c.ID
			if b.notes[Caution][id] == nil {
				b.AddNote(&Note{Kind: Caution, ID: id, Gravity: "care", Say: c.Because, Do: c.Do, Sources: c.Sources, Pos: c.Pos})
			}
			r.Attach = map[NoteKind][]string{Caution: {id}}
			r.With |= 1 << m
		default:
			r.Attach = map[NoteKind][]string{Step: {action}}
			r.With |= 1 << m
		}
	}
	b.Rules = append(b.Rules, rules...)
}

// MethodNames lists the ids of methods and of groups of methods.
func (b *Base) MethodNames() []string {
	var names []string
	for _, m := range b.Methods {
		names = append(names, m.ID)
	}
	for _, g := range b.Groups {
		if g.Of == "method" {
			names = append(names, g.ID)
		}
	}
	return names
}

// At returns the cell value that fills a row and a method.
func (t *Table) At(row string, method *Method) string { return t.at[row][method.Rank].Is }

// Cell returns the cell that fills a row and a method.
func (t *Table) Cell(row string, method *Method) *Cell { return t.at[row][method.Rank] }
