package rules

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"patchfirst/rules/diagram"
)

// CutFinely cuts every number on both sides of each place where a condition cuts it, so that conditions which differ only
// in whether the place itself belongs to them can be told apart.
func (b *Base) CutFinely() error {
	for _, f := range b.Facts {
		if 2*len(f.cuts) >= diagram.MaxValues {
			continue
		}
		for _, c := range slices.Clone(f.cuts) {
			if twin := (cut{c.at, !c.below}); !slices.Contains(f.cuts, twin) {
				f.cuts = append(f.cuts, twin)
			}
		}
		slices.SortFunc(f.cuts, cut.compare)
	}
	b.vars = nil
	for _, f := range b.facts {
		f.vars = nil
	}
	return b.placeVariables(b.meetings()).Err()
}

// Copy returns a copy of a condition whose tests may be changed, which Settle makes usable again.
func (c *Cond) Copy() *Cond {
	if c == nil {
		return nil
	}
	return &Cond{Text: c.Text, Root: c.Root.copy(), Pos: c.Pos}
}

func (t *Test) copy() *Test {
	twin := *t
	twin.Values, twin.Args = slices.Clone(t.Values), nil
	for _, a := range t.Args {
		twin.Args = append(twin.Args, a.copy())
	}
	return &twin
}

// Settle makes a condition usable whose tests were changed.
func (c *Cond) Settle() {
	c.Walk((*Test).place)
	c.Text = c.Root.String()
}

// String writes the test as a condition does, groups spelled out.
func (t *Test) String() string {
	switch t.Op {
	case OpAnd, OpOr:
		parts := make([]string, len(t.Args))
		for i, a := range t.Args {
			parts[i] = a.String()
			if a.Op == OpAnd || a.Op == OpOr {
				parts[i] = "(" + parts[i] + ")"
			}
		}
		return strings.Join(parts, map[Op]string{OpAnd: " && ", OpOr: " || "}[t.Op])
	case OpNot:
		return "!(" + t.Args[0].String() + ")"
	case OpHas:
		return fmt.Sprintf("%q in %s", t.Values[0], t.Fact.ID)
	case OpCmp:
		return fmt.Sprintf("%s %s %g", t.Fact.ID, t.Cmp, t.Number)
	case OpLevel:
		return fmt.Sprintf("%s %s %q", t.Finding.ID, t.Cmp, t.Finding.Scale[t.Level])
	}
	if len(t.Values) == 1 {
		return fmt.Sprintf("%s %s %q", t.Fact.ID, map[bool]string{false: "==", true: "!="}[t.Negated], t.Values[0])
	}
	quoted := make([]string, len(t.Values))
	for i, v := range t.Values {
		quoted[i] = fmt.Sprintf("%q", v)
	}
	text := fmt.Sprintf("%s in [%s]", t.Fact.ID, strings.Join(quoted, ", "))
	if t.Negated {
		return "!(" + text + ")"
	}
	return text
}

// with returns the base with another rule in the place of one.
func (b *Base) with(i int, r *Rule) *Base {
	twin := *b
	twin.Rules = slices.Clone(b.Rules)
	twin.Rules[i] = r
	return &twin
}

// reads reports whether a condition reads one of some findings.
func (c *Cond) reads(findings map[*Finding]bool) (found bool) {
	c.Walk(func(t *Test) { found = found || t.Finding != nil && findings[t.Finding] })
	return found
}

// With returns the space of the base with another rule in the place of one, and which rules then fire elsewhere. It uses
// the same store, and what is known already.
func (s *Space) With(i int, r *Rule) (*Space, []int) {
	twin := *s
	twin.Base = s.Base.with(i, r)
	twin.rules = slices.Clone(s.rules)
	twin.rules[i] = s.Node(r.When)
	twin.verdicts, twin.places = unknown(len(s.verdicts)), unknown(len(s.places))
	before := s.Base.Rules[i]
	raised := map[*Finding]bool{}
	for _, which := range []*Rule{before, r} {
		for id := range which.Raises {
			raised[s.Base.findings[id]] = true
		}
	}
	if len(raised) == 0 || twin.rules[i] == s.Rule(i) && maps.Equal(before.Raises, r.Raises) {
		return &twin, []int{i}
	}
	twin.raisers = maps.Clone(s.raisers)
	for f := range raised {
		twin.raisers[f] = nil
		for _, other := range twin.Base.Rules {
			if _, ok := other.Raises[f.ID]; ok {
				twin.raisers[f] = append(twin.raisers[f], other)
			}
		}
	}
	// Findings that are raised by what reads a finding that may change may change too.
	for grown := true; grown; {
		grown = false
		for _, other := range s.Base.Rules {
			if len(other.Raises) == 0 || !other.When.reads(raised) {
				continue
			}
			for id := range other.Raises {
				if f := s.Base.findings[id]; !raised[f] {
					raised[f], grown = true, true
				}
			}
		}
	}
	twin.findings = maps.Clone(s.findings)
	for f := range raised {
		delete(twin.findings, f)
	}
	changed := []int{i}
	for j, other := range s.Base.Rules {
		if j != i && other.When.reads(raised) {
			if twin.rules[j] = twin.Node(other.When); twin.rules[j] != s.Rule(j) {
				changed = append(changed, j)
			}
		}
	}
	return &twin, changed
}

