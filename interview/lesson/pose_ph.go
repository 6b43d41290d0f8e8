package lesson

import (
	"fmt"
	"math"

	"patchfirst/explain"
	"patchfirst/rules"
)

// What a pH log can say.
const (
	phPrime  = "prime"
	phRinse  = "rinse"
	phDry    = "dry"
	phFiner  = "finer"
	phPlaces = "places"
)

func (s *School) readPH(q *Question, e *Exercise) error {
	if q.Text == "" {
		q.Text = "May it be primed, as far as the pH goes?"
	}
	q.Facts = e.PH.words()
	right, says, limit := s.judgePH(e.PH, q.Answers)
	why, caution := s.phReasons(q)
	if limit != nil {
		why = append([]explain.Said{{Rule: limit.ID, Because: limit.Because, Sources: limit.Sources}}, why...)
	}
	if most := s.most("ph_off_control", q.Answers); most != nil {
		control := float64(e.PH.Readings[len(e.PH.Readings)-1].Control)
		q.Changed = []string{fmt.Sprintf("Dry, and read finely enough in enough places, it passes at %.1f or below", control+*most.Most)}
		if e.PH.Acid {
			q.Changed[0] += fmt.Sprintf(", and at %.1f or above", control-*most.Most)
		}
	}
	for _, o := range []*Option{
		{ID: phPrime, Label: "Yes: prime it."},
		{ID: phRinse, Label: "Not yet: rinse again."},
		{ID: phDry, Label: "Not yet: let it dry, then read again."},
		{ID: phFiner, Label: "Not yet: read it with finer paper or a meter."},
		{ID: phPlaces, Label: "Not yet: read one more place."},
	} {
		o.Says = "not what the readings say"
		switch {
		case o.ID == right:
			o.Worth, o.Right, o.Says, o.Why = 1, true, says, why
		case o.ID == phPrime:
			o.Grave, o.Says, o.Why, o.Caution = true, "not proved: "+says, why, caution
		case right != phPrime && right != phRinse:
			o.Worth, o.Says = discouraged, "it does no harm, and proves nothing"
		}
		q.Options = append(q.Options, o)
	}
	return nil
}

// words tells a log line by line.
func (l *PHLog) words() []string {
	facts := []string{fmt.Sprintf("Read with: %s, good to %g either way.", l.Instrument.Name, float64(l.Instrument.Error))}
	if l.Acid {
		facts = append(facts, "A neutraliser was used.")
	}
	for _, r := range l.Readings {
		when := "wet"
		if r.Dry {
			when = "dry, wetted to be read"
		}
		if r.Where != "" {
			when += ", " + explain.Clean(r.Where)
		}
		facts = append(facts, fmt.Sprintf("Surface %g, untouched spot %g (%s).", float64(r.Surface), float64(r.Control), when))
	}
	return facts
}

// most returns the strictest upper limit of the base on a reading before a primer, or nil.
func (s *School) most(reading string, answers rules.Answers) (strictest *rules.Limit) {
	for _, l := range s.Base.LimitsOn(reading, "prime", nil, answers) {
		if l.Most != nil && (strictest == nil || *l.Most < *strictest.Most) {
			strictest = l
		}
	}
	return strictest
}

// judgePH holds a log against the limits of the base, as the site diary does: how far the dry surface may read from an
// untouched spot, how fine the paper must be, and in how many places. Readings from before the last wet one do not count.
// The limit is the one that is not kept; if all are it is the one on the pH.
func (s *School) judgePH(l *PHLog, answers rules.Answers) (id, says string, limit *rules.Limit) {
	off := s.most("ph_off_control", answers)
	worst, places := math.Inf(-1), 0
	for _, r := range l.Readings {
		if !r.Dry {
			worst, places = math.Inf(-1), 0
			continue
		}
		const decimals = 1e6 // readings are decimal, and their differences are not
		d := math.Round(decimals*float64(r.Surface-r.Control)) / decimals
		if l.Acid {
			d = math.Abs(d) // acid may have brought it below
		}
		worst = max(worst, d)
		places++
	}
	if places == 0 {
		return phDry, "a wet surface has not brought up what is left in its depth", nil
	}
	if off != nil {
		says, limit = fmt.Sprintf("the surface reads %.1f from the untouched spot, and the limit is %g", worst, *off.Most), off
		if !off.Keeps(worst) {
			return phRinse, says, off
		}
	}
	if step := s.most("ph_step", answers); step != nil && float64(l.Instrument.Error) > *step.Most {
		return phFiner, fmt.Sprintf("it was read to %g, and the paper must be as fine as %g", float64(l.Instrument.Error), *step.Most), step
	}
	for _, least := range s.Base.LimitsOn("ph_places", "prime", nil, answers) {
		if !least.Keeps(float64(places)) {
			return phPlaces, fmt.Sprintf("it was read dry in %d, and at least %g are asked for", places, *least.Least), least
		}
	}
	return phPrime, says, limit
}

// phReasons are the rules that ask for the reading, and the caution that goes with it.
func (s *School) phReasons(q *Question) (why []explain.Said, caution *rules.Note) {
	var asking []*rules.Rule
	for _, r := range s.Base.Rules {
		for _, id := range r.Attach[rules.Hold] {
			if id == "ph_matches_control" && !q.Decision.Never(r) {
				asking = append(asking, r)
			}
		}
	}
	return said(asking), s.Base.Note(rules.Caution, "alkali_comes_back")
}
