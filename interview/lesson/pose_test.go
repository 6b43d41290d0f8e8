package lesson

import (
	"errors"
	"maps"
	"slices"
	"strings"
	"testing"

	"patchfirst/rules"
)

// What the engine makes of answers to the built-in lessons: each kind of exercise on each path.
func TestPose(t *testing.T) {
	s, all := shelf()
	for _, tt := range []struct {
		lesson   string
		exercise int // from 1
		chosen   string
		mark     Mark
	}{
		{"textured-ceiling", 1, "specialist", Right},
		{"textured-ceiling", 1, "steam", Dangerous},
		{"textured-ceiling", 1, "leave", Wrong},
		{"textured-ceiling", 2, "asbestos-is-not-touched", Right},
		{"textured-ceiling", 2, "frost-bursts-wet-masonry", Dangerous}, // the danger itself was not seen
		{"textured-ceiling", 3, "asbestos_test", Right},
		{"textured-ceiling", 4, "leave", Right}, // after the test found none
		{"oak-table", 1, "alkaline_covered", Right},
		{"oak-table", 1, "alkaline_covered solvent_brushed", HalfRight},
		{"oak-table", 1, "solvent_brushed", Dangerous},
		{"oak-table", 2, "same", Wrong},
		{"oak-table", 2, "no-caustic-on-oak-to-be-seen", Right},
		{"laboratory-letter", 2, "lead_test", Right},
		{"laboratory-letter", 2, "previous_stripping", HalfRight},
		{"laboratory-letter", 2, "pets_or_stock", HalfRight},
		{"laboratory-letter", 4, "same", Dangerous}, // the method is refused in the second situation
		{"clean-at-the-second-look", 1, "look_again", Right},
		{"clean-at-the-second-look", 1, "coat_all", Dangerous},
		{"clean-at-the-second-look", 1, "confirm", Wrong},
		{"clean-at-the-second-look", 1, "stop", HalfRight},
		{"dry-and-clean", 1, "confirm", Right},
		{"dry-and-clean", 1, "coat_all", Dangerous},
		{"the-grain-stands-up", 1, "next", Right},
		{"the-grain-stands-up", 1, "confirm", Dangerous},
		{"the-grain-stands-up", 1, "extend", Dangerous},
		{"not-yet", 1, "extend", Right},
		{"eight-on-the-strip", 1, "rinse", Right},
		{"eight-on-the-strip", 1, "prime", Dangerous},
		{"lime-is-alkaline", 1, "prime", Right},
		{"lime-is-alkaline", 1, "rinse", Wrong},
		{"a-strip-too-coarse", 1, "finer", Right},
		{"a-strip-too-coarse", 1, "rinse", HalfRight},
		{"a-strip-too-coarse", 1, "prime", Dangerous},
		{"still-wet", 1, "dry", Right},
		{"still-wet", 2, "rinse", Right},
		{"one-good-place", 1, "places", Right},
		{"one-good-place", 2, "prime", Right},
	} {
		l := Find(all, tt.lesson)
		if l == nil {
			t.Fatalf("there is no lesson %s", tt.lesson)
		}
		q, err := s.Pose(l, tt.exercise-1)
		if err != nil {
			t.Fatal(err)
		}
		j := q.Judge(strings.Fields(tt.chosen))
		if j.Mark != tt.mark {
			t.Errorf("%s, exercise %d: %s is %s", tt.lesson, tt.exercise, tt.chosen, j.Mark)
		}
		if j.Mark == Dangerous && slices.ContainsFunc(j.Dangers, func(o *Option) bool { return len(o.Why) == 0 && o.Says == "" }) {
			t.Errorf("%s, exercise %d: %s is dangerous, and no consequence is told", tt.lesson, tt.exercise, tt.chosen)
		}
	}
}

// Of several changes those are right that flip the advice by themselves.
func TestWhichChange(t *testing.T) {
	s, all := shelf()
	own := *Find(all, "oak-table")
	to := rules.Answers{"finish_next": {Values: []string{"paint"}}, "layers": {Lo: 3, Hi: 3}}
	own.Exercises = []*Exercise{{Kind: WhatChanged, Method: "alkaline_covered", To: to}}
	q, err := s.Pose(&own, 0)
	if err != nil {
		t.Fatal(err)
	}
	for chosen, want := range map[string]Mark{"finish_next": Right, "layers": Wrong, "finish_next layers": HalfRight} {
		if j := q.Judge(strings.Fields(chosen)); j.Mark != want {
			t.Errorf("%s is %s", chosen, j.Mark)
		}
	}
}

