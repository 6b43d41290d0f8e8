package diary

import (
	"slices"
	"time"

	"gopkg.in/yaml.v3"

	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/rules"
	"patchfirst/rules/source"
)

// Site is what is known of the part that its diary is judged against.
type Site struct {
	Base     *rules.Base
	Figures  *patches.Figures
	Answers  rules.Answers
	Decision *rules.Decision // nil: the part is not decided
	Now      time.Time
}

func (s Site) patches() patches.Site {
	p := patches.Site{Decision: s.Decision, Now: s.Now}
	if a, ok := s.Answers["layers"]; ok {
		p.Layers = a.Hi
	}
	return p
}

// judge holds a diary against the limits of the base.
type judge struct {
	Site
	d       *Diary
	reading *patches.Reading
	method  *rules.Method
	outcome *rules.Outcome // of the method; nil if the part is not decided
}

func newJudge(d *Diary, s Site) *judge {
	j := &judge{Site: s, d: d}
	j.reading = patches.Read(s.Figures, s.Base, d.Patches, s.Answers, s.patches())
	j.use(j.chosen())
	return j
}

// use makes a method the one that is judged.
func (j *judge) use(m *rules.Method) {
	j.method, j.outcome = m, nil
	if m != nil && j.Decision != nil {
		j.outcome = patches.Outcome(j.Decision, m)
	}
}

// chosen is the method of the last batch, or of the patches that are proven, or the first choice of the advice.
func (j *judge) chosen() *rules.Method {
	if n := len(j.d.Batches); n > 0 {
		return j.Base.Method(j.d.Batches[n-1].Method)
	}
	if j.reading.Next.Do == patches.Confirm {
		return j.reading.Next.Method
	}
	if j.Decision != nil && j.Decision.First != nil {
		return j.Decision.First.Method
	}
	return nil
}

// candidate is what the patches show of the method; nil: none was made.
func (j *judge) candidate() *patches.Candidate {
	for _, c := range j.reading.Candidates {
		if c.Method == j.method {
			return c
		}
	}
	return nil
}

// Judge says what may be done now and what must wait. log is the log that the diary was read from.
func Judge(d *Diary, log *yaml.Node, s Site) *Report {
	j := newJudge(d, s)
	r := &Report{Diary: d, Method: j.method, Patches: j.reading, Questions: d.Questions(log, s)}
	r.Actions = j.actions()
	for _, e := range d.Entries {
		if waits := held(log, e, s); len(waits) > 0 {
			r.Passed = append(r.Passed, Passed{e, waits})
		}
	}
	return r
}

func (j *judge) actions() (all []Action) {
	chosen := j.method
	if chosen != nil && !j.done() && !j.allBegun() {
		all = j.begin()
	}
	for _, b := range j.d.Batches {
		j.use(j.Base.Method(b.Method))
		all = append(all, j.batch(b)...)
	}
	j.use(chosen)
	return all
}

// begin lists how the next batch is begun: the patches, the confirming patch, the batch. What comes after one that is not
// done yet waits for it, and says no more than that.
func (j *judge) begin() (all []Action) {
	if j.wantsPatch() && len(j.d.Batches) == 0 && !j.proven() {
		a := Action{Do: ToPatch, Says: j.patchWords()}
		j.allowed(&a)
		j.holds(&a, "before", "protect", "test")
		all = append(all, a)
	}
	if j.wantsPatch() && j.confirming() == nil {
		all = append(all, j.apply(nil, true))
	}
	all = append(all, j.apply(nil, false))
	for i := range all[1:] {
		if a := &all[i+1]; len(a.Waits) > 0 {
			a.Waits, a.Kept, a.Says = a.Waits[:1], nil, nil
		}
	}
	return all
}

// done reports whether everything that was put on is primed.
func (j *judge) done() bool {
	work := slices.DeleteFunc(slices.Clone(j.d.Batches), func(b *Batch) bool { return b.Confirms })
	return len(work) > 0 && !slices.ContainsFunc(work, func(b *Batch) bool { return b.Primed == nil })
}

