package patches

import (
	"math"
	"slices"
	"time"

	"patchfirst/interview/job"
	"patchfirst/rules"
)

// What to do next.
const (
	Confirm   = "confirm"    // one larger patch, then the work
	Extend    = "extend"     // go on with patches that are there, or make one more of the same method
	LookAgain = "look_again" // a patch is clean: judge it dry
	TryNext   = "next"       // patch another method
	Stop      = "stop"       // and call the right specialist
)

// Next is what to do next, for one method.
type Next struct {
	Do       string
	Method   *rules.Method  // nil where nothing is to be patched
	Harm     bool           // a method was stopped because harm was seen
	Patches  []Visit        // which patches to look at, and when
	Fresh    bool           // of Extend: make one more patch on a fresh place
	Passes   int            // of Fresh: applications, where one took some coats and not all; 0: as before
	Thicker  float64        // of Fresh: or so many mm, where the planning range has room
	Colder   []*rules.Limit // of Fresh: the patches came clean on a surface so much warmer that these limits are not kept
	Size     Size           // of Confirm
	Dwell    *Dwell         // of Confirm
	Larger   *job.Entry     // of Confirm: the confirming patch that the site diary holds already
	Refer    []rules.Attached
	Planning bool // of TryNext: no patch was made yet
	// Of TryNext: the planning range of the method, its looks for the surface that the job tells.
	Range    Range
	HasRange bool
}

// Visit is when to look at a patch.
type Visit struct {
	Label string
	At    []time.Time
	Off   time.Time // the paste comes off by then, clean or not; zero: no stop
	Again int       // put it on for so many times first; 0: it stays as it is
}

// next goes through the methods that were tried, gentlest first: one that did harm, failed or is refused is passed over,
// one that is not settled goes on, one that is proven is confirmed. If none is left the next one that is offered is
// tried, and then nothing but the specialist.
func next(f *Figures, r *Reading, answers rules.Answers, d *rules.Decision) Next {
	harm := slices.ContainsFunc(r.Candidates, func(c *Candidate) bool { return c.State == Harmed })
	for _, c := range r.Candidates {
		n := Next{Method: c.Method, Harm: harm}
		switch c.State {
		case Proven:
			n.Do, n.Size, n.Dwell, n.Larger = Confirm, f.Size(answers), c.Dwell, r.larger(c.Method)
			if len(c.Colder) > 0 {
				n = Next{Do: Extend, Method: c.Method, Harm: harm, Fresh: true, Colder: c.Colder}
			}
		case Clean:
			n.Do, n.Patches = LookAgain, dryLooks(f, c)
		case Open, Partly:
			n.Do, n.Patches = Extend, openLooks(f, c)
			n.Fresh = len(n.Patches) == 0
			if n.Fresh {
				n.Passes, n.Thicker = c.more()
			}
			if c.State == Partly && c.count(Dead) >= f.Layout.Dead && !c.thicker() {
				continue
			}
		default:
			continue
		}
		return n
	}
	return untried(f, r, answers, d, harm)
}

// larger is the last confirming patch of a method in the site diary, or nil.
func (r *Reading) larger(m *rules.Method) *job.Entry {
	for i, e := range slices.Backward(r.entries) {
		if e.Kind == "apply" && e.Fields.Text("method") == m.ID && e.Fields.Text("confirm") == "true" {
			return &r.entries[i]
		}
	}
	return nil
}

func untried(f *Figures, r *Reading, answers rules.Answers, d *rules.Decision, harm bool) Next {
	if d == nil {
		return Next{Do: Stop, Harm: harm}
	}
	try, _ := offers(d)
	for _, o := range try {
		tried := slices.ContainsFunc(r.Candidates, func(c *Candidate) bool { return c.Method == o.Method })
		cannot := slices.ContainsFunc(f.NoPatch, func(s Saying) bool { return s.ID == o.Method.ID })
		if !tried && !cannot && patchable(o) && !o.Method.Keeps {
			n := Next{Do: TryNext, Method: o.Method, Harm: harm, Planning: len(r.Candidates) == 0}
			n.Range, n.HasRange = f.Range(o.Method.ID, answers, d)
			if t, ok := answers["surface_temp"]; ok && t.Lo == t.Hi {
				n.Range.Look = n.Range.looks(t.Lo, f.Warmth)
			}
			return n
		}
	}
	n := Next{Do: Stop, Harm: harm}
	for _, o := range d.Methods {
		if o.Method.LastResort {
			n.Method, n.Refer = o.Method, notes(o, rules.Refer, "")
		}
	}
	return n
}

