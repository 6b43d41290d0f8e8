package rules

import "slices"

// Shown is what trials on site showed of a method.
type Shown string

// What trials show.
const (
	Harmed Shown = "harm"
	Failed Shown = "failed"
	Proven Shown = "proven"
)

// Heed lets trials speak after the rules, by the id of the method: harm rules a method out, failure makes it of no use,
// and proof makes an offered method favoured. It lifts no refusal. The first choice is chosen anew.
func (d *Decision) Heed(trials map[string]Shown) {
	places := make([]place, len(d.Methods))
	for m, o := range d.Methods {
		switch shown := trials[o.Method.ID]; {
		case shown == Harmed:
			o.Shown, o.Verdict = shown, RuledOut
		case shown == Failed && o.Verdict.Offered():
			o.Shown, o.Verdict = shown, NoUse
		case shown == Proven && o.Verdict.Offered():
			o.Shown, o.Verdict = shown, Favoured
		}
		places[m] = d.work.place(m, o.Verdict, o.Care)
	}
	d.rank(places)
}

// rank chooses the first choice and orders the fallbacks.
func (d *Decision) rank(places []place) {
	ranked := slices.Clone(d.Methods)
	slices.SortStableFunc(ranked, func(x, y *Outcome) int {
		if places[x.Method.Rank].before(places[y.Method.Rank]) {
			return -1
		}
		return 1
	})
	d.First, d.Fallback = ranked[0], nil
	for _, o := range ranked[1:] {
		if o.Verdict.Offered() && !o.Method.LastResort {
			d.Fallback = append(d.Fallback, o)
		}
	}
}
