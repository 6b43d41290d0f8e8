package patches

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"patchfirst/interview/job"
	"patchfirst/rules"
)

// Site is what is known of the part that entries are checked against. The zero Site knows nothing.
type Site struct {
	Decision *rules.Decision
	Layers   float64   // coats there are at most; 0: not counted
	Now      time.Time // zero: any time may be past
	Figures  *Figures  // nil: nothing is asked about warmth
	Holds    bool      // ask about hold points too, as when a patch is entered
}

// Questions asks about everything in the record that is possible and yet unlikely. They come in the order of the log.
func (r *Record) Questions(s Site) []job.Question {
	var asked []job.Question
	for i, e := range r.Entries {
		if e.Sure {
			continue
		}
		ask := func(format string, args ...any) {
			asked = append(asked, job.Question{Entry: e.ID, Ask: fmt.Sprintf(format, args...)})
		}
		if !own(e.Kind) {
			continue
		}
		for _, words := range job.AskTime(r.Entries, i, s.Now) {
			ask("%s", words)
		}
		r.askCorrection(ask, e)
		switch e.Kind {
		case PutOn:
			r.askPatch(ask, e, s)
		case LookAt:
			r.askLook(ask, e, s)
		case Control:
			for _, l := range r.Controls {
				if l.Entry.ID == e.ID {
					askPaper(ask, l)
				}
			}
		}
	}
	return asked
}

// own reports whether a kind of entry is one of patches; the others are for whoever reads them.
func own(kind string) bool {
	return kind == PutOn || kind == LookAt || kind == Control || kind == job.Strike
}

// askCorrection asks about a correction that is of another patch, or that leaves out what the old entry told: it stands in
// its place as a whole.
func (r *Record) askCorrection(ask func(string, ...any), e job.Entry) {
	i := slices.IndexFunc(r.Written, func(old job.Entry) bool { return e.Corrects > 0 && old.ID == e.Corrects })
	if i < 0 || e.Kind == job.Strike {
		return
	}
	old := r.Written[i].Fields
	if was, is := old.Text("patch"), e.Fields.Text("patch"); was != is {
		ask("It corrects entry %d, which is of patch %q, and is itself of patch %q. Is it the right entry?", e.Corrects, was, is)
	}
	var gone []string
	for _, key := range old.Keys() {
		if !slices.Contains([]string{"corrects", "because", "note", "sure"}, key) && e.Fields.Get(key) == nil {
			gone = append(gone, key+": "+old.Text(key))
		}
	}
	if len(gone) > 0 {
		ask("It stands in the place of entry %d, and leaves out what that one told: %s. Is that to go?", e.Corrects, strings.Join(gone, ", "))
	}
}

func (r *Record) askPatch(ask func(string, ...any), e job.Entry, s Site) {
	p := r.byEntry(e.ID)
	if p == nil {
		return
	}
	if f := s.Figures; f != nil && p.Surface != nil && *p.Surface < f.Warmth.NoneBelow && (p.Thickness > 0 || f.paste(p.Method)) {
		ask("The surface was at %.3g °C. %s Was paste put on all the same?", *p.Surface, f.Warmth.SayBelow)
	}
	if s.Decision == nil {
		return
	}
	for _, m := range s.Decision.Methods {
		if o := Outcome(s.Decision, m.Method); m.Method.ID == p.Method && !patchable(o) {
			ask("%s No patch of %s should be made here. If it was made, say so; it lifts no refusal.", refusal(o), m.Method.Label)
		} else if m.Method.ID == p.Method && s.Holds {
			r.askHolds(ask, e, o)
		}
	}
}

// askHolds asks about what the rules surely want met before a patch, and nobody has answered for in the log.
func (r *Record) askHolds(ask func(string, ...any), e job.Entry, o *rules.Outcome) {
	for _, n := range notes(o, rules.Hold, testStage) {
		met := slices.ContainsFunc(r.Entries, func(other job.Entry) bool {
			return other.Kind == "met" && other.Fields.Text("hold") == n.Note.ID && !other.At.After(e.At)
		})
		if n.Sure && !met {
			ask("%s Is that met?", n.Note.Say)
		}
	}
}

func refusal(o *rules.Outcome) string {
	if len(o.Reasons) > 0 && !o.Verdict.Offered() {
		return o.Reasons[0].Because
	}
	return "The rules ask for no patch of it with these answers."
}

func (r *Record) byEntry(id int) *Patch {
	for _, p := range r.Patches {
		if p.Put.ID == id || slices.ContainsFunc(p.Looks, func(l Look) bool { return l.Entry.ID == id }) {
			return p
		}
	}
	return nil
}

// jump is a change of the surface between two entries, in °C, that is asked about: from memory.
const jump = 15

func (r *Record) askLook(ask func(string, ...any), e job.Entry, s Site) {
	p := r.byEntry(e.ID)
	if p == nil {
		return
	}
	k := slices.IndexFunc(p.Looks, func(l Look) bool { return l.Entry.ID == e.ID })
	l := p.Looks[k]
	if words := job.AskClock(p.Put.At, e.At, Duration); words != "" {
		ask("%s", words)
	}
	if l.LayersLeft != nil {
		left := *l.LayersLeft
		if s.Layers > 0 && left > s.Layers {
			ask("It counts %g coats left, and the part was told to have %g. Which is right?", left, s.Layers)
		}
		for _, before := range p.Looks[:k] {
			if before.LayersLeft != nil && left > *before.LayersLeft {
				ask("It counts %g coats left on %s, and entry %d counted %g before. Coats do not come back: which is right?", left, p.Label, before.Entry.ID, *before.LayersLeft)
				break
			}
		}
		if left == 0 && l.Lifts == Not {
			ask("Nothing is left on %s, and yet the coat does not lift. Which is right?", p.Label)
		}
	}
	if l.LayersLeft == nil && l.Lifts == "" && l.Harm == "" && l.PH == nil && l.Edges == "" {
		ask("It says nothing of what was seen on %s. How many coats are left, how do they lift, and is there harm?", p.Label)
	}
	if was := p.surfaceBefore(k); was != nil && l.Surface != nil && math.Abs(*l.Surface-*was) > jump {
		ask("The surface went from %.0f °C to %.0f °C. Was the sun on it, or is one reading wrong?", *was, *l.Surface)
	}
	if was := p.passesBefore(k); l.Passes > 0 && l.Passes < was {
		ask("It counts applications up to %d, and an entry before it up to %d. Which is right?", l.Passes, was)
	}
	askPaper(ask, l)
}

// passesBefore is how many applications were counted before look k.
func (p *Patch) passesBefore(k int) (most int) {
	for _, l := range p.Looks[:k] {
		most = max(most, l.Passes)
	}
	return most
}

// askPaper asks about a pH that the usual paper does not read: 1 to 11 (ASTM D4262).
func askPaper(ask func(string, ...any), l Look) {
	if l.PH != nil && (*l.PH < 1 || *l.PH > 11) {
		ask("pH %g lies outside the usual paper, which reads 1 to 11. Was it read with a meter or a wider paper?", *l.PH)
	}
}

// surfaceBefore returns the last reading of the surface before look k.
func (p *Patch) surfaceBefore(k int) *float64 {
	for _, l := range slices.Backward(p.Looks[:k]) {
		if l.Surface != nil {
			return l.Surface
		}
	}
	return p.Surface
}
