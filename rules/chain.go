package rules

import "slices"

// Fired is a rule that fires, or may, with the tests of its condition that matter.
type Fired struct {
	Rule  *Rule
	Sure  bool // it fires in every case that the answers leave
	Tests []Tested
}

// Tested is one test of a condition, and for a test of a finding the rules that raise it.
type Tested struct {
	Test    *Test
	Negated bool // it matters that the test does not hold
	Sure    bool
	By      []*Fired
}

// Chain goes back from a rule to the answers: its tests that matter, and for findings the rules that raise them. Of
// alternatives it takes the first that is sure, or if there is none all that may hold.
func (d *Decision) Chain(r *Rule) *Fired {
	for i, rule := range d.work.s.Base.Rules {
		if rule == r {
			var f *Fired
			if d.work.s.Store.Try(func() { f = d.work.chain(i) }) == nil {
				return f
			}
		}
	}
	return nil
}

func (d *decider) chain(i int) *Fired {
	r := d.s.Base.Rules[i]
	f := &Fired{Rule: r, Sure: d.fires(i) == always}
	if r.When != nil {
		f.Tests = d.tests(r.When.Root, false)
	}
	return f
}

// tests lists the tests for which a condition holds, or, negated, for which it does not.
func (d *decider) tests(t *Test, negated bool) []Tested {
	n := d.s.test(t)
	if negated {
		n = d.s.Store.Not(n)
	}
	holds := d.settles(n)
	switch {
	case t.Op == OpNot:
		return d.tests(t.Args[0], !negated)
	case t.Op == OpAnd && !negated || t.Op == OpOr && negated:
		var all []Tested
		for _, a := range t.Args {
			all = append(all, d.tests(a, negated)...)
		}
		return all
	case t.Op == OpAnd || t.Op == OpOr:
		var may []Tested
		for _, a := range t.Args {
			n := d.s.test(a)
			if negated {
				n = d.s.Store.Not(n)
			}
			switch d.settles(n) {
			case always:
				return d.tests(a, negated)
			case open:
				may = append(may, d.tests(a, negated)...)
			}
		}
		return may
	}
	found := Tested{Test: t, Negated: negated, Sure: holds == always}
	if t.Op == OpLevel && raising(t, negated) {
		found.By = d.raisers(t)
	}
	return []Tested{found}
}

// raising reports whether a test of a finding holds because something raises it.
func raising(t *Test, negated bool) bool {
	upward := t.Cmp == ">" || t.Cmp == ">=" || t.Cmp == "==" && t.Level > 0 || t.Cmp == "!=" && t.Level == 0
	return upward != negated
}

// raisers returns a rule that surely raises a finding far enough for a test, or all that may.
func (d *decider) raisers(t *Test) (by []*Fired) {
	level := t.Level
	if t.Cmp == ">" || t.Cmp == "!=" || t.Cmp == "<=" {
		level++
	}
	var may []int
	for i, r := range d.s.Base.Rules {
		raised, ok := r.Raises[t.Finding.ID]
		if !ok || slices.Index(t.Finding.Scale, raised) < level {
			continue
		}
		switch d.fires(i) {
		case always:
			return []*Fired{d.chain(i)}
		case open:
			may = append(may, i)
		}
	}
	for _, i := range may {
		by = append(by, d.chain(i))
	}
	return by
}

// OpenRules counts the rules that read a fact and still hang on a blank.
func (d *Decision) OpenRules(f *Fact) (count int) {
	for i := range d.work.s.Base.Rules {
		if slices.Contains(d.work.facts(d.work.s.Rule(i)), f) && d.work.unsettled(i) {
			count++
		}
	}
	return count
}

// Never reports whether a rule fires in none of the cases that the answers leave.
func (d *Decision) Never(r *Rule) bool {
	for i, rule := range d.work.s.Base.Rules {
		if rule == r {
			return d.work.fires(i) == never
		}
	}
	return true
}

// Always reports whether a rule fires in every case that the answers leave.
func (d *Decision) Always(r *Rule) bool {
	for i, rule := range d.work.s.Base.Rules {
		if rule == r {
			return d.work.fires(i) == always
		}
	}
	return false
}

// Blanks lists the blank facts that a rule still hangs on, those that stand for a value too.
func (d *Decision) Blanks(r *Rule) (ids []string) {
	for i, rule := range d.work.s.Base.Rules {
		if rule == r && d.work.unsettled(i) {
			ids = d.work.s.Base.asked(d.work.facts(d.work.s.Rule(i)))
		}
	}
	return ids
}

// Unproven lists the blanks on which it hangs, by the tables, whether a method is of any use.
func (d *Decision) Unproven(o *Outcome) (ids []string) {
	for _, r := range o.Changes {
		if r.Cell == "" || !r.Gives[NoUse].Has(o.Method.Rank) {
			continue
		}
		for _, id := range d.Blanks(r) {
			if !slices.Contains(ids, id) {
				ids = append(ids, id)
			}
		}
	}
	return ids
}
