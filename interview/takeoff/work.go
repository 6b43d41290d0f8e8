package takeoff

import "patchfirst/knowledge/figures"

// work works out the hours that are attended to.
func (s *Sums) work() {
	area, passes := s.Line("area"), s.Line("passes")
	flat := exactly("shape", 1, "times", "it goes by the area")
	once := exactly("passes", 1, "times", "it is done once")
	if pace, ok := s.leaf("protect_pace", figures.Pace); ok {
		s.add("protect", "Sheet and mask", "work", area.as("area"), once, pace.as("pace"), flat)
	}
	if pace, ok := s.pace(); ok && passes != nil {
		shape, _ := s.leaf("shape", figures.Count)
		if shape == nil {
			shape = s.keep(&Leaf{"shape", Planned, exactly("", 1, "times", "").Quantity, "as if flat", nil})
		}
		s.add("strip", "Put on and take off", "work", area.as("area"), passes.as("passes"), pace.as("pace"), shape.as("shape"))
	}
	if pace, ok := s.leaf("cover_pace", figures.Pace); ok && passes != nil {
		s.add("cover_work", "Cover", "work", area.as("area"), passes.as("passes"), pace.as("pace"), flat)
	}
	for _, step := range []struct{ id, title, pace string }{{"wash", "Wash", "wash_pace"}, {"neutralise", "Neutralise", "neutralise_pace"}} {
		if pace, ok := s.leaf(step.pace, figures.Pace); ok {
			s.add(step.id, step.title, "work", area.as("area"), once, pace.as("pace"), flat)
		}
	}
	s.total("hours", "Hours attended", "h", "protect", "strip", "cover_work", "wash", "neutralise")
}

// pace is the time on a square metre in one pass: the person's own, or the planning range.
func (s *Sums) pace() (*Leaf, bool) {
	if l, ok := s.leaf("rate of "+s.Method.ID, figures.Pace); ok {
		return l, true
	}
	return s.leaf("pace", figures.Pace)
}
