package audit

import (
	"fmt"
	"math/big"
	"slices"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// PromiseChange is a promise that one base keeps and the other does not, that stands in one only, or that asks something
// else.
type PromiseChange struct {
	ID            string
	Before, After string   // kept, broken, not settled or absent
	Proof         *Proof   // by the new base, if it is broken there
	Spoke, Speaks *big.Int // of a promise that asks something else: the cases that it speaks of, by the old and the new base
}

// promises proves over all cases what is edited of the promises, and those that come out differently in the box.
func (w *comparer) promises(nodeCap int) error {
	asked := w.asked()
	ids := slices.Clone(asked)
	if len(w.sets) > 0 {
		in, err := w.inBox(nodeCap)
		if err == nil {
			err = in.st.Try(func() { ids = append(ids, in.touched(asked)...) })
		}
		if err != nil {
			return err
		}
	}
	w.c.Proved += len(asked)
	if len(ids) == 0 {
		return nil
	}
	before, err := proveSome(w.c.Old, ids, nodeCap)
	if err != nil {
		return err
	}
	after, err := proveSome(w.c.New, ids, nodeCap)
	if err != nil {
		return err
	}
	for _, id := range ids {
		c := PromiseChange{ID: id, Before: became(before[id]), After: became(after[id])}
		if slices.Contains(asked, id) && before[id] != nil && after[id] != nil {
			c.Spoke, c.Speaks = before[id].Cases, after[id].Cases
		} else if c.Before == c.After {
			continue // it was broken elsewhere, too
		}
		if p := after[id]; p != nil && p.Outcome == diagram.Found {
			c.Proof, p.Rules = p, nil // the edits are what it turns on
			if p.exemplify(w.c.New, w.prepare) != nil {
				p.Example = nil
			}
		}
		w.c.Promises = append(w.c.Promises, c)
	}
	return nil
}

// asked lists the promises that are added, removed or ask something else.
func (w *comparer) asked() (ids []string) {
	asks := func(b *rules.Base) map[string]string {
		all := map[string]string{}
		for _, p := range b.Promises {
			text := fmt.Sprintln(p.When.Asks(), p.Kind, p.Note)
			for _, set := range []rules.MethodSet{p.NeverOffered, p.NeverFirst, p.AlwaysWith} {
				for _, id := range w.methods() {
					m := b.Method(id)
					text += fmt.Sprint(m != nil && set.Has(m.Rank), " ")
				}
			}
			all[p.ID] = text
		}
		return all
	}
	before, after := asks(w.c.Old), asks(w.c.New)
	for _, b := range []*rules.Base{w.c.New, w.c.Old} {
		for _, p := range b.Promises {
			if before[p.ID] != after[p.ID] && !slices.Contains(ids, p.ID) {
				ids = append(ids, p.ID)
			}
		}
	}
	return ids
}

// proveSome proves some promises of a base over all cases.
func proveSome(b *rules.Base, ids []string, nodeCap int) (map[string]*Proof, error) {
	s, err := b.Compile(nil, nodeCap)
	if err != nil {
		return nil, err
	}
	proofs := map[string]*Proof{}
	err = s.Store.Try(func() {
		p := &prover{s: s}
		for _, promise := range b.Promises {
			if slices.Contains(ids, promise.ID) {
				proof := p.prove(promise)
				proof.Cases = p.count().Count(s.Node(promise.When))
				proofs[promise.ID] = &proof
			}
		}
	})
	return proofs, err
}

// became says what came of a proof.
func became(p *Proof) string {
	if p == nil {
		return "absent"
	}
	return [...]string{diagram.None: "kept", diagram.Found: "broken", diagram.NotSettled: "not settled"}[p.Outcome]
}

// touched lists the promises, but for some, that come out differently in the box. Where the functions of a promise are the
// same on both sides so does it.
func (w *comparer) touched(but []string) (ids []string) {
	same := slices.Equal(w.old.Truths(), w.new.Truths()) && len(w.swapped()) == 0
	for _, is := range w.c.New.Promises {
		i := slices.IndexFunc(w.c.Old.Promises, func(p *rules.Promise) bool { return p.ID == is.ID })
		if i < 0 || slices.Contains(but, is.ID) {
			continue
		}
		was := w.c.Old.Promises[i]
		if same && w.alike(was, is) {
			continue
		}
		w.c.Proved++
		before := (&prover{s: w.old, counter: w.counter, box: w.box}).prove(was)
		after := (&prover{s: w.new, counter: w.counter, box: w.box}).prove(is)
		if before.Outcome != after.Outcome {
			ids = append(ids, is.ID)
		}
	}
	return ids
}

// alike reports whether a promise asks the same on both sides.
func (w *comparer) alike(was, is *rules.Promise) bool {
	return slices.EqualFunc(ways(w.old, was, w.old.Node(was.When)), ways(w.new, is, w.new.Node(is.When)), func(a, b way) bool {
		return a.method.ID == b.method.ID && slices.Equal(a.nodes, b.nodes)
	})
}
