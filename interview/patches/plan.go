package patches

import (
	"cmp"
	"fmt"
	"slices"

	"patchfirst/rules"
)

// Plan is which patches to make on a part, or why none.
type Plan struct {
	Why         string              // no patch is planned: why
	Never       []Saying            // no patch is planned: what a patch would do to such a surface
	Missing     []string            // no patch is planned: the facts whose answers are needed first
	Refer       []rules.Attached    // no patch is planned: whom to call
	Keep        []rules.Attached    // the first choice keeps the paint: the steps that prove it
	Holds       []rules.Attached    // what must be met before the first patch
	Conditions  []rules.Requirement // every patch only if these are met
	Stage       []string            // the coats that the patches are for, where no single method takes every coat
	Candidates  []Planned           // gentlest first
	Left        []Left              // methods that are offered and yet not planned
	Size        Size
	Gap         float64 // mm between patches
	GapSources  []string
	Few         string // why one patch each is enough
	Scarce      string // fewer methods may be tried than is right
	Wait        string // no paste is put on at the temperature of the surface; the times are for the coldest that will do
	Film        *Film  // measured, and more than the coats that were counted
	Temperature *float64
	Warnings    []string
	Again       Again
	Slow        []Saying
	Means       []Saying
	Finish      []Finish
	Ending      Ending
	Warmth      Warmth
	Dead        int // dead patches that end a method
}

// Planned is one method to try.
type Planned struct {
	Letter     string
	Outcome    *rules.Outcome
	First      bool // it is the first choice of the advice
	Range      Range
	HasRange   bool
	Patches    []PlannedPatch
	Conditions []rules.Requirement
}

// PlannedPatch is one patch to make.
type PlannedPatch struct {
	Label     string
	Area      string
	Thickness float64   // mm; 0: no paste, or not known
	Look      []float64 // minutes, for the temperature of the surface where it is known
}

// Finish is a step or a hold point that the rules ask for and that ends a patch, with the letters of the methods it is for.
type Finish struct {
	rules.Attached
	For []string
}

// Left is a method that is offered and not planned.
type Left struct {
	Method *rules.Method
	Why    string
}

// Patchable reports whether the rules ask for a test patch of a method: it is offered, and the step test_patch is attached
// to it. Where not every case has the step, only says which have it.
func Patchable(o *rules.Outcome) (ok bool, only []rules.Requirement) {
	for _, n := range o.Notes {
		if n.Note.Kind == rules.Step && n.Note.ID == patchStep && o.Verdict.Offered() {
			return true, n.If
		}
	}
	return false, nil
}

// Names of the step and the stage that stand for patches in the base.
const (
	patchStep = "test_patch"
	testStage = "test"
)

// offers lists what may be tried, best first. Where no single method takes every coat, and the paint is not better kept,
// that is what takes the first stage, and stage names its coats.
func offers(d *rules.Decision) (try []*rules.Outcome, stage []string) {
	if len(d.Stages) > 0 && d.First.Verdict != rules.Favoured {
		s := d.Stages[0]
		return append([]*rules.Outcome{s.Method}, s.Others...), s.Rows
	}
	return append([]*rules.Outcome{d.First}, d.Fallback...), nil
}

// Outcome is what becomes of a method: among what may be tried, or else for the whole part.
func Outcome(d *rules.Decision, m *rules.Method) *rules.Outcome {
	try, _ := offers(d)
	for _, o := range try {
		if o.Method == m {
			return o
		}
	}
	return d.Methods[m.Rank]
}

// NewPlan plans the patches of a part.
func NewPlan(b *rules.Base, f *Figures, answers rules.Answers, d *rules.Decision) *Plan {
	p := &Plan{Size: f.Size(answers), Gap: f.Layout.Gap, GapSources: f.Layout.SourceNames, Again: f.Again, Means: f.Means, Ending: f.Ending, Warmth: f.Warmth, Dead: f.Layout.Dead}
	if t, ok := answers["surface_temp"]; ok && t.Lo == t.Hi {
		p.Temperature = &t.Lo
	}
	p.plan(b, f, answers, d)
	if p.Why != "" {
		for _, n := range f.Never {
			if n.Where.told(answers) && mayReach(d, n.Finding) {
				p.Never = append(p.Never, n.Saying)
			}
		}
	}
	return p
}

