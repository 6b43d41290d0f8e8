package job

import (
	"fmt"
	"slices"
	"time"

	"patchfirst/rules"
	"patchfirst/rules/source"
)

// Kept is an entry that was written to a job file.
type Kept struct {
	Element string    `json:"element"`
	ID      int       `json:"entry"`
	At      time.Time `json:"at"`
}

// Keep adds an entry to the log of a part in a job file, and saves the file whole. An empty name is the only part of
// the job; a draft without a time is of now, or of the time of the entry that it stands in the place of. Mistakes are those of Add, of the file and of its lock.
func Keep(b *rules.Base, path, element string, draft Draft, now time.Time, check func(*Job, *Element) Check) (*Kept, error) {
	if path == "-" {
		return nil, fmt.Errorf("a record is kept in a file: name one")
	}
	store, err := Open(b, path)
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
	if draft["at"] == "" {
		draft["at"] = e.moment(draft, now).Format(time.RFC3339)
	}
	id, err := Add(path, e, draft, check(j, e))
	if err != nil {
		return nil, err
	}
	if err := store.Save(j); err != nil {
		return nil, err
	}
	at, err := time.Parse(time.RFC3339, draft["at"])
	return &Kept{e.Name, id, at}, err
}

// moment is the time of a draft that tells none.
func (e *Element) moment(draft Draft, now time.Time) time.Time {
	if e.Log == nil || draft["kind"] == Strike {
		return now
	}
	for _, old := range ReadLog(&source.Document{}, e.Log) {
		if fmt.Sprint(old.ID) == draft["corrects"] {
			return old.At
		}
	}
	return now
}

// AskTime asks about the time of entry i, where it is still to come (a zero now asks nothing), or lies before that of an
// entry written earlier. The answer is empty where there is nothing to ask.
func AskTime(entries []Entry, i int, now time.Time) (asks []string) {
	e := entries[i]
	if !now.IsZero() && e.At.After(now) {
		asks = append(asks, fmt.Sprintf("It is dated %s, which is still to come. Is the date right?", e.At.Format(time.RFC3339)))
	}
	if e.Corrects > 0 {
		return asks
	}
	for _, before := range slices.Backward(entries[:i]) {
		if before.Corrects == 0 && e.At.Before(before.At) {
			ask := "It is dated before entry %d, which was written first: times run backwards. Is it written late, or is a date wrong?"
			return append(asks, fmt.Sprintf(ask, before.ID))
		}
	}
	return asks
}

// AskClock asks whether the clocks were changed between two moments that bound a wait, where that would change the wait
// by a hundredth or more. say puts a duration into words. The answer is empty where there is nothing to ask.
func AskClock(from, to time.Time, say func(minutes float64) string) string {
	const least = 100
	elapsed := to.Sub(from)
	_, here := to.Zone()
	_, there := from.Zone()
	shift := time.Duration(here-there) * time.Second
	if shift.Abs()*least <= elapsed {
		return ""
	}
	return fmt.Sprintf("The clock's offset changed from %s to %s in between. Were the clocks changed? Counted with the offsets it is %s, by the clock's face %s.",
		from.Format("-07:00"), to.Format("-07:00"), say(elapsed.Minutes()), say((elapsed + shift).Minutes()))
}
