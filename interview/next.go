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

// Next returns the next question about a part of the job, or about the site if e is nil: the first in the written order
// of the base that is not answered, may apply, and could still change anything, by itself or by deciding whether
// another applies. What was said to be not
// known is not asked again. It returns nil if no question is left, and a contradiction if no case can have the answers.
func Next(b *rules.Base, j *job.Job, e *job.Element) (*rules.Fact, *rules.Contradiction, error) {
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
		f.Applies.Walk(func(t *rules.Test) { // whether it applies must be asked before it
			if t.Fact != nil {
				add(t.Fact.Parent())
			}
		})
	}
	for _, id := range open {
		add(b.Fact(id))
	}
	for _, f := range b.Facts {
		if _, answered := answers[f.ID]; matters[f] && !answered && f.Asked() && f.Scope == scope && !unknown[f.ID] {
			return f, nil, nil
		}
	}
	return nil, nil, nil
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
