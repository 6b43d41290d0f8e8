package patches

import (
	"time"

	"patchfirst/interview/job"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

// Keep adds an entry to the record of a part in a job file; see job.Keep.
func Keep(b *rules.Base, path, element string, draft job.Draft, now time.Time) (*job.Kept, error) {
	figures, err := LoadFigures(b)
	if err != nil {
		return nil, err
	}
	return job.Keep(b, path, element, draft, now, func(j *job.Job, e *job.Element) job.Check {
		site := Site{Now: now, Figures: figures, Holds: true}
		if a, ok := j.Answers(e)["layers"]; ok {
			site.Layers = a.Hi
		}
		if draft["kind"] == PutOn {
			// Only then does it matter what the rules allow. Answers that cannot stand together, or are too few to decide, leave
			// the part undecided: a record must be kept all the same.
			if d, contradiction, err := b.Decide(knowledge.WithFigures(b, j.Answers(e))); err == nil && contradiction == nil {
				site.Decision = d
			}
		}
		return check(b, site)
	})
}
