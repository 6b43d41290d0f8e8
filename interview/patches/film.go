package patches

import (
	"fmt"
	"math"

	"patchfirst/interview/job"
	"patchfirst/knowledge/figures"
	"patchfirst/rules"
)

// Film is the paint as a gauge measured it, in coats of usual thickness. Thick coats take paste as long as more thin ones.
type Film struct {
	Reading     string  // as it was told
	Each        string  // how thick a coat usually is
	Coats       float64 // as many coats of that thickness, at least
	SourceNames []string
}

// Counted returns the answers about a part with its number of coats raised to what the measured film makes, or set by it
// where the coats were not counted; a count that is higher stays. The film is what the part tells for the sums, under
// takeoff: film. Where it changes nothing the film is nil and the answers are as they were.
func Counted(b *rules.Base, path string, e *job.Element, answers rules.Answers) (rules.Answers, *Film, error) {
	reading := e.Told("film")
	if reading == nil {
		return answers, nil, nil
	}
	q, err := figures.ParseQuantity(reading.Value, figures.Length)
	if err != nil {
		return nil, nil, fmt.Errorf("%s:%d:%d: the film of %s: %w", path, reading.Line, reading.Column, e.Name, err)
	}
	var each *rules.Coefficient
	for _, m := range b.Methods {
		if each = b.Coefficient("film_of_coat", m, answers); each != nil {
			break
		}
	}
	if each == nil {
		return answers, nil, nil
	}
	coat, err := figures.ParseQuantity(each.Is, figures.Length)
	if err != nil {
		return nil, nil, fmt.Errorf("film_of_coat: %w", err)
	}
	q, _ = q.In(coat.Unit)
	film := &Film{Reading: reading.Value, Each: coat.String(), Coats: math.Round(q.Low / coat.High), SourceNames: each.Sources}
	a, counted := answers["layers"]
	switch {
	case !counted:
		a = rules.Answer{Hi: math.Round(q.High / coat.Low)}
	case film.Coats <= a.Lo:
		return answers, nil, nil
	}
	a.Lo = max(a.Lo, film.Coats)
	a.Hi = max(a.Hi, a.Lo)
	return answers.With("layers", a), film, nil
}
