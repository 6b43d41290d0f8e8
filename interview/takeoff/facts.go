package takeoff

import (
	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/knowledge/figures"
	"patchfirst/rules"
)

// Facts returns the answers of a part with those that follow from what was told for the sums: the painted area, and the fresh
// air of the room. An answer that was given stays. What cannot be read is left out here, and asked about by ReadGiven.
func Facts(b *rules.Base, j *job.Job, e *job.Element) rules.Answers {
	answers := j.Answers(e)
	if j.Takeoff == nil && e.Takeoff == nil || len(b.Methods) == 0 {
		return answers
	}
	given, err := ReadGiven(b, "", j, e)
	if err != nil {
		return answers
	}
	s := &Sums{Case: &Case{Base: b, Element: e, Answers: answers, Given: given, Plans: &patches.Figures{}},
		Method: b.Methods[0]}
	tell := func(fact string, r figures.Range) {
		f := b.Fact(fact)
		if _, answered := answers[fact]; !answered && f != nil && s.err == nil && r.Low >= f.From && r.High <= f.To {
			answers = answers.With(fact, rules.Answer{Lo: r.Low, Hi: r.High})
		}
	}
	if s.Case.sized() {
		s.area()
		if l := s.Line("area"); l != nil {
			tell("area", l.Result.Range)
		}
	}
	if there := s.airFlow(); there != nil {
		tell("fresh_air", there.Result.Range)
	}
	return answers
}
