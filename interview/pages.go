package interview

import (
	"slices"
	"strings"

	"patchfirst/explain"
	"patchfirst/rules"
)

// The things to choose on a page, beside its answers, which go by the ids of their facts.
const (
	pageDone    = "ok"
	pageDiffers = "differs"
	hubPart     = "part"
	hubFinish   = "finish"
	hubCheck    = "check "
)

// page shows the answers about a part, to look over and change.
func (s *session) page(part string) *turn {
	a := &Ask{Heading: s.about(part) + ": check the answers", Text: "Is all of this right?", Kind: One, Help: "Choose an answer to change it."}
	a.Options = []Option{{pageDone, "all is right, go on"}}
	all := s.now.answers(part)
	for _, f := range s.base.Facts {
		answer, ok := s.now.own(part)[f.ID]
		words := explain.Answer(f, answer)
		switch {
		case !ok && s.now.notKnown(part)[f.ID]:
			words = notKnown
		case !ok || applies(f, all) == no:
			continue
		}
		a.Options = append(a.Options, Option{f.ID, words + " (" + f.Ask + ")"}) // the answer first, to be read at a glance
	}
	if part != "" {
		a.Options = append(a.Options, Option{pageDiffers, "something about the building is different at this part"})
	}
	return &turn{a, func(st *state, r Reply) string {
		switch id := r.Values[0]; id {
		case pageDone:
			st.checked[part] = true
		case pageDiffers:
			st.differs = part
		default:
			st.out = place{part, id}
		}
		return ""
	}}
}

// siteFact asks which answer about the site is different at a part.
func (s *session) siteFact(part string) *turn {
	a := &Ask{Heading: part, Text: "What is different at this part?", Kind: One}
	for _, f := range s.base.Facts {
		if f.Asked() && f.Scope == site && applies(f, s.now.answers(part)) != no {
			label := f.Ask
			if answer, ok := s.now.answers(part)[f.ID]; ok {
				label += " " + explain.Answer(f, answer)
			}
			a.Options = append(a.Options, Option{f.ID, label})
		}
	}
	return &turn{a, func(st *state, r Reply) string {
		st.differs, st.out = "", place{part, r.Values[0]}
		return ""
	}}
}

// clash shows answers that cannot stand together, and lets the person change one.
func (s *session) clash(part string, c *rules.Contradiction) (*turn, error) {
	a := &Ask{Heading: s.about(part), Kind: One, Help: "Choose the one to change."}
	for _, f := range s.base.Facts {
		if answer, ok := s.now.answers(part)[f.ID]; ok && slices.Contains(c.Facts, f.ID) {
			a.Options = append(a.Options, Option{f.ID, f.Ask + " " + explain.Answer(f, answer)})
		}
	}
	if len(a.Options) == 0 {
		return nil, c
	}
	a.Text = "These answers cannot stand together."
	for _, k := range c.Constraints {
		a.Text += " " + strings.TrimSpace(k.Because)
	}
	return &turn{a, func(st *state, r Reply) string {
		at := place{part, r.Values[0]}
		if _, ok := st.own(part)[at.fact]; !ok {
			at.part = ""
		}
		st.out = at
		return ""
	}}, nil
}

// hub asks what to do when no question is open.
func (s *session) hub() *turn {
	a := &Ask{Heading: "no question is open", Text: "What next?", Kind: One}
	a.Options = []Option{{hubFinish, "finish"}, {hubPart, "another part"}, {hubCheck, "check the answers about the building"}}
	for _, e := range s.now.job.Elements {
		a.Options = append(a.Options, Option{hubCheck + e.Name, "check the answers about " + explain.Clean(e.Name)})
	}
	return &turn{a, func(st *state, r Reply) string {
		switch id := r.Values[0]; id {
		case hubFinish:
			st.over = true
		case hubPart:
			st.naming = true
		default:
			part := strings.TrimPrefix(id, hubCheck)
			st.asked[part] = true
			delete(st.checked, part)
		}
		return ""
	}}
}
