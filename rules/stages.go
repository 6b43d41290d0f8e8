package rules

import "slices"

// Stage is one stage of a job that no single method does.
type Stage struct {
	Rows   []string   // what it takes, in the order of the list
	Method *Outcome   // as for a case with just that run, but its notes are those for the whole
	Others []*Outcome // that would take the same rows
}

// stages cuts the job into stages when no method but those that keep everything takes every row of the list: from its
// start the longest run that one method takes that is not ruled out for the whole, of those methods the first choice of
// a case with just that run; and again.
func (b *Base) stages(dec *Decision, answers Answers) error {
	st := b.Stages
	a, ok := answers[st.Fact]
	if !ok || len(a.Values) < 2 || a.MoreBefore || a.MoreAfter {
		return nil
	}
	refused := true
	for _, o := range dec.Methods {
		if o.Method.Keeps || o.Method.LastResort {
			continue
		}
		if o.Verdict.Offered() {
			return nil
		}
		refused = refused && o.Verdict == RuledOut
	}
	if refused {
		return nil
	}
	table := b.table(st.Table)
	takes := func(m *Method, row string) bool { return slices.Contains(st.Takes, table.At(row, m)) }
	var used MethodSet
	rows := a.Values
	for len(rows) > 0 {
		longest := 0
		reach := make([]int, len(b.Methods))
		for m, o := range dec.Methods {
			if o.Verdict == RuledOut || o.Method.Keeps || o.Method.LastResort || st.barred(o.Method, used) {
				continue
			}
			for reach[m] < len(rows) && takes(o.Method, rows[reach[m]]) {
				reach[m]++
			}
			longest = max(longest, reach[m])
		}
		// The longest run for which one of the methods that take it is offered: a rule may call them of no use on it.
		var able []*Outcome
		n := longest
		for ; n > 0 && len(able) == 0; n-- {
			part, contradiction, err := b.decideOnly(answers.With(st.Fact, Answer{Values: rows[:n]}))
			if err != nil {
				return err
			}
			if contradiction != nil {
				continue
			}
			for _, o := range append([]*Outcome{part.First}, part.Fallback...) {
				if reach[o.Method.Rank] >= n && o.Verdict.Offered() {
					able = append(able, o)
				}
			}
		}
		if len(able) == 0 {
			dec.Unreached, dec.StagesOpen = rows, true
			return nil
		}
		n++
		m := able[0].Method.Rank
		if err := dec.work.s.Store.Try(func() { dec.Methods[m].Notes = dec.work.notes(m) }); err != nil {
			return err
		}
		able[0].Notes = dec.Methods[m].Notes
		dec.Stages = append(dec.Stages, Stage{Rows: rows[:n], Method: able[0], Others: able[1:]})
		used |= 1 << m
		rows = rows[n:]
	}
	return nil
}

// decideOnly is Decide without stages.
func (b *Base) decideOnly(answers Answers) (*Decision, *Contradiction, error) {
	whole := *b
	whole.Stages = nil
	return whole.Decide(answers)
}

func (s *Stages) barred(m *Method, used MethodSet) bool {
	for _, n := range s.NotAfter {
		if n.After&used != 0 && n.Bar.Has(m.Rank) {
			return true
		}
	}
	return false
}

func (b *Base) table(id string) *Table {
	for _, t := range b.Tables {
		if t.ID == id {
			return t
		}
	}
	return nil
}

// With returns the answers with one replaced.
func (a Answers) With(fact string, answer Answer) Answers {
	c := make(Answers, len(a)+1)
	for k, v := range a {
		c[k] = v
	}
	c[fact] = answer
	return c
}

func (a Answers) has(fact string) bool {
	_, ok := a[fact]
	return ok
}
