package interview

import (
	"slices"

	"patchfirst/rules"
)

// truth is what is known of a condition.
type truth int

const (
	maybe truth = iota
	yes
	no
)

func (t truth) not() truth { return [...]truth{maybe: maybe, yes: no, no: yes}[t] }

func known(all, none bool) truth {
	switch {
	case all:
		return yes
	case none:
		return no
	}
	return maybe
}

// holds decides a condition as far as the answers alone can: it raises no findings and knows no constraints, so maybe
// is always a right result. It is quick, and it is not what decides; rules.Base does that.
func holds(t *rules.Test, answers rules.Answers) truth {
	switch t.Op {
	case rules.OpNot:
		return holds(t.Args[0], answers).not()
	case rules.OpAnd, rules.OpOr:
		settles := no
		if t.Op == rules.OpOr {
			settles = yes
		}
		all := settles.not()
		for _, arg := range t.Args {
			switch holds(arg, answers) {
			case settles:
				return settles
			case maybe:
				all = maybe
			}
		}
		return all
	case rules.OpLevel:
		return maybe
	}
	f := t.Fact
	a, ok := answers[f.ID]
	if !ok {
		if applies(f, answers) != no {
			return maybe
		}
		a = rules.Answer{Values: f.Else, Lo: f.ElseNumber, Hi: f.ElseNumber}
	}
	switch t.Op {
	case rules.OpHas:
		has := slices.Contains(a.Values, t.Values[0])
		complete := !a.MoreBefore && !a.MoreAfter && (f.AtLeastWhen == nil || holds(f.AtLeastWhen.Root, answers) == no)
		return known(has, complete && !has)
	case rules.OpCmp:
		return compare(a.Lo, a.Hi, t.Cmp, t.Number)
	}
	in := 0
	for _, v := range a.Values {
		if slices.Contains(t.Values, v) {
			in++
		}
	}
	result := known(in == len(a.Values), in == 0)
	if t.Negated {
		return result.not()
	}
	return result
}

func compare(lo, hi float64, op string, n float64) truth {
	switch op {
	case "<":
		return known(hi < n, lo >= n)
	case "<=":
		return known(hi <= n, lo > n)
	case ">":
		return known(lo > n, hi <= n)
	case ">=":
		return known(lo >= n, hi < n)
	case "==":
		return known(lo == n && hi == n, hi < n || lo > n)
	}
	return known(hi < n || lo > n, lo == n && hi == n)
}

// applies says whether a question applies to the case.
func applies(f *rules.Fact, answers rules.Answers) truth {
	if f.Applies == nil {
		return yes
	}
	return holds(f.Applies.Root, answers)
}
