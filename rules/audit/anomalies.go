package audit

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// Kind is the kind of an anomaly. The names of the first four, and of conflict and gap, are those of the literature on
// verifying rule bases (Suwa, Scott and Shortliffe 1982; Preece and Shinghal 1994).
type Kind string

// The kinds of anomaly. Circular findings are refused when a base is read.
const (
	Redundant     Kind = "redundant"       // another rule has the same condition and does all that this one does
	Subsumed      Kind = "subsumed"        // for all that it does another rule does it too whenever this one fires
	NeverFires    Kind = "never-fires"     // its condition holds in no case
	NeverDecisive Kind = "never-decisive"  // without it every case comes out the same
	Conflict      Kind = "conflict"        // one rule favours what another rules out under the same condition
	NoEffect      Kind = "no-effect"       // the answer to a question changes nothing
	SameAnswers   Kind = "same-answers"    // answers that no rule tells apart
	Unreached     Kind = "unreached"       // a caution, step, hold or referral that no case is shown
	UnreachedCell Kind = "unreached-cell"  // a table cell that no case reaches
	NeverOffered  Kind = "never-offered"   // a method that no case offers and that is not marked always refused
	Unread        Kind = "unread-question" // nothing reads the question
)

// Kinds says what each kind means, in the words of reports.
var Kinds = map[Kind]string{
	Redundant:     "another rule has the same condition and does all that this one does",
	Subsumed:      "whenever the rule fires others do all that it does",
	NeverFires:    "the condition of the rule holds in no case",
	NeverDecisive: "without the rule every case comes out the same",
	Conflict:      "a method is favoured and ruled out under the same condition",
	NoEffect:      "the answer to the question changes nothing",
	SameAnswers:   "no rule tells these answers apart",
	Unreached:     "no case is shown this note",
	UnreachedCell: "no case reaches the cell",
	NeverOffered:  "no case is offered the method",
	Unread:        "nothing reads the question",
}

// Anomaly is something in a base that is probably not meant.
type Anomaly struct {
	Kind    Kind
	ID      string // of what it is about
	Pos     rules.Pos
	Says    string
	Others  []string // ids of the other rules, or the answers, that it is about
	Certain bool     // a mistake whatever was meant: the check fails
}

// Key names the anomaly as a file of expected ones does.
func (a Anomaly) Key() string {
	key := fmt.Sprintf("%s %s", a.Kind, a.ID)
	if len(a.Others) > 0 {
		key += ": " + strings.Join(a.Others, ", ")
	}
	return key
}

func (a Anomaly) String() string { return fmt.Sprintf("%s: %s: %s", a.Pos, a.Kind, a.Says) }

// effect is one thing that a rule does: a verdict for a method, a note with a method, a level of a finding.
type effect struct {
	verdict rules.Verdict
	kind    rules.NoteKind
	id      string
	finding *rules.Finding
	level   int
	method  *rules.Method
}

// effects lists what each rule does.
func effects(b *rules.Base, r *rules.Rule) (all []effect) {
	for _, m := range b.Methods {
		for v := rules.Favoured; v <= rules.RuledOut; v++ {
			if r.Gives[v].Has(m.Rank) {
				all = append(all, effect{verdict: v, method: m})
			}
		}
		for _, kind := range rules.NoteKinds {
			if r.With.Has(m.Rank) {
				for _, id := range r.Attach[kind] {
					all = append(all, effect{kind: kind, id: id, method: m})
				}
			}
		}
	}
	for _, f := range b.Findings {
		if level, ok := r.Raises[f.ID]; ok {
			all = append(all, effect{finding: f, level: slices.Index(f.Scale, level)})
		}
	}
	return all
}

// as is the effect that rules must share to be compared: of a finding the level does not matter.
func (e effect) as() effect {
	if e.finding != nil {
		e.level = 0
	}
	return e
}

// inspector looks for anomalies in one space.
type inspector struct {
	s       *rules.Space
	does    [][]effect // by rule
	by      map[effect][]int
	refused []diagram.Node // by method: it is ruled out or of no use
	open    []bool         // by method: some case offers it
	found   []Anomaly
}

