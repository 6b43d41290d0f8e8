// Package rules decides from declared questions, rules and tables, and can say why. It knows logic and no trade: all that
// it decides about comes from a Base.
//
// A Base is read by package source, then Bind checks it and gives every question its place in the decision diagrams.
// Decide answers one partial case. The semantics are those of the design notes, in short:
//
//   - a blank answer leaves every value possible (refuses), or is for someone on site to meet (condition), or is a value;
//   - a rule that rules out counts if it may fire, one that favours or discourages only if it must;
//   - a method is ruled out when no choice of the condition questions keeps it open in every case that the other blanks
//     allow;
//   - the first choice is the gentlest of the best class that remains.
package rules

import (
	"strings"

	"patchfirst/rules/diagram"
)

// Kind is the kind of answer that a fact takes.
type Kind int

// The kinds of fact.
const (
	Choice  Kind = iota // one of its values
	Several             // any number of its values, at most Fact.Most
	Number              // a number, cut into cells at the thresholds that the rules name
)

// Markers stand in a list of sources for a statement that has none.
const (
	CommonPractice = "common practice"
	FromMemory     = "from memory"
)

// What a blank answer means, when it is not a value of the fact.
const (
	Refuses   = "refuses"
	Condition = "condition"
)

// Base is a whole rule base.
type Base struct {
	Version      string
	Digest       string // of the files it was read from
	Facts        []*Fact
	Groups       []*Group
	Findings     []*Finding
	Methods      []*Method // gentlest first
	Rules        []*Rule   // after Bind also those that tables and always-refused methods stand for
	Tables       []*Table
	Constraints  []*Constraint
	Promises     []*Promise
	Limits       []*Limit
	Notes        []*Note
	Stages       *Stages // may be nil
	Sources      []*Source
	Terms        []*Term
	Coefficients []*Coefficient

	facts    map[string]*Fact
	findings map[string]*Finding
	methods  map[string]*Method
	groups   map[string]*Group
	notes    map[NoteKind]map[string]*Note
	vars     []variable
	order    []diagram.Var
	byForce  []diagram.Var // for rankings
	together map[pair]bool
	seen     *seen
}

// Fact is a question about the case, or a figure computed from other facts.
type Fact struct {
	ID, Topic, Scope  string
	Name              string // in a few words, for lists of answers; empty: the id
	Ask, Why, FindOut string
	Kind              Kind
	Year, YesNo       bool // how to show and ask it
	Values            []Value
	Most              int // of a several-fact: how many values can be true at once; 0 is no limit
	Unit              string
	From, To, Step    float64
	Blank             string   // Refuses, Condition or a value
	Change            string   // never, test or arrange: what a person can do about it
	Final             []string // answers that no person can change any more; nil: all that a test gives
	Applies           *Cond    // nil: always
	Else              []string
	ElseNumber        float64  // of a number: instead of Else
	Order             string   // of a several-fact whose list has an order: the name of that order
	First, Last       string   // of such a fact: the ids of the derived facts for the two ends of the list
	AtLeastWhen       *Cond    // where this holds a list of the fact is not complete
	Figure            string   // the name of the function that computes it; empty for a question
	Inputs            []string // of a figure: the facts it is computed from
	Sources           []string
	Pos               Pos

	ends *Fact // for a derived end: the several-fact it belongs to
	vars []diagram.Var
	// cells of a number: cell i runs from cuts[i-1] to cuts[i]; closed[i] says whether cuts[i] belongs to cell i.
	cuts []cut
	// named are the values of a derived end that some condition names; the last two cells are "none" and all others.
	named []string
	// strange are the values that only the base knows with which this one is compared.
	strange []string
}

// Asked reports whether a person is asked for the fact.
func (f *Fact) Asked() bool { return f.Figure == "" && f.ends == nil }

// Value is a value of a fact, with its name for people.
type Value struct{ ID, Label string }

// Group is a named set of values of a fact or of methods.
type Group struct {
	ID, Of string
	Is     []string
	Pos    Pos
}

// Finding is a conclusion that rules raise at least to a level.
type Finding struct {
	ID, Label string
	Scale     []string // mildest first; the first is the level when nothing raises it
	Pos       Pos
}

// Method is something that can be advised.
type Method struct {
	ID, Label, About       string
	Needs                  []string
	Competence             string
	Time, Dust, Fume, Mess string
	Keeps                  bool // it leaves the rows of the stage table in place, so it is no stage
	AlwaysRefused          string
	LastResort             bool
	Sources                []string
	Pos                    Pos
	Rank                   int // place in the base, gentlest first
}

// Verdict is what becomes of a method. The order is the strength of the rules that give it.
type Verdict int

// The verdicts.
const (
	Possible Verdict = iota
	Favoured
	Discouraged
	NoUse
	RuledOut
)

var verdictNames = []string{"possible", "favoured", "discouraged", "no_use", "ruled_out"}

func (v Verdict) String() string { return verdictNames[v] }

// MarshalText writes the verdict as in JSON output.
func (v Verdict) MarshalText() ([]byte, error) { return []byte(v.String()), nil }

// Offered reports whether a method with this verdict may be advised.
func (v Verdict) Offered() bool { return v < NoUse }

// NoteKind is the kind of a note.
type NoteKind string