// more is what a fresh patch has more of, where a patch took some coats and not all: applications, or else thickness.
func (c *Candidate) more() (passes int, mm float64) {
	for _, t := range c.Tests {
		if t.State == Short {
			passes = max(passes, t.Passes+1)
		}
	}
	if passes > 0 && c.thicker() {
		mm = c.Range.Thick
	}
	return passes, mm
}

// thicker reports whether the planning range has room for a thicker paste than was tried.
func (c *Candidate) thicker() bool {
	return c.HasRange && !slices.ContainsFunc(c.Tests, func(t *Test) bool { return t.Thickness >= c.Range.Thick })
}

// dryLooks are the times at which patches that came clean are judged dry: those that have not passed with a look.
func dryLooks(f *Figures, c *Candidate) (visits []Visit) {
	for _, t := range c.Tests {
		if t.State == Clean {
			v := Visit{Label: t.Label}
			for _, after := range f.Again.Look {
				v.At = append(v.At, t.cleanAt().Add(minutes(after)))
			}
			visits = append(visits, v)
		}
	}
	return visits
}

func (t *Test) cleanAt() time.Time {
	for _, l := range t.Looks {
		if l.Clean() {
			return l.Entry.At
		}
	}
	return t.Put.At
}

// openLooks are the planned times at which open patches are still to be looked at. What is left of a planned time is
// counted from the last look that counted coats, as if the surface kept its reference temperature from there. A patch that
// took some coats, and whose paste is still there to be renewed, is put on again, unless it has lain until its stop.
func openLooks(f *Figures, c *Candidate) (visits []Visit) {
	for _, t := range c.Tests {
		switch {
		case t.overdue || t.State == Short && t.ended:
			continue
		case t.State == Short:
			visits = append(visits, Visit{Label: t.Label, Again: t.Passes + 1, Off: c.stop(t)})
		case t.State == Open:
			visits = append(visits, t.visit(f, c))
		}
	}
	return visits
}

func (t *Test) visit(f *Figures, c *Candidate) Visit {
	v, from := Visit{Label: t.Label, Off: c.stop(t)}, t.Put.At
	if t.Passes > 1 {
		from = t.renewedAt
	}
	for _, l := range t.Looks {
		if l.NotClean() {
			from = l.Entry.At
		}
	}
	for _, after := range c.atReference(f.Warmth) {
		if lain := t.NotYet - t.renewed; after > lain {
			v.At = append(v.At, from.Add(minutes(after-lain)))
		}
	}
	if !v.Off.IsZero() {
		v.At = slices.DeleteFunc(v.At, func(at time.Time) bool { return at.After(v.Off) })
	}
	return v
}

// stop is when paste must be off a patch, whatever it shows; the zero time if there is no stop.
func (c *Candidate) stop(t *Test) time.Time {
	if c.Range.Stop == 0 {
		return time.Time{}
	}
	return t.Put.At.Add(minutes(c.Range.Stop))
}

func minutes(m float64) time.Duration { return time.Duration(math.Round(m*60)) * time.Second }

// Evidence is what the patches of a part say of its methods, by the id of the method. It is no answer and lifts no
// refusal: after the verdicts, harm seen means ruled out, failed means no use, proven means favoured.
type Evidence map[string]rules.Shown

// Evidence returns what is settled of the methods that the rules allow a patch of; harm counts for any.
func (r *Reading) Evidence() Evidence {
	e := Evidence{}
	for _, c := range r.Candidates {
		e.settle(c.Method.ID, c.State)
	}
	return e
}

func (e Evidence) settle(method string, s State) {
	switch s {
	case Harmed:
		e[method] = rules.Harmed
	case Dead:
		e[method] = rules.Failed
	case Proven:
		e[method] = rules.Proven
	}
}
