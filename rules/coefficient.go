package rules

import "slices"

// Coefficient is a value for sums that are done outside the decisions: a text that whoever does the sums reads. It holds for
// some methods, and where every answer that is still possible is among those it names. Of several with one id the first
// that holds counts, so the narrower ones stand before the general one.
type Coefficient struct {
	ID, Is  string
	Of      MethodSet
	Where   map[string][]string // by fact, groups opened
	Say     string              // what to know about it; may be empty
	Sources []string
	Pos     Pos
}

// Coefficient returns the coefficient of an id for a method on a case, or nil if none holds.
func (b *Base) Coefficient(id string, m *Method, answers Answers) *Coefficient {
	for _, c := range b.Coefficients {
		if c.ID == id && c.Of.Has(m.Rank) && c.holds(answers) {
			return c
		}
	}
	return nil
}

func (c *Coefficient) holds(answers Answers) bool {
	for fact, values := range c.Where {
		a, ok := answers[fact]
		outside := func(v string) bool { return !slices.Contains(values, v) }
		if !ok || a.MoreBefore || a.MoreAfter || len(a.Values) == 0 || slices.ContainsFunc(a.Values, outside) {
			return false
		}
	}
	return true
}

// Values opens the groups among names of values of a fact; unknown names are returned.
func (b *Base) Values(f *Fact, names []string) (values, unknown []string) {
	for _, name := range names {
		ids := []string{name}
		if g := b.groups[name]; g != nil && g.Of == f.ID {
			ids = g.Is
		}
		for _, id := range ids {
			if !f.Has(id) {
				unknown = append(unknown, id)
			} else if !slices.Contains(values, id) {
				values = append(values, id)
			}
		}
	}
	return values, unknown
}
