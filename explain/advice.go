// Package explain puts decisions into words and data: for people, and as JSON.
package explain

import (
	"errors"
	"sync"

	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/rules"
)

// Advice is a job with the decision for each of its parts.
type Advice struct {
	Base  *rules.Base
	Job   *job.Job
	Parts []Part
}

// Part is an element with its decision.
type Part struct {
	Element  *job.Element
	Answers  rules.Answers
	Decision *rules.Decision
}

// PartError says that the answers about a part cannot stand together.
type PartError struct {
	Name string
	Err  error
}

func (e *PartError) Error() string { return Clean(e.Name) + ": " + e.Err.Error() }

// Unwrap returns what is wrong with the answers.
func (e *PartError) Unwrap() error { return e.Err }

// Advise decides every part of a job by the rules, and then heeds what test patches showed.
func Advise(b *rules.Base, j *job.Job) (*Advice, error) {
	a, err := AdviseByRules(b, j)
	if err != nil {
		return nil, err
	}
	for _, p := range a.Parts {
		if err := p.heed(b); err != nil {
			return nil, err
		}
	}
	return a, nil
}

// heed lets the patches in the log of a part speak after the rules.
func (p Part) heed(b *rules.Base) error {
	if p.Element.Log == nil {
		return nil
	}
	record, err := patches.ReadRecord(b, p.Element.Name, p.Element.Log)
	if err != nil {
		return err
	}
	figures, err := patches.LoadFigures(b)
	if err != nil {
		return err
	}
	site := patches.Site{Decision: p.Decision}
	if layers, ok := p.Answers["layers"]; ok {
		site.Layers = layers.Hi
	}
	answers, _, err := patches.Counted(b, p.Element.Name, p.Element, p.Answers)
	if err != nil {
		return err
	}
	p.Decision.Heed(patches.Read(figures, b, record, answers, site).Evidence())
	return nil
}

// AdviseByRules decides every part of a job by the rules alone.
func AdviseByRules(b *rules.Base, j *job.Job) (*Advice, error) {
	a := &Advice{Base: b, Job: j, Parts: make([]Part, len(j.Elements))}
	errs := make([]error, len(j.Elements))
	var deciding sync.WaitGroup
	for i, e := range j.Elements {
		deciding.Go(func() {
			a.Parts[i], errs[i] = decide(b, j, e)
		})
	}
	deciding.Wait()
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	return a, nil
}
