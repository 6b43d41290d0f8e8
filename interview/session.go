package interview

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"patchfirst/explain"
	"patchfirst/interview/job"
	"patchfirst/rules"
)

// place is an answer's place: the part's name, "" for the site, and the fact.
type place struct{ part, fact string }

// state is all that a survey goes by. What comes next follows from it alone, and going back puts an earlier one in its
// place.
type state struct {
	job     *job.Job
	full    map[string]bool // parts that are known to have no open question
	asked   map[string]bool // parts that something was asked about in this sitting
	checked map[string]bool // parts whose answers were looked over
	out     place           // a question that is asked out of turn, to change its answer
	differs string          // a part for which something about the site is to be answered anew
	naming  bool            // a new part is to be named
	over    bool
	trail   []string // questions with their answers, as they were given
}

func (s *state) clone() *state {
	c := *s
	c.job = &job.Job{Title: s.job.Title, Site: maps.Clone(s.job.Site), NotKnown: maps.Clone(s.job.NotKnown)}
	for _, e := range s.job.Elements {
		c.job.Elements = append(c.job.Elements, &job.Element{Name: e.Name, Answers: maps.Clone(e.Answers), NotKnown: maps.Clone(e.NotKnown), Log: e.Log})
	}
	c.trail = slices.Clone(s.trail)
	c.full, c.asked, c.checked = maps.Clone(s.full), maps.Clone(s.asked), maps.Clone(s.checked)
	return &c
}

// answers returns what is known of a part, or of the site.
func (s *state) answers(part string) rules.Answers {
	if e := s.job.Element(part); e != nil {
		return s.job.Answers(e)
	}
	return s.job.Site
}

// own returns the answers that were given about the part itself, or about the site.
func (s *state) own(part string) rules.Answers {
	if e := s.job.Element(part); e != nil {
		return e.Answers
	}
	return s.job.Site
}

// parts lists the site, as "", and the names of the elements.
func (s *state) parts() []string {
	names := []string{""}
	for _, e := range s.job.Elements {
		names = append(names, e.Name)
	}
	return names
}

// notKnown returns the facts that were said to be not known of the part itself, or of the site.
func (s *state) notKnown(part string) map[string]bool {
	if e := s.job.Element(part); e != nil {
		return e.NotKnown
	}
	return s.job.NotKnown
}

// number counts what was answered, the title and the names of parts too.
func (s *state) number() int {
	n := len(s.job.Site) + len(s.job.NotKnown) + len(s.job.Elements)
	if s.job.Title != "" {
		n++
	}
	for _, e := range s.job.Elements {
		n += len(e.Answers) + len(e.NotKnown)
	}
	return n
}

// touch notes that an answer about a part changed, so that its open questions are looked for anew.
func (s *state) touch(part string) {
	if part == "" {
		clear(s.full)
	}
	delete(s.full, part)
	delete(s.checked, part)
	s.asked[part] = true
}

// session is one sitting of a survey.
type session struct {
	base    *rules.Base
	prompt  Prompter
	save    func(*job.Job) error
	now     *state
	history []*state
	before  map[place]rules.Answer // answers that were taken back, to show when the question comes again
	texts   map[string]string      // title and name that were taken back
}

func newSession(b *rules.Base, j *job.Job, p Prompter, save func(*job.Job) error) *session {
	return &session{
		base: b, prompt: p, save: save,
		now:    &state{job: j, full: map[string]bool{}, asked: map[string]bool{}, checked: map[string]bool{}},
		before: map[place]rules.Answer{}, texts: map[string]string{},
	}
}

// turn is what is put to the person next, and what becomes of the answer. Its take changes the state in place.
type turn struct {
	ask  *Ask
	take func(s *state, r Reply) (noted string)
}

// run asks until the person says that the survey is finished. Each answer is saved before the next question; where that
// fails the person is told, and all is saved with the next answer or at the end.
func (s *session) run(ctx context.Context) error {
	var unsaved error
	ended := s.ask(ctx, func() {
		if unsaved = s.save(s.now.job); unsaved != nil {
			s.prompt.Say(fmt.Sprintf("Not saved: %v. The answers so far are kept and saved with the next one.", unsaved))
		}
	})
	if unsaved != nil {
		if err := s.save(s.now.job); err != nil {
			return &SaveError{err}
		}
	}
	return ended
}

func (s *session) ask(ctx context.Context, save func()) error {
	for !s.now.over {
		t, err := s.turn()
		if err != nil {
			return err
		}
		t.ask.Back, t.ask.Trail = len(s.history) > 0, s.now.trail
		t.ask.Heading, t.ask.Text = explain.Clean(t.ask.Heading), explain.Clean(t.ask.Text)
		r, err := s.prompt.Ask(ctx, t.ask)
		if err != nil {
			return err
		}
		if r.Act == Back {
			s.back()
			continue
		}
		if r.Act == Keep {
			r = *t.ask.Before
		}
		earlier := s.now.clone()
		if noted := t.take(s.now, r); noted != "" {
			s.prompt.Noted(t.ask, noted)
			s.now.trail = append(s.now.trail, t.ask.Text+" "+noted)
		}
		s.tidy()
		s.history = append(s.history, earlier)
		save()
	}
	return nil
}

// back returns to the question before. What was answered since is shown again when its question comes; the file keeps
// it until then.
func (s *session) back() {
	last := len(s.history) - 1
	earlier := s.history[last]
	s.history = s.history[:last]
	for _, part := range s.now.parts() {
		kept := earlier.own(part)
		if part != "" && earlier.job.Element(part) == nil {
			s.texts[nameText], kept = part, nil
		}
		for id, a := range s.now.own(part) {
			if _, ok := kept[id]; !ok {
				s.before[place{part, id}] = a
			}
		}
	}
	if earlier.job.Title == "" {
		s.texts[titleText] = s.now.job.Title
	}
	s.now = earlier
}

