package takeoff

import (
	"patchfirst/knowledge/figures"
	"patchfirst/rules"
)

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
		s.add("strip", s.stripTitle(), "work", area.as("area"), passes.as("passes"), pace.as("pace"), shape.as("shape"))
	}
	if pace, ok := s.leaf("cover_pace", figures.Pace); ok && passes != nil {
		s.add("cover_work", "Cover", "work", area.as("area"), passes.as("passes"), pace.as("pace"), flat)
	}
	for _, step := range []struct{ id, title, pace string }{{"wash", "Wash", "wash_pace"},
		{"neutralise", "Neutralise", "neutralise_pace"}, {"prime", "Prime", "prime_pace"}} {
		if step.id == "neutralise" && !s.acid() {
			continue
		}
		if pace, ok := s.leaf(step.pace, figures.Pace); ok {
			s.add(step.id, step.title, "work", area.as("area"), once, pace.as("pace"), flat)
		}
	}
	s.heat()
	s.dip()
	s.total("hours", "Hours attended", "h", handwork...)
}

func (s *Sums) stripTitle() string {
	switch {
	case s.Method.Keeps:
		return "Make good and coat over"
	case s.word("paste") != "":
		return "Put on and take off"
	}
	return "Strip"
}

// handwork lists the figures that are attended work.
var handwork = []string{"protect", "strip", "cover_work", "wash", "neutralise", "prime", "fire_watch", "refit",
	"joint_work", "travel"}

// acid tells whether the surface may be neutralised with acid: the advice has a step for it.
func (s *Sums) acid() bool { return s.has("neutralise") }

// has tells whether the advice on the method holds a step.
func (s *Sums) has(step string) bool {
	for _, n := range s.Case.Decision.Methods[s.Method.Rank].Notes {
		if n.Note.Kind == rules.Step && n.Note.ID == step {
			return true
		}
	}
	return false
}

// heat adds the watch after each day of hot work.
func (s *Sums) heat() {
	watch, ok := s.leaf("fire_watch", figures.Time)
	strip := s.Line("strip")
	if !ok || strip == nil {
		return
	}
	s.add("hot_days", "Days of hot work", "hired_days", strip.as("hours"), s.crew().as("crew"), s.day().as("working day"))
	s.addBy("fire_watch", "Fire watch", figures.Formula{Name: "fire_watch", Title: "Fire watch",
		Words: "days × watch after each", Unit: "h", Source: "own arithmetic",
		Slots: []figures.Slot{{Name: "days", Unit: "times", High: 1e6}, {Name: "watch", Unit: "h", High: 24}},
		Compute: func(in []float64) (float64, error) {
			return in[0] * in[1],
				nil
		}}, s.Line("hot_days").as("days"), watch.as("watch"))
}

// dip adds what a part costs that goes to a bath: taking it out and putting it back, joints to glue again, and the way.
func (s *Sums) dip() {
	out, ok := s.leaf("take_out", figures.Time)
	back, ok2 := s.leaf("put_back", figures.Time)
	if !ok || !ok2 {
		return
	}
	s.addBy("refit", "Take out and put back", figures.Sum("refit", "Take out and put back", "h", "take out", "put back"),
		out.as("take out"), back.as("put back"))
	each := figures.Formula{Name: "times_hours", Title: "Work", Words: "number × time of one", Unit: "h",
		Source:  "own arithmetic",
		Slots:   []figures.Slot{{Name: "number", Unit: "times", High: 1e6}, {Name: "time of one", Unit: "h", High: 1000}},
		Compute: func(in []float64) (float64, error) { return in[0] * in[1], nil }}
	if joints, ok := s.leaf("joints", figures.Count); ok {
		if hours, ok := s.leaf("joint_hours", figures.Time); ok {
			s.addBy("joint_work", "Joints to glue again", each, joints.as("number"), hours.as("time of one"))
		}
	}
	if trips, ok := s.leaf("trips", figures.Count); ok {
		if hours, ok := s.leaf("trip_hours", figures.Time); ok {
			s.addBy("travel", "On the road", each, trips.as("number"), hours.as("time of one"))
		}
	}
}

func (s *Sums) crew() *Leaf {
	l, _ := s.leaf("crew", figures.Count)
	return s.sure(l, "crew", 1, "times")
}

func (s *Sums) day() *Leaf {
	l, _ := s.leaf("hours_a_day", figures.Time)
	return s.sure(l, "hours_a_day", 7, "h")
}

// sure gives an input at a usual value where the base has none.
func (s *Sums) sure(l *Leaf, id string, usual float64, unit string) *Leaf {
	if l != nil {
		return l
	}
	return s.keep(&Leaf{id, Planned, exactly("", usual, unit, "").Quantity, "as usual", nil})
}

// pace is the time on a square metre in one pass: the person's own, or the planning range.
func (s *Sums) pace() (*Leaf, bool) {
	if l, ok := s.leaf("rate of "+s.Method.ID, figures.Pace); ok {
		return l, true
	}
	return s.leaf("pace", figures.Pace)
}
