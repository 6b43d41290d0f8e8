package audit

import (
	"cmp"
	"math/big"
	"math/bits"
	"slices"

	"golang.org/x/sync/errgroup"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// count counts the cases of each change and drops those that cannot occur.
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
	return nil
}

// describe says of the changes of most cases where they are.
func (w *comparer) describe() {
	const described = 12
	order := slices.Clone(w.c.Changes)
	slices.SortStableFunc(order, func(a, b Change) int { return b.Cases.Cmp(a.Cases) })
	for i := range w.c.Changes {
		c := &w.c.Changes[i]
		if len(order) <= described || c.Cases.Cmp(order[described].Cases) > 0 {
			c.Where = inCommon(w.new, w.counter, w.box, w.where(*c))
		}
	}
}

// where returns the cases of a change.
func (w *comparer) where(c Change) diagram.Node {
	n := diagram.False
	for _, leaf := range c.leaves {
		n = w.st.Or(n, w.st.Exactly(c.group, leaf))
	}
	return n
}

// inCommon names answers that all cases of a function have which the counter counts: first those of the box that they are
// looked for in, then those that say most in few words.
func inCommon(s *rules.Space, counter *diagram.Counter, box diagram.Case, n diagram.Node) (words []string) {
	const most, long = 4, 6
	type narrowed struct {
		need rules.Requirement
		left float64
	}
	var all []narrowed
	ranges, inside := counter.Ranges(n), counter.Ranges(diagram.True)
	named := make(diagram.Case, len(ranges))
	for v, set := range ranges {
		if box != nil && box[v] != 0 {
			named[v] = set
			continue
		}
		if set == 0 || set == inside[v] {
			continue
		}
		one := make(diagram.Case, len(ranges))
		one[v] = set
		need := s.Needs(one)[0]
		if v := diagram.Var(v); len(need.Values) <= long {
			all = append(all, narrowed{need, float64(bits.OnesCount64(set)) / float64(s.Store.Values(v))})
		}
	}
	slices.SortStableFunc(all, func(a, b narrowed) int { return cmp.Compare(a.left, b.left) })
	needs := s.Needs(named)
	for _, r := range all {
		if len(needs) >= most {
			break
		}
		needs = append(needs, r.need)
	}
	for _, need := range needs {
		words = append(words, s.Base.InWords(need))
	}
	return words
}
