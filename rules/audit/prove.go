package audit

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"golang.org/x/sync/errgroup"

	"patchfirst/rules"
	"patchfirst/rules/diagram"
)

// Proof is what became of a promise. Outcome None means that no case breaks it: neither a complete one nor a partial one,
// see Prove.
type Proof struct {
	Promise *rules.Promise
	Outcome diagram.Outcome
	Cases   *big.Int // that can occur and for which the promise speaks; nil if not counted
	Method  *rules.Method
	Broken  *big.Int      // cases that break it by any method; nil if their function is too large to be counted
	Where   []string      // the simplest description of cases that break it
	Values  []uint8       // one such case, by question of the diagrams
	Rules   []*rules.Rule // that the promise turns on: they act on its methods and speak of what it speaks of
}

// Share is the part of the promise's cases that break it, counted evenly.
func (p Proof) Share() float64 {
	if p.Broken == nil || p.Cases == nil || p.Cases.Sign() == 0 {
		return 0
	}
	share, _ := new(big.Rat).SetFrac(p.Broken, p.Cases).Float64()
	return share
}

func (p Proof) String() string {
	var b strings.Builder
	switch p.Outcome {
	case diagram.None:
		fmt.Fprintf(&b, "promise %s holds", p.Promise.ID)
		if p.Cases != nil {
			fmt.Fprintf(&b, " in all %s cases", short(p.Cases))
		}
		return b.String()
	case diagram.NotSettled:
		return fmt.Sprintf("%s: promise %s is not settled: the search ran out of steps", p.Promise.Pos, p.Promise.ID)
	}
	fmt.Fprintf(&b, "%s: promise %s is broken by %s", p.Promise.Pos, p.Promise.ID, p.Method.ID)
	if p.Broken != nil && p.Cases != nil {
		fmt.Fprintf(&b, " in %s of %s cases (%s of cases counted evenly, not of jobs)", short(p.Broken), short(p.Cases), percent(p.Share()))
	}
	fmt.Fprintf(&b, "\n    for instance where %s\n    promised because: %s", strings.Join(p.Where, ", "), p.Promise.Because)
	for _, r := range p.Rules {
		fmt.Fprintf(&b, "\n    see %s (%s)", r.ID, r.Pos)
	}
	return b.String()
}

// budget is how many steps one search may take before it counts as not settled.
const budget = 2_000_000

// way is one way to break a promise: a method, and functions that would all have to hold.
type way struct {
	method *rules.Method
	nodes  []diagram.Node
}

// ways lists how a promise could be broken.
func ways(s *rules.Space, p *rules.Promise, when diagram.Node) (all []way) {
	st := s.Store
	for _, m := range s.Base.Methods {
		offered := func() diagram.Node { return st.Not(s.Gives(rules.RuledOut, m)) }
		if p.NeverOffered.Has(m.Rank) {
			all = append(all, way{m, []diagram.Node{when, offered()}})
		}
		if p.AlwaysWith.Has(m.Rank) {
			all = append(all, way{m, []diagram.Node{when, offered(), st.Not(s.Attaches(p.Kind, p.Note, m))}})
		}
		if p.NeverFirst.Has(m.Rank) {
			for _, first := range s.First(m) {
				all = append(all, way{m, append([]diagram.Node{when}, first...)})
			}
		}
	}
	return all
}

// Prove checks every promise of the base over the whole space of cases. A promise is broken by a case that can occur, in
// which its condition holds and, by its form: a method is offered, is first, or is offered without what must be with it.
//
// For partial cases the first and the last form need no search of their own. A method is offered on a partial case only
// if some choice of the condition facts keeps it open in every case that is then left; were the condition of the promise
// to hold in one of those, that one would be a complete case that breaks it. And a note is shown if any case asks for it
// in which the method is offered. Only the first choice of a partial case may be none of its complete cases':
// promises of the second form are proved of complete cases, and Check looks at them on the partial cases of case files.
//
// Cases is left for Proofs to fill in; what breaks a promise is counted.
func Prove(s *rules.Space) []Proof {
	var counter *diagram.Counter
	count := func(n diagram.Node) *big.Int {
		if counter == nil {
			counter = s.Counter()
		}
		return counter.Count(n)
	}
	var proofs []Proof
	for _, p := range s.Base.Promises {
		proofs = append(proofs, prove(s, p, count))
	}
	return proofs
}