// The kinds of note.
const (
	Caution NoteKind = "caution"
	Step    NoteKind = "step"
	Hold    NoteKind = "hold"
	Refer   NoteKind = "refer"
)

// NoteKinds lists them in the order in which they are read.
var NoteKinds = []NoteKind{Caution, Step, Hold, Refer}

// Gravities and stages of work, gravest and earliest first.
var (
	Gravities  = []string{"stop", "danger", "care"}
	WorkStages = []string{"before", "protect", "test", "apply", "check", "remove", "clean", "neutralise", "dry", "prime", "waste", "records"}
)

// Note is something that a rule can attach to a method: a caution, a step of the work, a hold point or a referral.
type Note struct {
	Kind      NoteKind
	ID        string
	Gravity   string // of a caution
	Stage     string // of a step or a hold
	Say       string
	Do        string // of a caution
	Meanwhile string // of a referral
	Sources   []string
	Pos       Pos
	Rank      int // place in the base
}

// MethodSet is a set of methods by rank.
type MethodSet uint64

// Has reports whether the method of a rank is in the set.
func (s MethodSet) Has(rank int) bool { return s>>rank&1 == 1 }

// Rule is a condition and its effects.
type Rule struct {
	ID      string
	When    *Cond // nil: always
	Gives   map[Verdict]MethodSet
	Raises  map[string]string // finding to level
	Attach  map[NoteKind][]string
	With    MethodSet // for Attach
	Because string
	Sources []string
	Pos     Pos
	Cell    string // of a rule that a table cell stands for: the table's id
}

// Table holds what each method does to each row: a value of a fact by a method.
type Table struct {
	ID     string
	Rows   string            // fact
	Values map[string]string // cell value to what it does: rule_out, no_use, caution, nothing, or the id of a step
	Ranks  bool              // a cell with a caution puts a method behind those without one
	Cells  []*Cell
	Pos    Pos

	at map[string][]*Cell // by row, then by method rank
}

// Cell fills the table for some rows and columns. Where cells overlap the one that covers fewer wins.
type Cell struct {
	ID      string
	Rows    []string
	Columns []string
	Is      string
	Because string
	Do      string
	Sources []string
	Pos     Pos
}

// Constraint is a truth about the world: cases in which Never holds do not occur.
type Constraint struct {
	ID      string
	Never   *Cond
	Because string
	Sources []string
	Pos     Pos
}

// Promise is a statement about all cases that the base must keep.
type Promise struct {
	ID           string
	When         *Cond // nil: always
	NeverOffered MethodSet
	NeverFirst   MethodSet
	AlwaysWith   MethodSet
	Kind         NoteKind // with AlwaysWith: what must be attached
	Note         string
	Because      string
	Sources      []string
	Pos          Pos
}

// Stages says how a job is cut into stages when no single method does it: along the ordered list of a fact, by what a
// table says that each method takes.
type Stages struct {
	Fact, Table string
	Takes       []string // cell values that count as taking the row
	NotAfter    []NotAfter
	Pos         Pos
}

// NotAfter bars the methods of Bar in every stage after one of After.
type NotAfter struct {
	After, Bar MethodSet
	Because    string
	Sources    []string
}

// Source is where statements come from.
type Source struct {
	ID, Body, Title, Where, Read string
	Year                         int
	Pos                          Pos
}

// Term explains a word.
type Term struct {
	ID, Say string
	Also    []string
	Sources []string
	Pos     Pos
}

// Fact returns the fact of an id, derived ones too, or nil.
func (b *Base) Fact(id string) *Fact { return b.facts[id] }

// Finding returns the finding of an id, or nil.
func (b *Base) Finding(id string) *Finding { return b.findings[id] }

// Method returns the method of an id, or nil.
func (b *Base) Method(id string) *Method { return b.methods[id] }

// Note returns the note of a kind and id, or nil.
func (b *Base) Note(kind NoteKind, id string) *Note { return b.notes[kind][id] }

// Words names the fact in a few words.
func (f *Fact) Words() string {
	switch {
	case f.Name != "":
		return f.Name
	case f.ends != nil:
		return f.ends.Words()
	}
	return strings.ReplaceAll(f.ID, "_", " ")
}

// Label returns the name for people of a value of the fact.
func (f *Fact) Label(value string) string {
	for _, v := range f.Values {
		if v.ID == value {
			return v.Label
		}
	}
	return value
}

// Has reports whether value is one of the fact's values.
func (f *Fact) Has(value string) bool {
	for _, v := range f.Values {
		if v.ID == value {
			return true
		}
	}
	return false
}

// ValueIDs lists the fact's values.
func (f *Fact) ValueIDs() []string {
	ids := make([]string, len(f.Values))
	for i, v := range f.Values {
		ids[i] = v.ID
	}
	return ids
}

// MethodSet resolves names of methods and groups of methods; unknown names are returned. What a group names and there is
// not is a mistake of the group, and told there.
func (b *Base) MethodSet(names []string) (set MethodSet, unknown []string) {
	for _, name := range names {
		ids := []string{name}
		if g := b.groups[name]; g != nil && g.Of == "method" {
			ids = g.Is
		}
		for _, id := range ids {
			if m := b.methods[id]; m != nil {
				set |= 1 << m.Rank
			} else if id == name {
				unknown = append(unknown, id)
			}
		}
	}
	return set, unknown
}