// An exercise that cannot be answered is refused, with its place and what to do.
func TestPoseRefuses(t *testing.T) {
	s, all := shelf()
	oak := Find(all, "oak-table")
	impossible := maps.Clone(oak.Case.Given)
	impossible["coatings"] = rules.Answer{Values: []string{"textured"}}
	for _, tt := range []struct {
		name  string
		given rules.Answers
		e     *Exercise
		want  string
	}{
		{"no right option", oak.Case.Given, &Exercise{Kind: RuleOut, Options: []string{"leave", "solvent_covered"}}, "no option of the exercise to rule out the wrong ones is right"},
		{"nothing but right ones", oak.Case.Given, &Exercise{Kind: RuleOut, Options: []string{"alkaline_covered", "alkaline_brushed"}}, "every option"},
		{"a danger of what is allowed", oak.Case.Given, &Exercise{Kind: FindDanger, Method: "solvent_covered"}, "solvent_covered is not ruled out here"},
		{"no flip", oak.Case.Given, &Exercise{Kind: WhatChanged, Method: "alkaline_covered", To: rules.Answers{"layers": {Lo: 3, Hi: 3}}}, "nothing flips"},
		{"a step of something else", oak.Case.Given, &Exercise{Kind: OrderSteps, Options: []string{"test_patch", "radiators_off_and_cold"}}, `"radiators_off_and_cold" is no step of the first choice`},
		{"steps of one stage", oak.Case.Given, &Exercise{Kind: OrderSteps, Options: []string{"ask_consent", "photograph"}}, "the steps belong to one stage"},
		{"nothing that a refusal hangs on", oak.Case.Given, &Exercise{Kind: MissingQuestion, Method: "alkaline_covered"}, "no answer that is missing could lift the refusal"},
		{"no such building", impossible, &Exercise{Kind: ChooseMethod}, "cannot stand together"},
	} {
		own := *oak
		own.Case.Given, own.Exercises = tt.given, []*Exercise{tt.e}
		tt.e.Pos = rules.Pos{File: "x.yaml", Line: 7, Col: 5}
		_, err := s.Pose(&own, 0)
		var bad *ExerciseError
		if !errors.As(err, &bad) || !strings.Contains(err.Error(), tt.want) || !strings.HasPrefix(err.Error(), "x.yaml:7:5: ") {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
}

// What to practise next follows from what went wrong, and a later right answer wins it back.
func TestCurriculum(t *testing.T) {
	s, all := shelf()
	few := []*Lesson{Find(all, "oak-table"), Find(all, "frost-on-brick"), Find(all, "bats-in-the-gable")}
	checked, err := s.CheckAll(few, nil)
	if err != nil {
		t.Fatal(err)
	}
	const rule = "no-caustic-on-oak-to-be-seen"
	topic := func(c *Curriculum) *Topic {
		return c.Topics[slices.IndexFunc(c.Topics, func(t *Topic) bool { return t.Name == "surface_refusals" })]
	}
	r := &Results{Runs: []*Run{{Lesson: "oak-table", Of: 1, Given: []Given{{Exercise: 1, Mark: Dangerous, Shown: []string{rule}, Lost: []string{rule}}}}}}
	c := s.Curriculum(checked, r)
	if got := topic(c); !slices.Equal(got.Lost, []string{rule}) || got.Answers[Dangerous] != 1 || c.Next[0] != "oak-table" || !slices.Contains(got.Lessons, "oak-table") {
		t.Errorf("after a dangerous answer: %+v, next %v", got, c.Next)
	}
	r.Runs = append(r.Runs, &Run{Lesson: "oak-table", Of: 1, Given: []Given{{Exercise: 1, Mark: Right, Shown: []string{rule}}}})
	c = s.Curriculum(checked, r)
	if got := topic(c); len(got.Lost) > 0 || slices.Contains(c.Next, "oak-table") || len(c.Next) != 2 {
		t.Errorf("after a right answer: %+v, next %v", got, c.Next)
	}
}

// Where an answer stands in the list gives nothing away: right ones come first, last and between.
func TestPlacesGiveNothingAway(t *testing.T) {
	if testing.Short() {
		t.Skip("poses every exercise")
	}
	s, all := shelf()
	first, last, n := 0, 0, 0
	for _, l := range all {
		for i, e := range l.Exercises {
			if e.Kind != WhatChanged && (e.Kind != FindDanger || len(e.Options) > 0) {
				continue
			}
			q, err := s.Pose(l, i)
			if err != nil {
				t.Fatal(err)
			}
			n++
			if q.Options[0].Right {
				first++
			}
			options := slices.DeleteFunc(slices.Clone(q.Options), func(o *Option) bool { return o.ID == sameAdvice })
			if options[len(options)-1].Right {
				last++
			}
		}
	}
	const tenth = 10
	if first < n/tenth || last < n/tenth || first > n-n/tenth || last > n-n/tenth {
		t.Errorf("of %d questions %d have a right answer first and %d last", n, first, last)
	}
}
