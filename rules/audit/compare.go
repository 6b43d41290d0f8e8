package audit

import (
	"cmp"
	"fmt"
	"math/big"
	"math/bits"
	"slices"

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
	Decided          int // case files that the edit can touch
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
// Both bases are changed and should be used for nothing else afterwards.
func Compare(old, new Side, all []cases.Case, prepare Prepare, nodeCap int) (*Comparison, error) {
	c := &Comparison{Old: old.Base, New: new.Base, Edits: edits(old.Entries, new.Entries)}
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
	g.Go(func() error { return whole.inBox(nodeCap) })
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

// group is changes of one thing, as one function: its leaf says which of them a case is.
type group struct {
	node   diagram.Node
	leaves [][]int // by change: the leaves that stand for it
	all    []Change
}

// inBox compares the cases in the box around the edit. It mostly is a small part of the whole, and elsewhere nothing can
// differ.
func (w *comparer) inBox(nodeCap int) error {
	if len(w.sets) == 0 {
		w.c.Lost, w.c.Gained, w.c.First.Reach = new(big.Int), new(big.Int), new(big.Int)
		return nil
	}
	old, next, err := rules.CompileBoth(w.c.Old, w.c.New, w.box, nodeCap)
	if err != nil {
		return err
	}
	in := &comparer{c: w.c, st: next.Store, old: old, new: next, prepare: w.prepare, box: w.box}
	err = in.st.Try(func() {
		in.within()
		in.verdicts()
		in.findings()
		in.notes()
	})
	if err == nil {
		err = in.count()
	}
	if err == nil {
		err = in.st.Try(in.first)
	}
	if err == nil {
		err = in.example()
	}
	if err != nil {
		return err
	}
	// Promises are proved in a store of their own, so that one edit need not fill the memory twice.
	if old, next, err = rules.CompileBoth(w.c.Old, w.c.New, w.box, nodeCap); err != nil {
		return err
	}
	p := &comparer{c: w.c, st: next.Store, old: old, new: next, box: w.box}
	return p.st.Try(func() {
		p.both = p.st.And(p.st.And(p.old.All(), p.new.All()), p.new.Inside(p.box))
		p.counter = p.st.Counter(p.both)
		p.promises()
	})
}

// within makes the counter of the box, and counts the cases that can occur on one side only.
func (w *comparer) within() {
	inside := w.new.Inside(w.box)
	before, after := w.st.And(w.old.All(), inside), w.st.And(w.new.All(), inside)
	w.both = w.st.And(before, after)
	w.counter = w.st.Counter(w.both)
	w.c.Lost, w.c.Gained = new(big.Int), new(big.Int)
	if before != after {
		w.c.Lost.Sub(w.st.Count(before), w.counter.Total())
		w.c.Gained.Sub(w.st.Count(after), w.counter.Total())
	}
}

// mark gives a change of a group a leaf of its own.
func (g *group) mark(st *diagram.Store, c Change, n diagram.Node) {
	if n == diagram.False {
		return
	}
	leaf := len(g.all) + 1
	g.node = st.Max(g.node, st.Scale(n, leaf))
	g.all = append(g.all, c)
	g.leaves = append(g.leaves, []int{leaf})
}

func (w *comparer) add(g group) {
	if len(g.all) > 0 {
		w.groups = append(w.groups, g)
	}
}

// level returns where a function has exactly a leaf.
func level(st *diagram.Store, n diagram.Node, k int) diagram.Node {
	return st.And(st.AtLeast(n, k), st.Not(st.AtLeast(n, k+1)))
}

// verdicts compares each method. One that only one base has is ruled out by the other.
func (w *comparer) verdicts() {
	verdict := func(s *rules.Space, id string) diagram.Node {
		if m := s.Base.Method(id); m != nil {
			return s.Verdict(m)
		}
		return w.st.Leaf(int(rules.RuledOut))
	}
	for _, id := range w.methods() {
		before, after := verdict(w.old, id), verdict(w.new, id)
		if before == after {
			continue
		}
		// The 20 changes of a verdict take more leaves than there are: those for the worse and for the better go apart.
		var worse, better group
		for from := rules.Possible; from <= rules.RuledOut; from++ {
			for to := rules.Possible; to <= rules.RuledOut; to++ {
				g := &worse
				if to < from {
					g = &better
				}
				if from != to {
					n := w.st.And(level(w.st, before, int(from)), level(w.st, after, int(to)))
					g.mark(w.st, Change{What: "verdict", ID: id, From: from.String(), To: to.String()}, n)
				}
			}
		}
		w.add(better)
		w.add(worse)
	}
}

// methods lists the ids of all methods, those of the new base first.
func (w *comparer) methods() (ids []string) {
	for _, b := range []*rules.Base{w.new.Base, w.old.Base} {
		for _, m := range b.Methods {
			if !slices.Contains(ids, m.ID) {
				ids = append(ids, m.ID)
			}
		}
	}
	return ids
}

// findings compares each finding. One that only one base has stands at its lowest level, or at none, in the other.
func (w *comparer) findings() {
	var ids []string
	for _, b := range []*rules.Base{w.new.Base, w.old.Base} {
		for _, f := range b.Findings {
			if !slices.Contains(ids, f.ID) {
				ids = append(ids, f.ID)
			}
		}
	}
	at := func(s *rules.Space, id, name string) diagram.Node {
		f := s.Base.Finding(id)
		if f == nil {
			return diagram.False
		}
		k := slices.Index(f.Scale, name)
		switch {
		case k < 0:
			return diagram.False
		case k+1 == len(f.Scale):
			return s.Finding(f, k)
		}
		return w.st.And(s.Finding(f, k), w.st.Not(s.Finding(f, k+1)))
	}
	scale := func(b *rules.Base, id string) []string {
		if f := b.Finding(id); f != nil {
			return f.Scale
		}
		return nil
	}
	for _, id := range ids {
		before, after := scale(w.old.Base, id), scale(w.new.Base, id)
		if before == nil || after == nil {
			continue // an edit, and no case can be compared
		}
		for _, from := range before {
			var g group
			for _, to := range after {
				if from != to {
					g.mark(w.st, Change{What: "finding", ID: id, From: from, To: to}, w.st.And(at(w.old, id, from), at(w.new, id, to)))
				}
			}
			w.add(g)
		}
	}
}

// notes compares each note, as far as the methods it stands with are offered by both.
func (w *comparer) notes() {
	type key struct {
		kind   rules.NoteKind
		id     string
		method string
	}
	attached := func(s *rules.Space) map[key]diagram.Node {
		at := map[key][]diagram.Node{}
		for i, r := range s.Base.Rules {
			for kind, ids := range r.Attach {
				for _, id := range ids {
					for _, m := range s.Base.Methods {
						if r.With.Has(m.Rank) {
							k := key{kind, id, m.ID}
							at[k] = append(at[k], s.Rule(i))
						}
					}
				}
			}
		}
		joined := map[key]diagram.Node{}
		for k, nodes := range at {
			joined[k] = w.st.OrAll(nodes)
		}
		return joined
	}
	offered := map[string]diagram.Node{}
	open := func(s *rules.Space, m *rules.Method) diagram.Node {
		return w.st.Not(w.st.Or(s.Gives(rules.RuledOut, m), s.Gives(rules.NoUse, m)))
	}
	for _, m := range w.new.Base.Methods {
		if twin := w.old.Base.Method(m.ID); twin != nil {
			if offered[m.ID] = diagram.True; !m.LastResort {
				offered[m.ID] = w.st.And(open(w.new, m), open(w.old, twin))
			}
		}
	}
	before, after := attached(w.old), attached(w.new)
	type note struct {
		kind rules.NoteKind
		id   string
	}
	var all []note
	for _, b := range []*rules.Base{w.new.Base, w.old.Base} {
		for _, n := range b.Notes {
			if k := (note{n.Kind, n.ID}); !slices.Contains(all, k) {
				all = append(all, k)
			}
		}
	}
	for _, n := range all {
		gained, lost := diagram.False, diagram.False
		var gainers, losers []string
		for _, m := range w.methods() {
			k := key{n.kind, n.id, m}
			was, is := before[k], after[k]
			if was == is || offered[m] == 0 {
				continue
			}
			if more := w.st.AndAll([]diagram.Node{is, w.st.Not(was), offered[m]}); more != diagram.False {
				gained, gainers = w.st.Or(gained, more), append(gainers, m)
			}
			if less := w.st.AndAll([]diagram.Node{was, w.st.Not(is), offered[m]}); less != diagram.False {
				lost, losers = w.st.Or(lost, less), append(losers, m)
			}
		}
		var g group
		g.node = w.st.Max(w.st.Scale(w.st.Or(lost, gained), 1), w.st.Max(w.st.Scale(gained, 2), w.st.Scale(w.st.And(lost, gained), 3)))
		for _, c := range []Change{
			{What: string(n.kind), ID: n.id, Methods: losers, From: "with", To: "without"},
			{What: string(n.kind), ID: n.id, Methods: gainers, From: "without", To: "with"},
		} {
			if c.Methods != nil {
				g.all = append(g.all, c)
				g.leaves = append(g.leaves, map[string][]int{"with": {1, 3}, "without": {2, 3}}[c.From])
			}
		}
		w.add(g)
	}
}

// count counts the cases of each change and drops those that cannot occur. Those of most cases are described.
func (w *comparer) count() error {
	counts := make([][]*big.Int, len(w.groups))
	workers := make(chan *diagram.Counter, 2)
	workers <- w.counter
	workers <- w.st.Counter(w.both)
	var g errgroup.Group
	for i, group := range w.groups {
		g.Go(func() error {
			counter := <-workers
			most := slices.Max(slices.Concat(group.leaves...))
			counts[i] = counter.Leaves(group.node, most)
			workers <- counter
			return nil
		})
	}
	if err := g.Wait(); err != nil {
		return err
	}
	for i, group := range w.groups {
		for k, c := range group.all {
			c.Cases = new(big.Int)
			for _, leaf := range group.leaves[k] {
				c.Cases.Add(c.Cases, counts[i][leaf])
			}
			if c.Cases.Sign() > 0 {
				c.group, c.leaves = group.node, group.leaves[k]
				w.c.Changes = append(w.c.Changes, c)
			}
		}
	}
	const described = 12
	order := slices.Clone(w.c.Changes)
	slices.SortStableFunc(order, func(a, b Change) int { return b.Cases.Cmp(a.Cases) })
	return w.st.Try(func() {
		for i := range w.c.Changes {
			c := &w.c.Changes[i]
			if len(order) <= described || c.Cases.Cmp(order[described].Cases) > 0 {
				c.Where = w.describe(w.counter.Ranges(w.where(*c)))
			}
		}
	})
}

// where returns the cases of a change.
func (w *comparer) where(c Change) diagram.Node {
	n := diagram.False
	for _, leaf := range c.leaves {
		n = w.st.Or(n, level(w.st, c.group, leaf))
	}
	return n
}

// describe names answers without which nothing differs: first those that the edit itself speaks of, then those that say
// most in few words.
func (w *comparer) describe(ranges diagram.Case) (words []string) {
	const most, long = 4, 6
	type narrowed struct {
		need rules.Requirement
		left float64
	}
	var all []narrowed
	box := make(diagram.Case, len(ranges))
	inside := w.counter.Ranges(diagram.True)
	for v, set := range ranges {
		if w.box[v] != 0 {
			box[v] = set
			continue
		}
		if set == 0 || set == inside[v] {
			continue
		}
		one := make(diagram.Case, len(ranges))
		one[v] = set
		need := w.new.Needs(one)[0]
		if v := diagram.Var(v); len(need.Values) <= long {
			all = append(all, narrowed{need, float64(bits.OnesCount64(set)) / float64(w.st.Values(v))})
		}
	}
	slices.SortStableFunc(all, func(a, b narrowed) int { return cmp.Compare(a.left, b.left) })
	needs := w.new.Needs(box)
	for _, r := range all {
		if len(needs) >= most {
			break
		}
		needs = append(needs, r.need)
	}
	for _, need := range needs {
		words = append(words, w.new.Base.InWords(need))
	}
	return words
}