// prove checks one promise.
func prove(s *rules.Space, p *rules.Promise, count func(diagram.Node) *big.Int) Proof {
	proof := Proof{Promise: p}
	var broken []way
	for _, w := range ways(s, p, s.Node(p.When)) {
		values, outcome := search(s, w.nodes)
		if outcome == diagram.None {
			continue
		}
		if outcome == diagram.Found {
			broken = append(broken, w)
		}
		if proof.Outcome != diagram.Found {
			proof.Outcome, proof.Method, proof.Values = outcome, w.method, values
		}
	}
	if len(broken) > 0 {
		describe(s, &proof, broken, count)
	}
	return proof
}

// describe counts the cases that break a promise, picks the simplest of them and names the rules that it turns on.
func describe(s *rules.Space, p *Proof, broken []way, count func(diagram.Node) *big.Int) {
	st := s.Store
	var joined []diagram.Node
	for _, w := range broken {
		n, ok := join(s, w.nodes)
		if !ok {
			p.Where = s.Words(p.Values, broken[0].nodes...)
			joined = nil
			break
		}
		joined = append(joined, n)
	}
	if joined != nil {
		p.Broken = count(st.OrAll(joined))
		p.Where, _ = s.Describe(joined[0])
	}
	p.Rules = involved(s, p.Promise, broken)
}

// join joins functions, unless the result grows too large for a description.
func join(s *rules.Space, nodes []diagram.Node) (diagram.Node, bool) {
	const large = 20_000
	joint := diagram.True
	for _, n := range nodes {
		if joint = s.Store.And(joint, n); s.Store.Size(joint) > large {
			return joint, false
		}
	}
	return joint, true
}

// involved lists the rules that bear on how a promise is kept: they give its methods what it asks for, and their
// conditions and that of the promise have a question in common. Those with the most in common come first.
func involved(s *rules.Space, p *rules.Promise, broken []way) []*rules.Rule {
	var by rules.MethodSet
	for _, w := range broken {
		by |= 1 << w.method.Rank
	}
	reads := s.Store.SupportSet(s.Node(p.When))
	common := map[*rules.Rule]int{}
	var found []*rules.Rule
	for i, r := range s.Base.Rules {
		acts := p.AlwaysWith != 0 && r.With&by != 0 && slices.Contains(r.Attach[p.Kind], p.Note) || p.AlwaysWith == 0 && r.Gives[rules.RuledOut]&by != 0
		if p.NeverFirst != 0 {
			acts = acts || r.Gives[rules.Favoured]&by != 0 || r.Gives[rules.Discouraged]&by != 0
		}
		if !acts {
			continue
		}
		for _, v := range s.Store.Support(s.Rule(i)) {
			if reads.Has(v) {
				common[r]++
			}
		}
		if common[r] > 0 || p.When == nil {
			found = append(found, r)
		}
	}
	slices.SortStableFunc(found, func(a, b *rules.Rule) int { return common[b] - common[a] })
	const most = 5
	return found[:min(most, len(found))]
}

// search looks for a case that can occur in which all functions hold. It joins them one after another, which mostly ends
// in False after a few; where the joint function grows too large it goes on by walking the rest together.
func search(s *rules.Space, nodes []diagram.Node) ([]uint8, diagram.Outcome) {
	const large = 50_000
	st := s.Store
	joint := diagram.True
	for i, n := range nodes {
		joint = st.And(joint, n)
		if joint == diagram.False || st.And(joint, s.Valid(rules.Free, joint)) == diagram.False {
			return nil, diagram.None
		}
		if st.Size(joint) > large {
			rest := append([]diagram.Node{joint}, nodes[i+1:]...)
			return st.Joint(append(rest, s.Valid(rules.Free, rest...)), nil, budget)
		}
	}
	return st.Joint([]diagram.Node{joint, s.All()}, nil, budget)
}

// Proofs proves and counts side by side, each in a store of its own.
func Proofs(b *rules.Base, nodeCap int) (proofs []Proof, err error) {
	var counts []*big.Int
	var g errgroup.Group
	g.Go(func() error {
		s, err := b.Compile(nil, nodeCap)
		if err != nil {
			return err
		}
		return s.Store.Try(func() {
			counter := s.Counter()
			known := map[diagram.Node]*big.Int{}
			for _, p := range b.Promises {
				when := s.Node(p.When)
				if known[when] == nil {
					known[when] = counter.Count(when)
				}
				counts = append(counts, known[when])
			}
		})
	})
	g.Go(func() error {
		s, err := b.Compile(nil, nodeCap)
		if err != nil {
			return err
		}
		return s.Store.Try(func() { proofs = Prove(s) })
	})
	if err := g.Wait(); err != nil {
		return nil, err
	}
	for i := range proofs {
		proofs[i].Cases = counts[i]
	}
	return proofs, nil
}
