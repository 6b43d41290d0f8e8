package audit

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"slices"
	"sync"

	"golang.org/x/sync/errgroup"

	"patchfirst/rules"
	"patchfirst/rules/cases"
	"patchfirst/rules/diagram"
	"patchfirst/rules/source"
)

// Comparison is what differs between two bases. Cases are compared that can occur by both, numbers cut where either cuts
// them.
type Comparison struct {
	Old, New         *rules.Base
	Edits            []Edit
	OnlyOld, OnlyNew []string // facts and values that one side only knows
	Cases            *big.Int // that can occur by both
	Lost, Gained     *big.Int // cases that can occur only by the old, and only by the new one
	Changes          []Change // of verdicts, notes and findings, counted exactly
	First            FirstChange
	Example          *Example
	Promises         []PromiseChange
	Proved           int // promises that the edit can touch
	Files            []FileChange
	Decided          int      // case files that the edit can touch
	Blanks           []string // facts of which a blank answer means something else: complete cases do not show that
	Unsettled        []string // what is not found out for want of memory

	mu sync.Mutex
}

// Change is one way in which cases come out differently.
type Change struct {
	What     string   // verdict, finding, or the kind of a note
	ID       string   // of the method, finding or note
	Methods  []string // of a note: those offered by both that have it on one side only
	From, To string   // verdicts or levels; of a note: "without" and "with"
	Cases    *big.Int
	Where    []string // conditions that all of these cases meet

	group  diagram.Node // the function of which leaves are these cases
	leaves []int
}

// Key names the change as a file of expected changes does.
func (c Change) Key() string { return fmt.Sprintf("%s %s: %s -> %s", c.What, c.ID, c.From, c.To) }

// Share is a part of all cases, counted evenly.
func share(part, whole *big.Int) float64 {
	if whole.Sign() == 0 {
		return 0
	}
	f, _ := new(big.Rat).SetFrac(part, whole).Float64()
	return f
}

// Side is one of the two bases, with its entries as they are written.
type Side struct {
	Base    *rules.Base
	Entries []source.Entry
}

// Prepare completes the answers to a base, for instance with figures.
type Prepare func(*rules.Base, rules.Answers) rules.Answers

// Compare tells what differs. Case files were read with the new base; those that the edit touches are decided by both.
// The watch is told when verdicts are counted and when first choices are searched.
// Both bases are changed and should be used for nothing else afterwards.
func Compare(old, new Side, all []cases.Case, prepare Prepare, watch Watch, nodeCap int) (*Comparison, error) {
	c := &Comparison{Old: old.Base, New: new.Base, Edits: edits(old.Entries, new.Entries)}
	for _, e := range c.Edits {
		if e.Kind == "fact" && slices.Contains(e.Keys, "blank") {
			c.Blanks = append(c.Blanks, e.ID)
		}
	}
	var err error
	if c.OnlyOld, c.OnlyNew, err = rules.Align(old.Base, new.Base); err != nil {
		return nil, err
	}
	o, n, err := rules.CompileBoth(old.Base, new.Base, nil, nodeCap)
	if err != nil {
		return nil, err
	}
	whole := &comparer{c: c, st: n.Store, old: o, new: n, prepare: prepare}
	if err = whole.st.Try(func() { whole.sets = whole.differences(); whole.box = whole.st.Ranges(whole.st.OrAll(whole.sets)) }); err != nil {
		return nil, err
	}
	var total *big.Int
	var g errgroup.Group
	g.Go(func() (err error) {
		total, err = totalOf(new.Base, nodeCap)
		return err
	})
	c.Lost, c.Gained, c.First.Reach = &big.Int{}, &big.Int{}, &big.Int{}
	counted := make(chan struct{}) // so that what comes out is told apart soon, promises wait
	g.Go(func() error { return whole.outcomes(counted, watch, nodeCap) })
	g.Go(func() error {
		<-counted
		return c.settle("promises", whole.promises(nodeCap))
	})
	if err := g.Wait(); err != nil {
		return nil, err
	}
	c.Cases = total.Sub(total, c.Gained)
	c.First.of(c.Cases)
	return c, whole.files(all)
}