const (
	titleText = "title"
	nameText  = "name"
)

// turn finds what comes next.
func (s *session) turn() (*turn, error) {
	st := s.now
	switch {
	case st.job.Title == "":
		return s.title(), nil
	case st.out.fact != "":
		return s.fact(st.out.part, s.base.Fact(st.out.fact), 0), nil
	case st.differs != "":
		return s.siteFact(st.differs), nil
	}
	for _, part := range st.parts() {
		if !st.full[part] {
			open, c, err := Open(s.base, st.job, st.job.Element(part))
			switch {
			case err != nil:
				return nil, err
			case c != nil:
				return s.clash(part, c)
			case len(open) > 0:
				return s.fact(part, open[0], len(open)), nil
			}
			st.full[part] = true
		}
		if st.asked[part] && !st.checked[part] {
			return s.page(part), nil
		}
	}
	if st.naming || len(st.job.Elements) == 0 {
		return s.name(), nil
	}
	return s.hub(), nil
}

// fact asks for one fact, the first of some open ones; none says that an answer is changed.
func (s *session) fact(part string, f *rules.Fact, open int) *turn {
	at := place{part, f.ID}
	a := question(s.base, f, s.now.answers(part))
	a.Heading = f.Topic
	if part != "" {
		a.Heading = part + ": " + f.Topic
	}
	if open > 0 {
		a.Number, a.Open = s.now.number()+1, open
	} else {
		a.Heading = "a change to " + a.Heading
	}
	earlier, ok := s.now.own(part)[f.ID]
	if !ok {
		earlier, ok = s.before[at]
	}
	if ok {
		a.Before, a.Words = replyOf(f, earlier), explain.Answer(f, earlier)
	}
	return &turn{a, func(st *state, r Reply) string {
		st.out = place{}
		st.touch(part)
		if r.Act == NotKnown {
			delete(st.own(part), f.ID)
			st.notKnown(part)[f.ID] = true
			return notKnown
		}
		answer, err := answerOf(f, r)
		if err != nil {
			return "" // the prompter checked it
		}
		delete(st.notKnown(part), f.ID)
		st.own(part)[f.ID] = answer
		return explain.Answer(f, answer)
	}}
}

// about names what a question is about.
func (s *session) about(part string) string {
	if part == "" {
		return "the building"
	}
	return part
}

// tidy takes out answers to questions that no longer apply, and says so.
func (s *session) tidy() {
	for _, part := range s.now.parts() {
		if s.now.full[part] {
			continue
		}
		for again := true; again; {
			again = false
			for _, f := range s.base.Facts {
				answer, ok := s.now.own(part)[f.ID]
				if !ok || applies(f, s.now.answers(part)) != no || isElse(f, answer) {
					continue
				}
				delete(s.now.own(part), f.ID)
				s.before[place{part, f.ID}] = answer
				s.prompt.Say(fmt.Sprintf("This no longer applies to %s and was taken out: %s %s.", s.about(part), f.Ask, explain.Answer(f, answer)))
				again = true
			}
		}
	}
}

// isElse reports whether an answer is the one that a fact has where it does not apply.
func isElse(f *rules.Fact, a rules.Answer) bool {
	if f.Kind == rules.Number {
		return a.Lo == f.ElseNumber && a.Hi == f.ElseNumber
	}
	return slices.Equal(a.Values, f.Else) && !a.MoreBefore && !a.MoreAfter
}

const longestName = 100

// line asks for a line of text.
func (s *session) line(key, heading, text, help string, check func(string) error) *Ask {
	a := &Ask{Heading: heading, Text: text, Help: help, Kind: Line, Number: s.now.number() + 1}
	if earlier := s.texts[key]; earlier != "" {
		a.Before, a.Words = &Reply{Line: earlier}, explain.Clean(earlier)
	}
	a.Check = func(r Reply) error { return check(strings.TrimSpace(r.Line)) }
	return a
}

// fitName refuses a name that cannot be shown.
func fitName(name string) error {
	switch {
	case name == "":
		return errors.New("Type a name.")
	case explain.Clean(name) != name || strings.Contains(name, "\n"):
		return errors.New("The name holds signs that cannot be shown: type it without them.")
	case len([]rune(name)) > longestName:
		return fmt.Errorf("The name is longer than %d letters: type a shorter one.", longestName)
	}
	return nil
}

// newName refuses a name that no new part can have.
func newName(j *job.Job, name string) error {
	if err := fitName(name); err != nil {
		return err
	}
	if like := j.Like(name); like != nil {
		return fmt.Errorf("There is already a part called %q: give this one another name.", like.Name)
	}
	return nil
}

func (s *session) title() *turn {
	a := s.line(titleText, "the job", "What is the job called?", "For instance the name of the building.", fitName)
	return &turn{a, func(st *state, r Reply) string {
		st.job.Title = strings.TrimSpace(r.Line)
		return st.job.Title
	}}
}

func (s *session) name() *turn {
	text := "What is the first part to strip called?"
	if len(s.now.job.Elements) > 0 {
		text = "What is the next part to strip called?"
	}
	a := s.line(nameText, "a part of the building", text, "A name of your own, such as front door, outside.", func(name string) error { return newName(s.now.job, name) })
	return &turn{a, func(st *state, r Reply) string {
		addPart(st, strings.TrimSpace(r.Line))
		return strings.TrimSpace(r.Line)
	}}
}

func addPart(st *state, name string) {
	st.job.Elements = append(st.job.Elements, job.NewElement(name))
	st.naming = false
	st.asked[name] = true
}
