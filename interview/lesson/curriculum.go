package lesson

import (
	"slices"

	"patchfirst/rules"
)

// Topic is a part of what there is to learn: the rules of one file of the base that the lessons show.
type Topic struct {
	Name     string
	Rules    int // of the file
	Taught   int // by some lesson
	Refusals int // rules that rule something out
	Refusing int // of those, taught in an exercise
	Lessons  []string
	// What a learner did: answers in exercises that show its rules, by mark, and rules that were lost and not won since.
	Answers map[Mark]int
	Lost    []string
}

// Curriculum says what the lessons cover and what a learner has to practise.
type Curriculum struct {
	Topics   []*Topic
	Cautions int // that the base has
	Warned   int // of those, shown by some lesson
	Missing  []*rules.Note
	Next     []string // lessons to do next, the most useful first
}

// Curriculum sets what the lessons teach against the base, and against what a learner did.
func (s *School) Curriculum(checked []*Checked, r *Results) *Curriculum {
	c := &Curriculum{}
	at := map[string]*Topic{}
	shows := map[string]map[string]bool{} // by lesson, the topics
	for _, rule := range s.Base.Rules {
		name := FileTopic(rule)
		t := at[name]
		if t == nil {
			t = &Topic{Name: name, Answers: map[Mark]int{}}
			at[name], c.Topics = t, append(c.Topics, t)
		}
		t.Rules++
		if refuses(rule) {
			t.Refusals++
		}
		taught, refused := false, false
		for _, one := range checked {
			if slices.Contains(one.Teaches, rule.ID) {
				taught = true
				if !slices.Contains(t.Lessons, one.Lesson.Name) {
					t.Lessons = append(t.Lessons, one.Lesson.Name)
				}
				if shows[one.Lesson.Name] == nil {
					shows[one.Lesson.Name] = map[string]bool{}
				}
				shows[one.Lesson.Name][name] = true
			}
			refused = refused || slices.Contains(one.Refusing, rule.ID)
		}
		if taught {
			t.Taught++
		}
		if refused {
			t.Refusing++
		}
	}
	s.warned(c, checked)
	c.learned(s.Base, at, r)
	c.next(checked, r)
	return c
}

// warned counts the cautions that some exercise shows.
func (s *School) warned(c *Curriculum, checked []*Checked) {
	shown := map[string]bool{}
	for _, one := range checked {
		for _, id := range one.Cautions {
			shown[id] = true
		}
	}
	for _, n := range s.Base.Notes {
		if n.Kind != rules.Caution {
			continue
		}
		c.Cautions++
		if shown[n.ID] {
			c.Warned++
		} else {
			c.Missing = append(c.Missing, n)
		}
	}
}

// learned counts a learner's answers by topic. A rule that was lost is won back by a later right answer that shows it.
func (c *Curriculum) learned(b *rules.Base, at map[string]*Topic, r *Results) {
	topics := map[string]string{}
	for _, rule := range b.Rules {
		topics[rule.ID] = FileTopic(rule)
	}
	lost := map[string]bool{}
	var order []string
	for _, run := range r.Runs {
		for _, g := range run.Given {
			seen := map[string]bool{}
			for _, id := range g.Shown {
				if name := topics[id]; at[name] != nil && !seen[name] {
					seen[name] = true
					at[name].Answers[g.Mark]++
				}
				if g.Mark == Right {
					lost[id] = false
				}
			}
			for _, id := range g.Lost {
				lost[id] = true
				if !slices.Contains(order, id) {
					order = append(order, id)
				}
			}
		}
	}
	for _, id := range order {
		if t := at[topics[id]]; t != nil && lost[id] {
			t.Lost = append(t.Lost, id)
		}
	}
}

// next lists up to three lessons: those that teach most of what was lost; then those not done yet, easiest first.
func (c *Curriculum) next(checked []*Checked, r *Results) {
	const most = 3
	var lost []string
	for _, t := range c.Topics {
		lost = append(lost, t.Lost...)
	}
	done := map[string]bool{}
	for _, run := range r.Runs {
		done[run.Lesson] = done[run.Lesson] || run.Done()
	}
	score := func(one *Checked) (n int) {
		for _, id := range lost {
			if slices.Contains(one.Teaches, id) {
				n++
			}
		}
		return n
	}
	ranked := slices.Clone(checked)
	slices.SortStableFunc(ranked, func(a, b *Checked) int {
		switch {
		case score(a) != score(b):
			return score(b) - score(a)
		case done[a.Lesson.Name] != done[b.Lesson.Name]:
			if done[a.Lesson.Name] {
				return 1
			}
			return -1
		}
		return slices.Index(Levels, a.Lesson.Level) - slices.Index(Levels, b.Lesson.Level)
	})
	for _, one := range ranked {
		if len(c.Next) < most && len(one.Problems) == 0 && (score(one) > 0 || !done[one.Lesson.Name]) {
			c.Next = append(c.Next, one.Lesson.Name)
		}
	}
}
