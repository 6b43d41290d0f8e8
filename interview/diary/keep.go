package diary

import (
	"time"

	"gopkg.in/yaml.v3"

	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/knowledge"
	"patchfirst/rules"
	"patchfirst/rules/source"
)

// Keep adds an entry to the diary of a part in a job file; see job.Keep. Work that is begun although something should
// have waited is a doubt: it is written only when its writer says that it was so.
func Keep(b *rules.Base, path, element string, draft job.Draft, now time.Time) (*job.Kept, error) {
	figures, err := patches.LoadFigures(b)
	if err != nil {
		return nil, err
	}
	return job.Keep(b, path, element, draft, now, func(j *job.Job, e *job.Element) job.Check {
		s := Site{Base: b, Figures: figures, Answers: knowledge.WithFigures(b, j.Answers(e)), Now: now}
		switch draft["kind"] {
		case Apply, Neutralise, PrimedWith:
			// Only then does it matter what the rules allow. Answers that cannot stand together, or are too few to decide, leave
			// the part undecided: a record must be kept all the same.
			if d, contradiction, err := b.Decide(s.Answers); err == nil && contradiction == nil {
				s.Decision = d
			}
		}
		return func(doc *source.Document, log *yaml.Node) []job.Question {
			d := read(b, doc, log)
			if len(doc.Problems) > 0 {
				return nil
			}
			return d.Questions(log, s)
		}
	})
}
