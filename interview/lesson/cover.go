package lesson

import (
	"patchfirst/rules"
)

// Covered is a rule that rules something out, and where it is taught.
type Covered struct {
	Rule    *rules.Rule
	Lessons []string // names of lessons that teach it
	Made    bool     // no lesson does, and one that was made to try it can
}

// Taught reports whether some lesson or some exercise that can be made teaches the rule.
func (c *Covered) Taught() bool { return len(c.Lessons) > 0 || c.Made }

// Cover says of every rule that rules something out where it is taught. For rules that no lesson teaches one is made:
// it can then be had from Make, with the rule as its topic.
func (s *School) Cover(from []*Lesson, checked []*Checked) ([]*Covered, error) {
	var all []*Covered
	m, err := s.making(from)
	if err != nil {
		return nil, err
	}
	for _, r := range s.Base.Rules {
		if !refuses(r) {
			continue
		}
		c := &Covered{Rule: r}
		for _, one := range checked {
			for _, id := range one.Refusing {
				if id == r.ID {
					c.Lessons = append(c.Lessons, one.Lesson.Name)
				}
			}
		}
		all = append(all, c)
	}
	err = m.space.Store.Try(func() {
		for _, c := range all {
			c.Made = len(c.Lessons) == 0 && len(m.make(Wish{Topic: c.Rule.ID, Count: 1})) > 0
		}
	})
	return all, err
}