// Anomalies looks for anomalies of every kind. Gaps are not among them, since to favour nothing is no mistake: see Gaps.
func Anomalies(s *rules.Space) []Anomaly {
	in := newInspector(s)
	for i := range s.Base.Rules {
		in.rule(i)
	}
	in.conflicts()
	in.methods()
	in.questions()
	in.answers()
	in.notes()
	in.cells()
	return in.found
}

func newInspector(s *rules.Space) *inspector {
	in := &inspector{s: s, by: map[effect][]int{}}
	for i, r := range s.Base.Rules {
		in.does = append(in.does, effects(s.Base, r))
		for _, e := range in.does[i] {
			in.by[e.as()] = append(in.by[e.as()], i)
		}
	}
	for _, m := range s.Base.Methods {
		refused := s.Store.Or(s.Gives(rules.RuledOut, m), s.Gives(rules.NoUse, m))
		in.refused, in.open = append(in.refused, refused), append(in.open, in.occurs(s.Store.Not(refused)))
	}
	return in
}

func (in *inspector) add(a Anomaly) { in.found = append(in.found, a) }

func (in *inspector) occurs(nodes ...diagram.Node) bool {
	joint := in.s.Store.AndAll(nodes)
	return joint != diagram.False && in.s.Occurs(rules.Free, joint)
}

// implies reports whether b holds in every case that can occur in which a does.
func (in *inspector) implies(a, b diagram.Node) bool { return !in.occurs(a, in.s.Store.Not(b)) }

// rule tells the gravest of the four things that can be wrong with one rule.
func (in *inspector) rule(i int) {
	b, r, fires := in.s.Base, in.s.Base.Rules[i], in.s.Rule(i)
	tell := func(kind Kind, certain bool, format string, args ...any) {
		in.add(Anomaly{Kind: kind, ID: r.ID, Pos: r.Pos, Certain: certain, Says: fmt.Sprintf("rule %s ", r.ID) + fmt.Sprintf(format, args...)})
	}
	if !in.occurs(fires) {
		tell(NeverFires, r.Cell == "", "holds in no case: its condition contradicts itself or the constraints")
		return
	}
	if in.decides(i) {
		return
	}
	// Which one other rule does each of its effects whenever it fires?
	var others []string
	same, all := true, true
	for _, e := range in.does[i] {
		other := -1
		for _, j := range in.by[e.as()] {
			if j == i || in.levelOf(j, e) < e.level || !in.implies(fires, in.s.Rule(j)) {
				continue
			}
			if other = j; in.implies(in.s.Rule(j), fires) {
				break
			}
		}
		if other < 0 {
			all = false
			break
		}
		same = same && in.implies(in.s.Rule(other), fires)
		if id := b.Rules[other].ID; !slices.Contains(others, id) {
			others = append(others, id)
		}
	}
	switch {
	case all && same:
		tell(Redundant, false, "says again, under the same condition, what %s says", strings.Join(others, ", "))
	case all:
		tell(Subsumed, false, "says nothing that %s would not say whenever it fires", strings.Join(others, ", "))
	default:
		tell(NeverDecisive, false, "changes nothing: whenever it fires stronger rules, or several together, settle all that it speaks of")
		return
	}
	in.found[len(in.found)-1].Others = others
}

func (in *inspector) levelOf(j int, e effect) int {
	if e.finding == nil {
		return 0
	}
	return slices.Index(e.finding.Scale, in.s.Base.Rules[j].Raises[e.finding.ID])
}

// decides reports whether some case would come out differently without the rule: a method would have another verdict, an
// offered method would lack a note, or a finding would be lower.
func (in *inspector) decides(i int) bool {
	for _, e := range in.does[i] {
		if in.occurs(append(in.alone(i, e), in.s.Rule(i))...) {
			return true
		}
	}
	return false
}

