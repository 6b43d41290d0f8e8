package audit

import (
	"maps"
	"slices"

	"patchfirst/rules"
)

// simplest leaves out answers of a whole case, as long as what is left shows something. It first tries the answers to a few
// facts alone. Answers to the facts that stay are not left out. Not ok: even the whole case does not show it, for instance
// because a figure is computed from answers to something that the diagrams do not know.
func simplest(b *rules.Base, whole rules.Answers, few, stay []string, shows func(rules.Answers) (bool, error)) (rules.Answers, bool, error) {
	const most, usual = 100, 4 // tries in all, and of the first answers of a question
	asked := func(of func(*rules.Fact) bool) rules.Answers {
		answers := rules.Answers{}
		for _, f := range b.Facts {
			if a, ok := whole[f.ID]; ok && f.Asked() && of(f) {
				answers[f.ID] = a
			}
		}
		return answers
	}
	answers := asked(func(f *rules.Fact) bool {
		return slices.ContainsFunc(few, func(id string) bool { return f.ID == id || f.First == id || f.Last == id })
	})
	ok, err := shows(answers)
	if err == nil && !ok {
		answers = asked(func(*rules.Fact) bool { return true })
		ok, err = shows(answers)
	}
	if err != nil || !ok {
		return nil, false, err
	}
	// The last questions go first, several at a time as long as that works.
	var ids []string
	for _, f := range slices.Backward(b.Facts) {
		if _, ok := answers[f.ID]; ok && !slices.Contains(stay, f.ID) {
			ids = append(ids, f.ID)
		}
	}
	tries := 0
	for size := max(1, len(ids)/4); size > 0; size /= 2 {
		for i := 0; i < len(ids) && tries < most; {
			fewer := rules.Answers{}
			cut := ids[i:min(len(ids), i+size)]
			for id, a := range answers {
				if !slices.Contains(cut, id) {
					fewer[id] = a
				}
			}
			tries++
			ok, err := shows(fewer)
			if err != nil {
				return nil, false, err
			}
			if ok {
				answers, ids = fewer, slices.Concat(ids[:i], ids[i+len(cut):])
			} else {
				i += size
			}
		}
	}
	try := func(id string, values ...string) (bool, error) {
		other := answers.With(id, rules.Answer{Values: values})
		tries++
		ok, err := shows(other)
		if ok {
			answers = other
		}
		return ok, err
	}
	for _, id := range slices.Sorted(maps.Keys(answers)) {
		for i := len(answers[id].Values) - 1; i >= 0 && len(answers[id].Values) > 1 && tries < most; i-- {
			was := answers[id].Values
			if _, err := try(id, slices.Concat(was[:i], was[i+1:])...); err != nil {
				return nil, false, err
			}
		}
		f := b.Fact(id)
		if f.Kind != rules.Choice || slices.Contains(stay, id) {
			continue
		}
		// The first answers of a question are the most usual ones.
		before := slices.Index(f.ValueIDs(), answers[id].Values[0])
		for _, v := range f.ValueIDs()[:min(usual, before)] {
			if tries >= most {
				break
			}
			if ok, err := try(id, v); err != nil {
				return nil, false, err
			} else if ok {
				break
			}
		}
	}
	return answers, true, nil
}
