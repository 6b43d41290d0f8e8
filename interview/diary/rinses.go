package diary

import (
	"fmt"
	"math"
	"slices"

	"patchfirst/knowledge/figures"
)

// rinseSource is where the sum of rinses comes from: its first-rack case.
const rinseSource = "J. Metal Finishing Society of Japan 28(7), batch rinsing"

// usualDegree is the temperature of rinse water, in °C, where no surface was read: from memory.
const usualDegree = 15

// rinsing is what the sum of rinses takes.
type rinsing struct {
	film    figures.Range      // L of water on a m² after it drained
	each    figures.LitrePerM2 // in one rinse
	sources []string
}

// rinsing takes the water of the last rinse that was measured, and what the base says where none was.
func (j *judge) rinsing(b *Batch) (rinsing, bool) {
	film, from, ok := j.coefficient("water_left")
	if !ok {
		return rinsing{}, false
	}
	r := rinsing{film: film, sources: from}
	for _, x := range slices.Backward(b.Rinses) {
		if x.Water != nil && b.Area != nil && *b.Area > 0 {
			r.each = figures.LitrePerM2(*x.Water / float64(x.Rinses) / *b.Area)
			return r, true
		}
	}
	usual, from, ok := j.coefficient("rinse")
	r.each = figures.LitrePerM2(usual.Point)
	for _, id := range from {
		if !slices.Contains(r.sources, id) {
			r.sources = append(r.sources, id)
		}
	}
	return r, ok
}

// coefficient is a figure of the base for the method, in L/m²; false if it has none.
func (j *judge) coefficient(id string) (figures.Range, []string, bool) {
	c := j.Base.Coefficient(id, j.method, j.Answers)
	if c == nil {
		return figures.Range{}, nil, false
	}
	q, err := figures.ParseQuantity(c.Is, figures.Thinness)
	return q.Range, c.Sources, err == nil
}

func (j *judge) rinseWater(water PH) figures.RinseWater {
	w := figures.RinseWater{PH: figures.PH(water.Value), Temperature: usualDegree}
	if last, _ := j.weather(); last.Surface != nil && *last.Surface > 0 && *last.Surface < 50 {
		w.Temperature = figures.Celsius(*last.Surface)
	}
	return w
}

// predict says how many rinses are still needed, and whether the last ones did what was predicted of them.
func (j *judge) predict(b *Batch) []Say {
	wet, water := b.wet(), j.water()
	most, limit := j.bound("ph_above_water", "neutralise")
	r, known := j.rinsing(b)
	if wet == nil || water == nil || limit == nil || !known || wet.Value-water.Value <= most {
		return nil
	}
	var says []Say
	if slower, say := j.checked(b, *wet, *water, r); say.Text != "" {
		says = append(says, say)
		r.film = slower
	}
	need := func(film float64) (int, []figures.PH, error) {
		return figures.RinsesNeeded(figures.PH(wet.Value), j.rinseWater(*water), figures.LitrePerM2(film), r.each, figures.PH(most))
	}
	least, expected, err := need(r.film.Low)
	if err != nil {
		return append(says, Say{err.Error(), nil})
	}
	about := fmt.Sprintf("About %d more at the least", least)
	if slow, _, err := need(r.film.High); err == nil && slow > least {
		about = fmt.Sprintf("About %d to %d more", least, slow)
	}
	words := ""
	for i, pH := range expected[1:] {
		if i > 0 {
			words += ", then "
		}
		words += tenths(float64(pH))
	}
	expect := fmt.Sprintf("%s, of %s L/m² each: expect at best pH %s. Read after each.", about, tenths(float64(r.each)), words)
	return append(says, Say{expect, append([]string{rinseSource}, r.sources...)})
}

func tenths(v float64) string { return number(math.Round(v*10) / 10) }

// checked holds the last reading against what the one before it, and the rinses in between, predict. Where the surface
// gives its alkali more slowly it returns the film of water that would explain the reading.
func (j *judge) checked(b *Batch, wet, water PH, r rinsing) (figures.Range, Say) {
	before, n := b.rinsesBefore(wet)
	if before == nil || n == 0 {
		return r.film, Say{}
	}
	after := func(film float64) float64 {
		readings, err := figures.AfterRinses(figures.PH(before.Value), j.rinseWater(water), figures.LitrePerM2(film), r.each, n)
		if err != nil {
			return math.NaN()
		}
		return float64(readings[n])
	}
	low, high := after(r.film.Low), after(r.film.High)
	if math.IsNaN(low) || math.IsNaN(high) {
		return r.film, Say{}
	}
	sources := append([]string{rinseSource}, r.sources...)
	words := fmt.Sprintf("%s from pH %s should give %s to %s by the sum, and %s was read.",
		times(n, "rinse", "rinses"), number(before.Value), tenths(low), tenths(high), number(wet.Value))
	if wet.Value <= high+float64(coarser(wet, *before).Error) {
		return r.film, Say{words + " The sum holds.", sources}
	}
	film, top := r.film.High, float64(r.each)*50
	for top-film > 1e-4 {
		if middle := (film + top) / 2; after(middle) < wet.Value {
			film = middle
		} else {
			top = middle
		}
	}
	return figures.Exactly(top), Say{words + " The surface gives its alkali slowly, so more rinses are needed than by the plain sum.", sources}
}

// rinsesBefore is the wet reading before another, and how many rinses lie between the two.
func (b *Batch) rinsesBefore(wet PH) (before *PH, n int) {
	for _, p := range b.PH {
		if !p.Dry && p.Entry.At.Before(wet.Entry.At) && p.Entry.ID != wet.Entry.ID {
			before = &p
		}
	}
	if before == nil {
		return nil, 0
	}
	for _, x := range b.Rinses {
		if x.Entry.At.After(before.Entry.At) && !x.Entry.At.After(wet.Entry.At) {
			n += x.Rinses
		}
	}
	return before, n
}