// With decides the same case by the base with another rule in the place of one. Only what that can change is decided
// again. Nil: nothing of the case can change.
func (o *Outline) With(i int, r *Rule) *Outline {
	s := o.d.s
	before := s.Base.Rules[i]
	node := s.Node(r.When)
	if alike := before.sameEffects(r); alike && node == s.Rule(i) || node == diagram.False && s.Rule(i) == diagram.False {
		return nil
	}
	space, changed := s.With(i, r)
	d := *o.d
	d.s = space
	d.status, d.refusals = slices.Clone(d.status), slices.Clone(d.refusals)
	d.good, d.against = slices.Clone(d.good), slices.Clone(d.against)
	var touched, refused MethodSet
	for _, j := range changed {
		d.status[j] = unasked
		for _, which := range []*Rule{s.Base.Rules[j], space.Base.Rules[j]} {
			touched |= which.With
			for _, set := range which.Gives {
				touched |= set
			}
			refused |= which.Gives[RuledOut]
		}
	}
	if !before.sameEffects(r) {
		d.byMethod = slices.Clone(d.byMethod)
		for m := range s.Base.Methods {
			if touched.Has(m) {
				d.byMethod[m] = space.preferring(m)
			}
		}
	}
	twin := newOutline(&d)
	for m := range s.Base.Methods {
		if !touched.Has(m) {
			twin.keep(o, m)
			continue
		}
		switch {
		case !refused.Has(m):
			if open, ok := o.open[m]; ok {
				twin.open[m] = open
			}
		case slices.ContainsFunc(o.refusedBy(m), func(j int) bool { return !slices.Contains(changed, j) }):
			twin.open[m] = false
		default:
			d.refusals[m], d.good[m], d.against[m] = uncompiled, diagram.False, nil
		}
	}
	return twin
}

// keep takes over what is known of a method.
func (o *Outline) keep(from *Outline, m int) {
	if v, ok := from.verdicts[m]; ok {
		o.verdicts[m] = v
	}
	if p, ok := from.places[m]; ok {
		o.places[m] = p
	}
}

// preferring lists the rules that give a method a verdict other than ruled out.
func (s *Space) preferring(m int) (list []int) {
	for i, r := range s.Base.Rules {
		for v, set := range r.Gives {
			if v != RuledOut && set.Has(m) {
				list = append(list, i)
			}
		}
	}
	return list
}

// sameEffects reports whether two rules do the same where they fire.
func (r *Rule) sameEffects(other *Rule) bool {
	return r.With == other.With && maps.Equal(r.Gives, other.Gives) && maps.Equal(r.Raises, other.Raises) &&
		maps.EqualFunc(r.Attach, other.Attach, slices.Equal)
}

// Some returns a case that can occur and has some answers; nil if it is not found quickly.
func (s *Space) Some(answers Answers) []uint8 {
	values, _ := s.Near(nil, s.Inside(s.Base.limit(answers)))
	return values
}

// Find looks for a case that can occur in which all the functions are True.
func (s *Space) Find(nodes ...diagram.Node) ([]uint8, diagram.Outcome) {
	values, outcome := s.world(Free).find(nodes...)
	if outcome == diagram.NotSettled {
		n := s.Store.AndAll(append(slices.Clone(nodes), s.All()))
		if values, ok := s.Store.Pick(n); ok {
			return values, diagram.Found
		}
		return nil, diagram.None
	}
	return values, outcome
}
