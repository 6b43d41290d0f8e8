package patches

import (
	"fmt"
	"time"

	"patchfirst/interview/job"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

// Kept is an entry that was written to a job file.
type Kept struct {
	Element string    `json:"element"`
	ID      int       `json:"entry"`
	At      time.Time `json:"at"`
}

// Keep adds an entry to the log of a part in a job file, and saves the file whole. An empty name is the only part of
// the job; a draft without a time is of now. Mistakes are those of Add, of the file and of its lock.
func Keep(b *rules.Base, path, element string, draft Draft, now time.Time) (*Kept, error) {
	if path == "-" {
		return nil, fmt.Errorf("a record is kept in a file: name one")
	}
	store, err := job.Open(b, path)
	if err != nil {
		return nil, err
	}
	defer store.Close()
	j, err := store.Load()
	if err != nil {
		return nil, err
	}
	e, err := j.NeedElement(element)
	if err != nil {
		return nil, err
	}
	site := Site{Now: now}
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
	if draft["at"] == "" {
		draft["at"] = now.Format(time.RFC3339)
	}
	id, err := Add(b, path, e, draft, site)
	if err != nil {
		return nil, err
	}
	if err := store.Save(j); err != nil {
		return nil, err
	}
	at, err := time.Parse(time.RFC3339, draft["at"])
	return &Kept{e.Name, id, at}, err
}
