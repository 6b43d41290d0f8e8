package interview

import (
	"maps"

	"patchfirst/interview/job"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

// The scopes of facts.
const (
	site    = "site"
	element = "element"
)

// Next returns the first of the open questions, or nil if there is none.
func Next(b *rules.Base, j *job.Job, e *job.Element) (*rules.Fact, *rules.Contradiction, error) {
	open, c, err := Open(b, j, e)
	if len(open) == 0 {
		return nil, c, err
	}
	return open[0], c, err
}

// Open returns the open questions about a part of the job, or about the site if e is nil, in the written order of the
// base: those that are not answered, may apply, and could still change anything, by themselves or by deciding whether
// another applies. What was said to be not known is not asked again. It returns a contradiction if no case can have the
// answers.
func Open(b *rules.Base, j *job.Job, e *job.Element) ([]*rules.Fact, *rules.Contradiction, error) {
	answers, scope := j.Site, site
	unknown := map[string]bool{}
	maps.Copy(unknown, j.NotKnown)
	if e != nil {
		answers, scope = j.Answers(e), element
		maps.Copy(unknown, e.NotKnown)
	}
	open, c, err := b.Open(unlocked(b, knowledge.WithFigures(b, answers), unknown))
	if err != nil || c != nil {
		return nil, c, err
	}
	matters := map[*rules.Fact]bool{}
	var add func(*rules.Fact)
	add = func(f *rules.Fact) {
		if matters[f] || applies(f, answers) == no {
			return
		}
		matters[f] = true
		for g := range f.Applies.Facts() { // whether it applies must be asked before it
			add(g)
		}
	}
	for _, id := range open {
		add(b.Fact(id))
	}
	var left []*rules.Fact
	for _, f := range b.Facts {
		if _, answered := answers[f.ID]; matters[f] && !answered && f.Asked() && f.Scope == scope && !unknown[f.ID] {
			left = append(left, f)
		}
	}
	return left, nil, nil
}

// unlocked leaves every value possible for the facts whose blank is a value: while such a question is not asked yet, its
// blank must not make the others, or itself, look settled.
func unlocked(b *rules.Base, answers rules.Answers, unknown map[string]bool) rules.Answers {
	for _, f := range b.Facts {
		if _, answered := answers[f.ID]; answered || unknown[f.ID] || !f.Asked() || f.Kind != rules.Choice || f.Blank == rules.Refuses || f.Blank == rules.Condition {
			continue
		}
		all := make([]string, len(f.Values))
		for i, v := range f.Values {
			all[i] = v.ID
		}
		answers = answers.With(f.ID, rules.Answer{Values: all})
	}
	return answers
}
