package rules

import "slices"

// Stage is one stage of a job that no single method does.
type Stage struct {
	Rows   []string // what it takes, in the order of the list
	Method *Outcome
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
		var candidates MethodSet
		for _, o := range dec.Methods {
			if o.Verdict == RuledOut || o.Method.Keeps || o.Method.LastResort || st.barred(o.Method, used) {
				continue
			}
			n := 0
			for n < len(rows) && takes(o.Method, rows[n]) {
				n++
			}
			if n > longest {
				longest, candidates = n, 0
			}
			if n == longest && n > 0 {
				candidates |= 1 << o.Method.Rank
			}
		}
		if longest == 0 {
			dec.Unreached = rows
			dec.StagesOpen = true
			break
		}
		run := answers.With(st.Fact, Answer{Values: rows[:longest]})
		part, contradiction, err := b.decideOnly(run)
		if err != nil {
			return err
		}
		if contradiction != nil {
			dec.Unreached, dec.StagesOpen = rows, true
			break
		}
		var able []*Outcome
		for _, o := range append([]*Outcome{part.First}, part.Fallback...) {
			if candidates.Has(o.Method.Rank) {
				able = append(able, o)
			}
		}
		if len(able) == 0 {
			dec.Unreached, dec.StagesOpen = rows, true
			break
		}
		dec.Stages = append(dec.Stages, Stage{Rows: rows[:longest], Method: able[0], Others: able[1:]})
		used |= 1 << able[0].Method.Rank
		rows = rows[longest:]
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