// totalOf counts the cases that can occur.
func totalOf(b *rules.Base, nodeCap int) (total *big.Int, err error) {
	s, err := b.Compile(nil, nodeCap)
	if err != nil {
		return nil, err
	}
	err = s.Store.Try(func() { total = s.Counter().Total() })
	return total, err
}

// comparer carries the work on two spaces that share a store.
type comparer struct {
	c        *Comparison
	st       *diagram.Store
	old, new *rules.Space
	prepare  Prepare
	sets     []diagram.Node // where some edited rule, or a truth, is not the same
	box      diagram.Case   // around them
	both     diagram.Node   // cases in the box that can occur by both
	counter  *diagram.Counter
	groups   []group
}

// inBox returns a comparer for the cases in the box around the edit, with a store of its own. The box mostly is a small part
// of the whole, and elsewhere nothing can differ.
func (w *comparer) inBox(nodeCap int) (*comparer, error) {
	old, next, err := rules.CompileBoth(w.c.Old, w.c.New, w.box, nodeCap)
	if err != nil {
		return nil, err
	}
	in := &comparer{c: w.c, st: next.Store, old: old, new: next, prepare: w.prepare, box: w.box}
	return in, in.st.Try(func() {
		in.both = in.st.AndAll([]diagram.Node{old.All(), next.All(), next.Inside(w.box)})
		in.counter = in.st.Counter(in.both)
	})
}

// outcomes compares what comes out. It closes counted when promises can be proved beside it: when changes are counted, if
// they left memory for that, else at its end.
func (w *comparer) outcomes(counted chan<- struct{}, watch Watch, nodeCap int) error {
	tell := sync.OnceFunc(func() { close(counted) })
	defer tell()
	if len(w.sets) == 0 {
		return nil
	}
	in, err := w.inBox(nodeCap)
	if err == nil {
		err = in.changes()
	}
	if err != nil {
		w.c.First.Reach = nil
		return w.c.settle("verdicts, notes, findings and first choices", err)
	}
	if in.st.Len() < in.st.Room() {
		tell()
	}
	watch.tell("verdicts, notes and findings are counted")
	if err := in.st.Try(in.describe); err != nil {
		return err
	}
	if err := in.within(unlimited, in.first); err != nil {
		w.c.First = FirstChange{}
		if err = w.c.settle("first choices", err); err != nil {
			return err
		}
	}
	watch.tell("first choices are searched")
	var failed error
	if err := in.st.Try(func() { failed = in.example() }); err != nil {
		return w.c.settle("an example", err)
	}
	return failed
}

// settle notes what is not found out for want of memory. Other errors it returns.
func (c *Comparison) settle(what string, err error) error {
	var large *diagram.TooLarge
	if !errors.As(err, &large) {
		return err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.Unsettled = append(c.Unsettled, what)
	return nil
}

// changes counts the changes of verdicts, findings and notes.
func (w *comparer) changes() error {
	for _, part := range []struct {
		name string
		find func()
	}{{"cases that only one base knows", w.space}, {"verdicts", w.verdicts}, {"findings", w.findings}, {"notes", w.notes}} {
		if err := w.within(unlimited, part.find); err != nil {
			if err := w.c.settle(part.name, err); err != nil {
				return err
			}
		}
	}
	return w.count()
}

// unlimited stands for all nodes but those that are left for others.
const unlimited = math.MaxInt

// space counts the cases that can occur on one side only.
func (w *comparer) space() {
	inside := w.new.Inside(w.box)
	only := func(s *rules.Space) *big.Int {
		if n := w.st.And(s.All(), inside); n != w.both {
			return new(big.Int).Sub(w.st.Count(n), w.counter.Total())
		}
		return new(big.Int)
	}
	w.c.Lost, w.c.Gained = only(w.old), only(w.new)
}