// alone returns functions that all hold where it shows whether a rule has an effect: no other rule has it too or outdoes it,
// and a note is with an offered method.
func (in *inspector) alone(i int, e effect) (nodes []diagram.Node) {
	st := in.s.Store
	for _, j := range in.by[e.as()] {
		if j != i && in.levelOf(j, e) >= e.level {
			nodes = append(nodes, st.Not(in.s.Rule(j)))
		}
	}
	switch {
	case e.finding != nil:
	case e.kind != "":
		if !e.method.LastResort {
			nodes = append(nodes, st.Not(in.refused[e.method.Rank]))
		}
	default:
		for v := e.verdict + 1; v <= rules.RuledOut; v++ {
			nodes = append(nodes, st.Not(in.s.Gives(v, e.method)))
		}
	}
	return nodes
}

// conflicts finds rules that favour what a rule under the same condition rules out.
func (in *inspector) conflicts() {
	type two struct{ a, b int }
	told := map[two]bool{}
	for _, m := range in.s.Base.Methods {
		for _, i := range in.by[effect{verdict: rules.Favoured, method: m}] {
			for _, j := range in.by[effect{verdict: rules.RuledOut, method: m}] {
				a, b := in.s.Base.Rules[i], in.s.Base.Rules[j]
				if told[two{i, j}] || !in.occurs(in.s.Rule(i)) || !in.implies(in.s.Rule(i), in.s.Rule(j)) || !in.implies(in.s.Rule(j), in.s.Rule(i)) {
					continue
				}
				told[two{i, j}] = true
				in.add(Anomaly{Kind: Conflict, ID: a.ID, Pos: a.Pos, Others: []string{b.ID}, Certain: true, Says: fmt.Sprintf("rule %s favours %s, and %s (%s) rules it out under the same condition", a.ID, m.ID, b.ID, b.Pos)})
			}
		}
	}
}

// methods finds those that no case offers: in each they are ruled out, or of no use.
func (in *inspector) methods() {
	for _, m := range in.s.Base.Methods {
		if m.AlwaysRefused == "" && !in.open[m.Rank] {
			in.add(Anomaly{Kind: NeverOffered, ID: m.ID, Pos: m.Pos, Certain: true, Says: fmt.Sprintf("method %s is offered in no case: mark it always_refused with a reason, or mend the rules", m.ID)})
		}
	}
}

// notes finds notes that no case is shown: no rule attaches them to a method that is then offered.
func (in *inspector) notes() {
	fires := make([]bool, len(in.s.Base.Rules))
	for i := range fires {
		fires[i] = in.occurs(in.s.Rule(i))
	}
	for _, n := range in.s.Base.Notes {
		shown := false
		for _, m := range in.s.Base.Methods {
			for _, i := range in.by[effect{kind: n.Kind, id: n.ID, method: m}] {
				// To join a rule with a method that is never open, or one that never fires, could only take long.
				shown = shown || fires[i] && (m.LastResort || in.open[m.Rank] && in.occurs(in.s.Rule(i), in.s.Store.Not(in.refused[m.Rank])))
			}
			if shown {
				break
			}
		}
		if !shown {
			in.add(Anomaly{Kind: Unreached, ID: n.ID, Pos: n.Pos, Says: fmt.Sprintf("%s %s is shown in no case", n.Kind, n.ID)})
		}
	}
}

// cells finds table cells that no case reaches: narrower cells fill all that they fill, or their rows cannot occur.
func (in *inspector) cells() {
	for _, t := range in.s.Base.Tables {
		fact := in.s.Base.Fact(t.Rows)
		reached := map[*rules.Cell]bool{}
		for _, row := range fact.Values {
			if in.s.Occurs(rules.Free, in.s.Is(fact, row.ID)) {
				for _, m := range in.s.Base.Methods {
					reached[t.Cell(row.ID, m)] = true
				}
			}
		}
		for _, c := range t.Cells {
			if !reached[c] {
				in.add(Anomaly{Kind: UnreachedCell, ID: t.ID + "/" + c.ID, Pos: c.Pos, Certain: true, Says: fmt.Sprintf("cell %s of the table %s is reached by no case: narrower cells cover it, or its rows do not occur", c.ID, t.ID)})
			}
		}
	}
}