func (p *Plan) plan(b *rules.Base, f *Figures, answers rules.Answers, d *rules.Decision) {
	var try []*rules.Outcome
	try, p.Stage = offers(d)
	switch first := try[0].Method; {
	case first.LastResort:
		p.Why = "Every method is ruled out or of no use here, so none is tried."
		p.Refer = notes(d.First, rules.Refer, "")
		return
	case first.Keeps:
		p.Why = fmt.Sprintf("The advice is %q, so nothing is stripped and no stripper is tried.", first.Label)
		p.Keep = notes(d.First, rules.Step, testStage)
		p.Holds = notes(d.First, rules.Hold, testStage)
		return
	}
	chosen := p.choose(b, f, d, try)
	if len(chosen) == 0 {
		p.Why = "The rules allow no test patch with these answers."
		if len(p.Missing) > 0 {
			p.Why = "No test patch is planned until more is known: a patch must not touch asbestos, fire protection or old decoration."
		}
		p.Refer = notes(d.First, rules.Refer, "")
		return
	}
	p.Missing = nil
	for _, s := range f.Few {
		if s.Where.holds(answers) {
			p.Few = s.Say
		}
	}
	for _, s := range f.Slow {
		if s.Where.mayHold(answers) {
			p.Slow = append(p.Slow, s)
		}
	}
	for i, o := range chosen {
		c := Planned{Letter: string(rune('A' + i)), Outcome: o, First: o == try[0], Conditions: conditions(o)}
		c.Range, c.HasRange = f.Range(o.Method.ID, answers, d)
		p.patches(&c)
		p.finish(c)
		p.Candidates = append(p.Candidates, c)
		for _, n := range notes(o, rules.Hold, testStage) {
			if !slices.ContainsFunc(p.Holds, func(h rules.Attached) bool { return h.Note == n.Note }) {
				p.Holds = append(p.Holds, n)
			}
		}
	}
	p.warn()
	p.shared()
}

// finish notes what ends the work of a method on its patches: with acid or without is for the rules to say.
func (p *Plan) finish(c Planned) {
	for _, n := range c.Outcome.Notes {
		if !slices.Contains(p.Ending.Notes, n.Note.ID) || n.Note.Kind != rules.Step && n.Note.Kind != rules.Hold {
			continue
		}
		i := slices.IndexFunc(p.Finish, func(f Finish) bool {
			return f.Note == n.Note && f.Sure == n.Sure && slices.EqualFunc(f.If, n.If, same)
		})
		if i < 0 {
			i = len(p.Finish)
			p.Finish = append(p.Finish, Finish{Attached: n})
		}
		p.Finish[i].For = append(p.Finish[i].For, c.Letter)
	}
	slices.SortStableFunc(p.Finish, func(a, b Finish) int {
		return cmp.Compare(slices.Index(p.Ending.Notes, a.Note.ID), slices.Index(p.Ending.Notes, b.Note.ID))
	})
}

// conditions are what must be met for a method, and for its patch.
func conditions(o *rules.Outcome) []rules.Requirement {
	_, only := Patchable(o)
	all := slices.Clone(o.Conditions)
	for _, r := range only {
		if !slices.ContainsFunc(all, func(c rules.Requirement) bool { return same(c, r) }) {
			all = append(all, r)
		}
	}
	return all
}

func same(a, b rules.Requirement) bool {
	return a.Fact == b.Fact && slices.Equal(a.Values, b.Values) && slices.Equal(a.With, b.With) && slices.Equal(a.Without, b.Without) && slices.Equal(a.Ranges, b.Ranges)
}

// shared moves what every method needs from the methods to the plan.
func (p *Plan) shared() {
	for _, r := range p.Candidates[0].Conditions {
		needs := func(c Planned) bool {
			return slices.ContainsFunc(c.Conditions, func(q rules.Requirement) bool { return same(q, r) })
		}
		if !slices.ContainsFunc(p.Candidates, func(c Planned) bool { return !needs(c) }) {
			p.Conditions = append(p.Conditions, r)
		}
	}
	for i := range p.Candidates {
		p.Candidates[i].Conditions = slices.DeleteFunc(p.Candidates[i].Conditions, func(r rules.Requirement) bool {
			return slices.ContainsFunc(p.Conditions, func(q rules.Requirement) bool { return same(q, r) })
		})
	}
}

func notes(o *rules.Outcome, kind rules.NoteKind, stage string) (all []rules.Attached) {
	for _, n := range o.Notes {
		if n.Note.Kind == kind && (stage == "" || n.Note.Stage == stage) {
			all = append(all, n)
		}
	}
	return all
}

// warn says what the temperature of the surface does to the times. It says nothing where no method has paste.
func (p *Plan) warn() {
	w := p.Warmth
	switch paste := slices.ContainsFunc(p.Candidates, Planned.paste); {
	case !paste:
	case p.Temperature == nil:
		p.Warnings = append(p.Warnings, fmt.Sprintf("The surface temperature is not known: the times hold at %g to %g °C. %s", w.From, w.To, w.Say))
	case *p.Temperature < w.NoneBelow:
		p.Wait = fmt.Sprintf("The surface is at %g °C: put no paste on. %s", *p.Temperature, w.SayBelow)
		p.Warnings = append(p.Warnings, fmt.Sprintf("The times are those for a surface at %g °C. %s", w.NoneBelow, w.Say))
	case *p.Temperature > w.DriesAbove:
		p.Warnings = append(p.Warnings, w.SayAbove)
	case *p.Temperature < w.From || *p.Temperature > w.To:
		p.Warnings = append(p.Warnings, fmt.Sprintf("The times are those for a surface at %g °C. %s", *p.Temperature, w.Say))
	}
}

// paste reports whether the method works as a layer of paste, and so by time and warmth.
func (c Planned) paste() bool { return c.Range.Thin > 0 }
