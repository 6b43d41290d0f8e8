package rules

// Limit bounds a reading that is taken while the work goes on. It takes no part in deciding a case: whoever keeps the
// readings asks for the limits of the case, and for each of them whether a reading keeps it.
type Limit struct {
	ID      string
	Reading string // what is bounded, by the name that the keeper of the readings gives it
	Stage   string // of the work that waits for it: one of WorkStages
	When    *Cond  // nil: always; it names questions with values only
	With    MethodSet
	Least   *float64
	Most    *float64
	Unit    string
	Needs   string // the limit in words, where the number says little; may be empty
	Hold    string // the hold point that is passed by it; empty: none
	Say     string // what to do while the limit is not kept
	Because string
	Sources []string
	Pos     Pos
}

// Keeps reports whether a reading lies within the limit.
func (l *Limit) Keeps(reading float64) bool {
	return (l.Least == nil || reading >= *l.Least) && (l.Most == nil || reading <= *l.Most)
}

// LimitsOn returns the limits on a reading for a stage of the work, by a method or by any (nil). A limit counts if it may
// hold in some case that the answers allow, so not knowing never loosens one.
func (b *Base) LimitsOn(reading, stage string, m *Method, answers Answers) (limits []*Limit) {
	possible := b.limit(answers)
	for _, l := range b.Limits {
		if l.Reading != reading || l.Stage != stage || m != nil && l.With != 0 && !l.With.Has(m.Rank) {
			continue
		}
		if l.When == nil || b.certain(l.When.Root, possible) != no {
			limits = append(limits, l)
		}
	}
	return limits
}
