package knowledge_test

import (
	"fmt"
	"maps"
	"math/bits"
	"slices"

	"patchfirst/rules"
)

// named lists the values of the end of a list that some condition of some bases tells apart.
func named(end string, bases []*rules.Base) map[string]bool {
	found := map[string]bool{"none": true}
	for _, b := range bases {
		for _, c := range conditions(b) {
			c.Walk(func(test *rules.Test) {
				if test.Op == rules.OpIn && test.Fact.ID == end {
					for _, v := range test.Values {
						found[v] = true
					}
				}
			})
		}
	}
	return found
}

func conditions(b *rules.Base) (all []*rules.Cond) {
	for _, f := range b.Facts {
		all = append(all, f.Applies, f.AtLeastWhen)
	}
	for _, r := range b.Rules {
		all = append(all, r.When)
	}
	for _, c := range b.Constraints {
		all = append(all, c.Never)
	}
	for _, p := range b.Promises {
		all = append(all, p.When)
	}
	return all
}

// answersLeft lists the answers to a fact that are left, one of each that some condition tells apart.
func answersLeft(f *rules.Fact, k kept, named map[string]map[string]bool) (all []answered) {
	switch f.Kind {
	case rules.Choice:
		for _, v := range f.Values {
			if k.has(v.ID) || f.Applies != nil && slices.Contains(f.Else, v.ID) {
				all = append(all, answered{f.ID: v.ID})
			}
		}
	case rules.Number:
		for cell := f.Cell(k.lo); cell <= f.Cell(k.hi); cell++ {
			all = append(all, answered{f.ID: f.Sample(cell)})
		}
		if elsewhere := f.Cell(f.ElseNumber); f.Applies != nil && (elsewhere < f.Cell(k.lo) || elsewhere > f.Cell(k.hi)) {
			all = append(all, answered{f.ID: f.Sample(elsewhere)})
		}
	case rules.Several:
		for set := range 1 << len(k.values) {
			if n := bits.OnesCount(uint(set)); f.Most > 0 && n > f.Most || k.just && n < len(k.values) {
				continue
			}
			list := []string{}
			for i, v := range k.values {
				if set>>i&1 == 1 {
					list = append(list, v)
				}
			}
			with := []answered{{f.ID: list}}
			for _, end := range []string{f.First, f.Last} {
				if end != "" {
					with = ends(with, end, list, named[end])
				}
			}
			all = append(all, with...)
		}
	}
	return all
}

// ends adds to answers what the end of a list can be: of the values that no condition names one stands for all.
func ends(to []answered, end string, list []string, named map[string]bool) (all []answered) {
	other := false
	if len(list) == 0 {
		list = []string{"none"}
	}
	for _, v := range list {
		if !named[v] && other {
			continue
		}
		other = other || !named[v]
		for _, a := range to {
			one := maps.Clone(a)
			one[end] = v
			all = append(all, one)
		}
	}
	return all
}

// same reports whether an answer says what another way to write it says, as far as conditions tell.
func same(f *rules.Fact, a answered, given rules.Answer, named map[string]map[string]bool) bool {
	switch f.Kind {
	case rules.Choice:
		return len(given.Values) == 1 && a[f.ID] == given.Values[0]
	case rules.Number:
		return f.Cell(a[f.ID].(float64)) == f.Cell(given.Lo)
	}
	list := a[f.ID].([]string)
	if len(list) != len(given.Values) || slices.ContainsFunc(list, func(v string) bool { return !slices.Contains(given.Values, v) }) {
		return false
	}
	for end, at := range map[string]int{f.First: 0, f.Last: len(list) - 1} {
		if end == "" || len(list) == 0 {
			continue
		}
		is, was := a[end].(string), given.Values[at]
		if is != was && (named[end][is] || named[end][was]) {
			return false
		}
	}
	return true
}

// isElse reports whether an answer is what a fact is where it does not apply.
func isElse(f *rules.Fact, a answered) bool {
	switch v := a[f.ID].(type) {
	case string:
		return v == f.Else[0]
	case float64:
		return v == f.ElseNumber
	case []string:
		return len(v) == len(f.Else) && !slices.ContainsFunc(v, func(s string) bool { return !slices.Contains(f.Else, s) })
	}
	panic(fmt.Sprintf("%v is no answer", a))
}
