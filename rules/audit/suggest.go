package audit

import (
	"maps"
	"slices"
	"strings"

	"patchfirst/rules"
	"patchfirst/rules/cases"
	"patchfirst/rules/diagram"
)

// suggestion is a case file for one rule: what the rule says where it fires, and variants of that situation in which a
// fault of the rule shows otherwise.
type suggestion struct {
	rule     *rules.Rule
	given    rules.Answers
	expect   string
	fires    bool // the expectation is what the rule says
	variants []variant
}

type variant struct {
	given  rules.Answers
	expect string
	fires  bool
	fault  string
}

// suggester looks for cases that catch faults.
type suggester struct {
	in    *inspector
	run   *runner
	seeds [][]uint8 // cases like those of the case files
}

// Suggest gives each rule of which a fault lives a case file that would catch its faults, with the first of them. Cases are
// like those of the case files where they can be. A fault for which none is found keeps none.
func (m *Mutation) Suggest(all []cases.Case, prepare Prepare, nodeCap int) error {
	s, err := m.Base.Compile(nil, nodeCap)
	if err != nil {
		return err
	}
	g := &suggester{in: newInspector(s), run: newRunner(s, nil, prepare)}
	err = s.Store.Try(func() {
		for _, c := range all {
			if values := s.Some(c.Given); values != nil {
				g.seeds = append(g.seeds, values)
			}
		}
	})
	if err != nil {
		return err
	}
	for from := 0; from < len(m.Tried); {
		to := from + 1
		for to < len(m.Tried) && m.Tried[to].Place == m.Tried[from].Place {
			to++
		}
		if err := s.Store.Try(func() { err = g.rule(m.Tried[from:to]) }); err != nil {
			return err
		}
		if err != nil {
			return err
		}
		from = to
	}
	return nil
}

// rule suggests cases for the faults of one rule.
func (g *suggester) rule(faults []Tried) error {
	var live []*Tried
	for i := range faults {
		if faults[i].Fate == Live {
			live = append(live, &faults[i])
		}
	}
	if live == nil {
		return nil
	}
	// The fault that shows most of the rule comes first: that it is gone.
	slices.SortStableFunc(live, func(a, b *Tried) int {
		return strings.Compare(map[bool]string{true: "0", false: "1"}[a.Fault == Deleted], map[bool]string{true: "0", false: "1"}[b.Fault == Deleted])
	})
	var file *suggestion
	var base []uint8
	caught := map[*Tried]bool{}
	for _, t := range live {
		if caught[t] {
			continue
		}
		var found *found
		var err error
		for _, seed := range g.around(t, base) {
			if found, err = g.catch(t, seed, file); err != nil {
				return err
			}
			if found != nil {
				break
			}
		}
		if found == nil {
			continue
		}
		if file == nil {
			base = found.values
			file = &suggestion{rule: t.Rule, given: found.given, expect: found.expect, fires: found.fires}
		} else {
			file.variants = append(file.variants, variant{found.given, found.expect, found.fires, t.fault()})
		}
		for _, other := range live {
			if !caught[other] {
				kills, err := g.kills(other, found.whole, found.c)
				if err != nil {
					return err
				}
				caught[other] = kills
			}
		}
	}
	if file != nil {
		live[0].Case = file.write(g.in.s.Base)
	}
	return nil
}

func (m Mutant) fault() string {
	if m.Is == "" {
		return m.Was + " dropped"
	}
	return m.Was + " becoming " + m.Is
}

// around lists cases to look near: the base case of the file, else cases in which the rule fires, else any.
func (g *suggester) around(t *Tried, base []uint8) (seeds [][]uint8) {
	const most = 3
	if base != nil {
		return [][]uint8{base}
	}
	for _, fires := range []int{1, 0} {
		for _, s := range g.seeds {
			if len(seeds) < most && g.in.s.Store.Eval(g.in.s.Rule(t.Place), s) == fires {
				seeds = append(seeds, s)
			}
		}
	}
	return append(seeds, t.Diff.values)
}

// found is a case that catches a fault.
type found struct {
	values []uint8
	given  rules.Answers // for a variant only what differs
	whole  rules.Answers
	expect string
	fires  bool
	c      *cases.Case
}

// catch looks for a case near a seed that catches a fault, with few answers. Below a file only what differs from it counts.
func (g *suggester) catch(t *Tried, seed []uint8, file *suggestion) (*found, error) {
	in := g.in
	diff := in.differsBy(&t.Mutant, func(m *Mutant, e effect, n diagram.Node) []uint8 {
		if n == diagram.False {
			return nil
		}
		values, _ := in.s.Near(seed, append(in.alone(m.Place, e), n)...)
		return values
	})
	if diff == nil {
		diff = t.Diff
	}
	asked := g.asked(in.s.Base.Answers(diff.values))
	c, text, fires := g.expect(t, diff)
	if ok, err := g.kills(t, asked, c); err != nil || !ok {
		return nil, err
	}
	f := &found{values: diff.values, expect: text, fires: fires, c: c}
	var err error
	if file == nil {
		f.given, err = g.fewest(asked, nil, t, c)
		f.whole = f.given
		return f, err
	}
	other := rules.Answers{}
	for id, a := range asked {
		if before, ok := file.given[id]; !ok || !same(before, a) {
			other[id] = a
		}
	}
	f.given, err = g.fewest(other, file.given, t, c)
	f.whole = merge(file.given, f.given)
	return f, err
}

func merge(a, b rules.Answers) rules.Answers {
	all := rules.Answers{}
	maps.Copy(all, a)
	maps.Copy(all, b)
	return all
}

func same(a, b rules.Answer) bool {
	return slices.Equal(a.Values, b.Values) && a.Lo == b.Lo && a.Hi == b.Hi
}

// asked leaves out what is computed.
func (g *suggester) asked(answers rules.Answers) rules.Answers {
	for _, f := range g.in.s.Base.Facts {
		if !f.Asked() {
			delete(answers, f.ID)
		}
	}
	return answers
}

// fewest leaves out answers, several at a time, as long as the case still catches the fault.
func (g *suggester) fewest(answers, below rules.Answers, t *Tried, c *cases.Case) (rules.Answers, error) {
	ids := slices.Sorted(maps.Keys(answers))
	for size := max(1, len(ids)/2); size > 0; size /= 2 {
		for i := 0; i < len(ids); {
			cut := ids[i:min(len(ids), i+size)]
			fewer := maps.Clone(answers)
			for _, id := range cut {
				delete(fewer, id)
			}
			ok, err := g.kills(t, merge(below, fewer), c)
			if err != nil {
				return nil, err
			}
			if ok {
				answers, ids = fewer, slices.Concat(ids[:i], ids[i+len(cut):])
			} else {
				i += size
			}
		}
	}
	return answers, nil
}

// kills reports whether a case comes out as expected without a fault, and not with it.
func (g *suggester) kills(t *Tried, given rules.Answers, c *cases.Case) (kills bool, err error) {
	if given == nil {
		given = rules.Answers{}
	}
	o, contradiction, err := g.run.b.Outline(g.run.ready(given))
	if err != nil || contradiction != nil {
		return false, err
	}
	err = o.Try(func() {
		twin := o.With(t.Place, t.Twin)
		kills = twin != nil && !c.Met(g.run.b, twin) && c.Met(g.run.b, o)
	})
	return kills, err
}
