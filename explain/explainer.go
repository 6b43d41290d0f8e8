package explain

import (
	"errors"
	"fmt"
	"slices"

	"patchfirst/interview/job"
	"patchfirst/interview/takeoff"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

// Explainer answers questions about the advice on one part of a job: why, why not, what if, what next.
type Explainer struct {
	base     *rules.Base
	job      *job.Job
	part     Part
	reasoner *rules.Reasoner
}

// Explain decides a part of a job, to be asked about.
func Explain(b *rules.Base, j *job.Job, e *job.Element) (*Explainer, error) {
	r, err := b.Reasoner()
	if err != nil {
		return nil, err
	}
	return ExplainBy(r, b, j, e)
}

// ExplainBy is Explain with a reasoner of the base that is there already.
func ExplainBy(r *rules.Reasoner, b *rules.Base, j *job.Job, e *job.Element) (*Explainer, error) {
	part, err := decide(b, j, e)
	if err != nil {
		return nil, err
	}
	if err := part.heed(b); err != nil {
		return nil, err
	}
	return &Explainer{b, j, part, r}, nil
}

// Decision returns what was decided of the part.
func (x *Explainer) Decision() *rules.Decision { return x.part.Decision }

func decide(b *rules.Base, j *job.Job, e *job.Element) (Part, error) {
	answers := knowledge.WithFigures(b, takeoff.Facts(b, j, e))
	d, contradiction, err := b.Decide(answers)
	if contradiction != nil {
		err = &PartError{e.Name, contradiction}
	}
	return Part{e, answers, d}, err
}

// Why is why the base says what it says of a method, a finding or a note.
type Why struct {
	Part    string   `json:"part"`
	Kind    string   `json:"kind"` // method, finding, caution, step, hold or refer
	ID      string   `json:"id"`
	Label   string   `json:"label"`
	Says    string   `json:"says"`    // the verdict of a method, the level of a finding, or "always", "perhaps" or "not here" of a note
	Enough  []Given  `json:"enough"`  // answers that are enough for it, none of which can be left out; empty: it is open
	Chain   []*Link  `json:"chain"`   // the rules that say so, back to the answers
	Others  []Said   `json:"others"`  // further rules that say so
	Against []Said   `json:"against"` // of an offered method: rules that may yet speak against it
	Silent  int      `json:"silent"`  // of an offered method: rules that would speak against it and do not fire
	Until   []string `json:"until"`
	Change  *Change  `json:"change,omitempty"` // of a method that is not offered: the nearest change that would open it
	Before  []Passed `json:"before"`           // of the first choice: gentler methods, and why not they
}

// Given is an answer, or what a blank means.
type Given struct {
	Fact  string `json:"fact"`
	Name  string `json:"name"`
	Value string `json:"value"`
}

// Said is a rule in brief.
type Said struct {
	Rule    string   `json:"rule"`
	Because string   `json:"because"`
	Sources []string `json:"sources"`
}

// Link is a rule in a chain of reasons, with its tests that matter.
type Link struct {
	Said
	Sure  bool   `json:"sure"`
	Tests []Test `json:"tests"`
}

// Test is one test of a rule: what it wants, what the person said, and the rules behind a finding.
type Test struct {
	Name  string  `json:"name"`
	Wants string  `json:"wants"`
	Has   string  `json:"has"`
	Sure  bool    `json:"sure"`
	By    []*Link `json:"by"`
}

// Change is the nearest change that would open a method.
type Change struct {
	Facts   []string            `json:"facts"`
	Answers []rules.Requirement `json:"answers"`
	Text    string              `json:"text"`
}

// Passed is a gentler method that is not the first choice.
type Passed struct {
	Method  string `json:"method"`
	Label   string `json:"label"`
	Verdict string `json:"verdict"`
	Because string `json:"because"`
}

// ErrNoSubject is that nothing of the base goes by a name.
var ErrNoSubject = errors.New("nothing goes by this name")

// Why explains what goes by an id: a method, a finding, a caution, step, hold or referral. The empty id is the first
// choice.
func (x *Explainer) Why(id string) (*Why, error) {
	if id == "" {
		id = x.part.Decision.First.Method.ID
	}
	if m := x.base.Method(id); m != nil {
		return x.method(x.part.Decision.Methods[m.Rank])
	}
	if f := x.base.Finding(id); f != nil {
		return x.finding(f), nil
	}
	for _, kind := range rules.NoteKinds {
		if n := x.base.Note(kind, id); n != nil {
			return x.note(n), nil
		}
	}
	return nil, fmt.Errorf("%w: %q. %s", ErrNoSubject, id, rules.DidYouMean(id, x.subjects()))
}

// subjects lists every id that can be explained.
func (x *Explainer) subjects() (ids []string) {
	for _, m := range x.base.Methods {
		ids = append(ids, m.ID)
	}
	for _, f := range x.base.Findings {
		ids = append(ids, f.ID)
	}
	for _, n := range x.base.Notes {
		ids = append(ids, n.ID)
	}
	return ids
}

func (x *Explainer) new(kind, id, label, says string) *Why {
	return &Why{Part: x.part.Element.Name, Kind: kind, ID: id, Label: label, Says: says,
		Enough: []Given{}, Chain: []*Link{}, Others: []Said{}, Against: []Said{}, Until: []string{}, Before: []Passed{}}
}

func (x *Explainer) method(o *rules.Outcome) (*Why, error) {
	m := o.Method
	w := x.new("method", m.ID, m.Label, o.Verdict.String())
	w.Until = list(o.Until)
	if o.Shown != "" {
		w.Others = append(w.Others, Said{Rule: "test patches", Because: shownWords[o.Shown], Sources: []string{}})
	} else if o.Verdict != rules.Possible {
		reason, firm := x.reasoner.Why(x.part.Answers, x.reasoner.Verdict(m, o.Verdict))
		if firm {
			w.Enough = x.given(reason.Facts)
		}
		rule := reason.Rule
		if rule == nil && len(o.Reasons) > 0 {
			rule = o.Reasons[0]
		}
		w.chain(x, rule)
		for _, r := range o.Reasons {
			if r != rule {
				w.Others = append(w.Others, said(r))
			}
		}
	}
	if o.Verdict.Offered() {
		x.against(w, o)
	} else {
		change, err := x.reasoner.Nearest(x.part.Answers, m)
		if err != nil {
			return nil, err
		}
		if change != nil {
			w.Change = &Change{list(change.Facts), list(change.Answers), Requirements(x.base, change.Answers)}
		}
	}
	if o == x.part.Decision.First {
		x.before(w)
	}
	return w, nil
}

// against says which rules would speak against an offered method.
func (x *Explainer) against(w *Why, o *rules.Outcome) {
	for _, r := range x.base.Rules {
		worse := false
		for v, set := range r.Gives {
			worse = worse || v > o.Verdict && v != rules.Favoured && set.Has(o.Method.Rank)
		}
		switch {
		case !worse:
		case slices.Contains(o.Changes, r):
			w.Against = append(w.Against, said(r))
		default:
			w.Silent++
		}
	}
}

// before names the gentler methods that the first choice comes before.
func (x *Explainer) before(w *Why) {
	d := x.part.Decision
	for _, o := range d.Methods[:d.First.Method.Rank] {
		p := Passed{o.Method.ID, o.Method.Label, o.Verdict.String(), ""}
		switch {
		case len(o.Reasons) > 0 && o.Verdict != rules.Favoured:
			p.Because = o.Reasons[0].Because
		case o.Verdict < d.First.Verdict || o.Verdict == rules.Possible && d.First.Verdict == rules.Favoured:
			p.Because = "Nothing speaks for it here."
		case o.Care && !d.First.Care:
			p.Because = "It needs more care on this surface."
		}
		w.Before = append(w.Before, p)
	}
}

func (x *Explainer) finding(f *rules.Finding) *Why {
	var level rules.Level
	for _, l := range x.part.Decision.Findings {
		if l.Finding == f {
			level = l
		}
	}
	w := x.new("finding", f.ID, f.Label, levelWords(level))
	if level.Max == 0 {
		return w
	}
	reason, firm := x.reasoner.Why(x.part.Answers, x.reasoner.Finding(f, level.Max))
	if firm {
		w.Enough = x.given(reason.Facts)
	}
	rule := reason.Rule
	for _, r := range level.Rules {
		if rule == nil {
			rule = r
		}
		if r != rule {
			w.Others = append(w.Others, said(r))
		}
	}
	w.chain(x, rule)
	return w
}

func (x *Explainer) note(n *rules.Note) *Why {
	first := x.part.Decision.First
	w := x.new(string(n.Kind), n.ID, n.Say, "not here")
	for _, a := range first.Notes {
		if a.Note != n {
			continue
		}
		w.Says = "perhaps"
		rule := a.Rule
		if a.Sure {
			w.Says = "always"
			if reason, firm := x.reasoner.Why(x.part.Answers, x.reasoner.Note(n, first.Method)); firm {
				w.Enough = x.given(reason.Facts)
				if reason.Rule != nil {
					rule = reason.Rule
				}
			}
		}
		w.chain(x, rule)
	}
	return w
}

func (w *Why) chain(x *Explainer, r *rules.Rule) {
	if r == nil {
		return
	}
	if fired := x.part.Decision.Chain(r); fired != nil {
		w.Chain = append(w.Chain, x.link(fired))
	}
}

func (x *Explainer) link(f *rules.Fired) *Link {
	l := &Link{Said: said(f.Rule), Sure: f.Sure, Tests: []Test{}}
	for _, t := range f.Tests {
		test := x.test(t)
		for _, by := range t.By {
			test.By = append(test.By, x.link(by))
		}
		l.Tests = append(l.Tests, test)
	}
	return l
}

func (x *Explainer) test(t rules.Tested) Test {
	test := Test{Sure: t.Sure, By: []*Link{}}
	if t.Test.Finding != nil {
		f := t.Test.Finding
		test.Name, test.Wants = f.Label, levels(t.Test, t.Negated)
		for _, l := range x.part.Decision.Findings {
			if l.Finding == f {
				test.Has = levelWords(l)
			}
		}
		return test
	}
	f := t.Test.Fact.Parent()
	test.Name, test.Wants, test.Has = f.Words(), wants(t.Test, t.Negated), x.has(f)
	return test
}

// has says what a person answered, or what a blank means.
func (x *Explainer) has(f *rules.Fact) string {
	a, ok := x.part.Answers[f.ID]
	switch {
	case ok:
		return Answer(f, a)
	case f.Blank == rules.Refuses || f.Blank == rules.Condition:
		return "not told"
	}
	return "not told, so " + f.Label(f.Blank)
}

func (x *Explainer) given(facts []*rules.Fact) []Given {
	all := make([]Given, len(facts))
	for i, f := range facts {
		all[i] = Given{f.ID, f.Words(), x.has(f)}
	}
	return all
}

func said(r *rules.Rule) Said { return Said{r.ID, r.Because, list(r.Sources)} }
