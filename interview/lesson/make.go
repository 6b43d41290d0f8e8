package lesson

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"patchfirst/rules"
)

// Wish is what is asked of new lessons.
type Wish struct {
	Topic string // see Topics; empty: any
	Count int
	Level string // one of Levels; empty: any
	Seed  uint64 // the same seed makes the same lessons
}

// Topics lists what a wish may name: what the files of the base are about, findings, questions and their values, methods,
// and rules that rule something out.
func (s *School) Topics() (all []string) {
	add := func(id string) {
		if !slices.Contains(all, id) {
			all = append(all, id)
		}
	}
	for _, r := range s.Base.Rules {
		if refuses(r) {
			add(FileTopic(r))
		}
	}
	for _, f := range s.Base.Findings {
		add(f.ID)
	}
	for _, f := range s.Base.Facts {
		if f.Asked() {
			add(f.ID)
		}
	}
	for _, m := range s.Base.Methods {
		add(m.ID)
	}
	for _, f := range s.Base.Facts {
		for _, v := range f.Values {
			add(v.ID)
		}
	}
	for _, r := range s.Base.Rules {
		if refuses(r) {
			add(r.ID)
		}
	}
	return all
}

// FileTopic names what the file is about that a rule stands in.
func FileTopic(r *rules.Rule) string {
	name := r.Pos.File[strings.LastIndexAny(r.Pos.File, `/\`)+1:]
	return strings.ReplaceAll(strings.TrimPrefix(strings.TrimSuffix(name, ".yaml"), "rules-"), "-", "_")
}

func refuses(r *rules.Rule) bool { return r.Gives[rules.RuledOut] != 0 }

// about reports whether a rule belongs to a topic.
func (s *School) about(r *rules.Rule, topic string) bool {
	if topic == "" || r.ID == topic || FileTopic(r) == topic || subjects(r.When)[topic] {
		return true
	}
	if m := s.Base.Method(topic); m != nil {
		return r.Gives[rules.RuledOut].Has(m.Rank)
	}
	found := false
	r.When.Walk(func(t *rules.Test) { found = found || slices.Contains(t.Values, topic) })
	return found
}

// Make makes lessons from pairs of situations that differ in one answer and flip what is said of a method. It starts
// from the situations of the given lessons. No two are alike: each has its own rule, method and question. The same wish
// makes the same lessons. If fewer can be made than asked for, those are returned with a TooFew.
func (s *School) Make(from []*Lesson, w Wish) ([]*Made, error) {
	topics := s.Topics()
	if w.Topic != "" && !slices.Contains(topics, w.Topic) {
		return nil, fmt.Errorf("there is no topic %q. %s", w.Topic, rules.DidYouMean(w.Topic, topics))
	}
	m, err := s.making(from)
	if err != nil {
		return nil, err
	}
	var made []*Made
	err = m.space.Store.Try(func() { made = m.make(w) })
	if err == nil && len(made) < w.Count {
		err = &TooFew{w, len(made)}
	}
	return made, err
}

// TooFew says that fewer lessons could be made than were asked for.
type TooFew struct {
	Wish Wish
	Made int
}

func (e *TooFew) Error() string {
	about := ""
	if e.Wish.Topic != "" {
		about = fmt.Sprintf(" about %q", e.Wish.Topic)
	}
	if e.Wish.Level != "" {
		about += fmt.Sprintf(" that are %s", e.Wish.Level)
	}
	return fmt.Sprintf("only %d of %d lessons%s can be made", e.Made, e.Wish.Count, about)
}

// target is a rule and a method that it rules out.
type target struct {
	rule   *rules.Rule
	method *rules.Method
}

// make goes through rules and methods in an order that the seed gives, one method of each rule first. Rules of which no
// pair can be made come last, as dangers to be found.
func (m *maker) make(w Wish) (made []*Made) {
	seed := strconv.FormatUint(w.Seed, 10)
	var rounds [][]target
	for _, r := range shuffled(m.s.Base.Rules, seed, ruleName) {
		if !refuses(r) || !m.s.about(r, w.Topic) {
			continue
		}
		round := 0
		for _, method := range shuffled(m.s.Base.Methods, seed+r.ID, methodName) {
			if asked := m.s.Base.Method(w.Topic); !r.Gives[rules.RuledOut].Has(method.Rank) || asked != nil && asked != method {
				continue
			}
			if round == len(rounds) {
				rounds = append(rounds, nil)
			}
			rounds[round] = append(rounds[round], target{r, method})
			round++
		}
	}
	const atLeast, each = 60, 30
	m.tries = atLeast + each*w.Count
	flipped := map[*rules.Rule]bool{}
	keep := func(t target, one *Made) {
		if one != nil && len(made) < w.Count {
			one.Name += "-" + strconv.Itoa(len(made)+1)
			set(one.node, "lesson", one.Name)
			made = append(made, one)
			flipped[t.rule] = true
		}
	}
	for _, round := range rounds {
		for _, t := range round {
			if len(made) < w.Count {
				keep(t, m.flip(t, w.Level, seed))
			}
		}
	}
	for _, round := range rounds {
		for _, t := range round {
			if len(made) < w.Count && !flipped[t.rule] {
				keep(t, m.danger(t, w.Level, seed))
			}
		}
	}
	return made
}

// flip makes a lesson of a pair for a target, or nil: from the first tale and question that give one as hard as asked.
func (m *maker) flip(t target, level, seed string) *Made {
	if t.method.AlwaysRefused != "" {
		return nil
	}
	for _, tale := range m.near(t, seed) {
		pairs := m.pairs(t.rule, t.method, tale)
		for _, p := range pairs[:min(2, len(pairs))] {
			if m.tries--; m.tries < 0 {
				return nil
			}
			if made := m.lesson(p, cmp.Or(level, Levels[1])); made != nil && (level == "" || made.Level == level) {
				return made
			}
		}
	}
	return nil
}

// near returns some tales to start from, in an order that the seed gives.
func (m *maker) near(t target, seed string) []*tale {
	const most = 4
	return shuffled(m.tales, seed+t.rule.ID+t.method.ID, func(t *tale) string { return t.name })[:min(most, len(m.tales))]
}