// allBegun reports whether the batches make up the whole area of the part, where that was told.
func (j *judge) allBegun() bool {
	area, ok := j.Answers["area"]
	if !ok {
		return false
	}
	begun := 0.
	for _, b := range j.d.Batches {
		if b.Area != nil {
			begun += *b.Area
		}
	}
	const nearly = 0.995
	return begun >= area.Hi*nearly
}

// batch lists what is next for a batch.
func (j *judge) batch(b *Batch) []Action {
	if b.Primed != nil {
		return nil
	}
	if _, off := b.Off(); !off {
		if !j.paste() {
			return []Action{{Do: ToRemove, Batch: b}}
		}
		return []Action{j.look(b), j.remove(b)}
	}
	var all []Action
	for _, a := range []*Action{j.rinse(b), j.neutralise(b)} {
		if a != nil {
			all = append(all, *a)
		}
	}
	if a := j.dry(b); a != nil && len(all) == 0 { // water comes before
		all = append(all, *a)
	}
	return append(all, j.prime(b))
}

// limits holds a reading against the limits of a stage. A nil value was not read.
func (j *judge) limits(a *Action, reading, stage string, value *float64, words string) {
	for _, l := range j.Base.LimitsOn(reading, stage, j.method, j.Answers) {
		f := Finding{ID: l.ID, Hold: l.Hold, Reading: words, Value: value, Limit: limitWords(l), Say: l.Say, Because: l.Because, Sources: l.Sources}
		switch {
		case value == nil:
			f.Say = "" // what to do hangs on the reading, and the words say what was not read
			a.Waits = append(a.Waits, f)
		case l.Keeps(*value):
			a.Kept = append(a.Kept, f)
		default:
			a.Waits = append(a.Waits, f)
		}
	}
}

// bound is the strictest upper limit on a reading; false if there is none.
func (j *judge) bound(reading, stage string) (most float64, limit *rules.Limit) {
	for _, l := range j.Base.LimitsOn(reading, stage, j.method, j.Answers) {
		if l.Most != nil && (limit == nil || *l.Most < most) {
			most, limit = *l.Most, l
		}
	}
	return most, limit
}

// holds adds the hold points of some stages that somebody must answer for, and nobody has yet.
func (j *judge) holds(a *Action, stages ...string) {
	if j.outcome == nil {
		return
	}
	for _, n := range j.outcome.Notes {
		if n.Note.Kind != rules.Hold || !slices.Contains(stages, n.Note.Stage) || measured(j.Base, n.Note.ID) {
			continue
		}
		f := Finding{ID: n.Note.ID, Hold: n.Note.ID, Reading: "nobody has answered for " + n.Note.ID + " yet", Say: n.Note.Say, If: n.If, Else: n.Else, Sources: n.Note.Sources}
		if i := slices.IndexFunc(j.d.Met, func(m Met) bool { return m.Hold == n.Note.ID }); i >= 0 {
			f.Reading = "met, says " + j.d.Met[i].Entry.By
			a.Kept = append(a.Kept, f)
			continue
		}
		a.Waits = append(a.Waits, f)
	}
}

// held lists what an entry should have waited for, as the diary stood when it was written.
func held(log *yaml.Node, e job.Entry, s Site) (waits []Finding) {
	if e.Kind != Apply && e.Kind != Neutralise && e.Kind != PrimedWith {
		return nil
	}
	s.Now = e.At
	quiet := &source.Document{}
	d := read(s.Base, quiet, AsOf(log, e.At, e.ID))
	j := newJudge(d, s)
	if e.Kind == Apply {
		b := reader{base: s.Base, doc: quiet}.applied(e)
		j.use(s.Base.Method(b.Method))
		return j.apply(b, b.Confirms).Waits
	}
	label := e.Fields.Text("batch")
	for _, b := range d.Batches {
		_, off := b.Off()
		if b.Primed != nil || label != b.Label && (label != "" || !off) {
			continue
		}
		j.use(s.Base.Method(b.Method))
		if e.Kind == PrimedWith {
			waits = append(waits, j.prime(b).Waits...)
		} else if a := j.neutralise(b); a != nil {
			waits = append(waits, a.Waits...)
		}
	}
	return waits
}
