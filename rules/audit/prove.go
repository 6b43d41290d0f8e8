package audit

import (
	"fmt"
	"math/big"
	"math/bits"
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
	Where   []string      // what the cases that break it by Method have in common, the most telling answers first
	Values  []uint8       // one such case, by question of the diagrams
	Example []Given       // few answers that break it, whatever else is blank; nil if none were found
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

// inLine says shortly how a promise is broken; of nil it is empty.
func (p *Proof) inLine() string {
	if p == nil {
		return ""
	}
	text := " by " + p.Method.ID
	if p.Broken != nil && p.Cases != nil {
		text += fmt.Sprintf(" in %s of %s cases", short(p.Broken), short(p.Cases))
	}
	if p.Example != nil {
		text += fmt.Sprintf(", for instance `%s`", givenText(p.Example))
	}
	return text
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
	if len(p.Where) > 0 {
		fmt.Fprintf(&b, "\n    only where %s", strings.Join(p.Where, ", "))
	}
	if p.Example != nil {
		fmt.Fprintf(&b, "\n    for instance, what is not told is blank: %s", givenText(p.Example))
	}
	fmt.Fprintf(&b, "\n    promised because: %s", p.Promise.Because)
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
			for _, first := range s.First(m, when) {
				all = append(all, way{m, first})
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
// Cases and Example are left for Proofs to fill in; what breaks a promise is counted.
func Prove(s *rules.Space) []Proof {
	p := &prover{s: s}
	var proofs []Proof
	for _, promise := range s.Base.Promises {
		proofs = append(proofs, p.prove(promise))
	}
	return proofs
}

// prover proves promises in one space.
type prover struct {
	s       *rules.Space
	counter *diagram.Counter // made when something is broken
	box     diagram.Case     // around all cases that are looked at; nil is all cases
}

func (p *prover) count() *diagram.Counter {
	if p.counter == nil {
		p.counter = p.s.Counter()
	}
	return p.counter
}

// prove checks one promise.
func (p *prover) prove(promise *rules.Promise) Proof {
	proof := Proof{Promise: promise}
	var broken []way
	for _, w := range ways(p.s, promise, p.s.Node(promise.When)) {
		values, outcome := search(p.s, w.nodes)
		if outcome == diagram.None {
			continue
		}
		if outcome == diagram.Found {
			broken = append(broken, w)
		}
		if proof.Outcome != diagram.Found {
			proof.Outcome, proof.Method, proof.Values = outcome, w.method, p.inBox(values)
		}
	}
	if len(broken) > 0 {
		p.describe(&proof, broken)
	}
	return proof
}

// inBox answers the questions that the box settles, which the diagrams of a space inside it do not know.
func (p *prover) inBox(values []uint8) []uint8 {
	values = slices.Clone(values)
	for v, set := range p.box {
		if values != nil && set != 0 && set>>values[v]&1 == 0 {
			values[v] = uint8(bits.TrailingZeros64(set))
		}
	}
	return values
}

// describe counts the cases that break a promise, says what they have in common, and names the rules that it turns on.
func (p *prover) describe(proof *Proof, broken []way) {
	var all, mine []diagram.Node
	for _, w := range broken {
		n, ok := join(p.s, w.nodes)
		if !ok {
			all = nil
			break
		}
		all = append(all, n)
		if w.method == proof.Method {
			mine = append(mine, n)
		}
	}
	if all != nil {
		proof.Broken = p.count().Count(p.s.Store.OrAll(all))
		proof.Where = inCommon(p.s, p.count(), p.box, p.s.Store.OrAll(mine))
	}
	proof.Rules = involved(p.s, proof.Promise, broken)
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

// search looks for a case that can occur in which all functions hold.
func search(s *rules.Space, nodes []diagram.Node) ([]uint8, diagram.Outcome) {
	values, outcome, left := meet(s.Store, nodes, s.Find)
	if left != nil {
		return s.Store.Joint(append(left, s.Valid(rules.Free, left...)), nil, budget)
	}
	return values, outcome
}

// meet looks for a case in which all functions hold; find finds one of a single function. It joins a function to those
// before only when a case that was found is against it, so most are never joined, and mostly it soon ends in False. Where
// the joint function grows too large it gives up, and returns the functions that are left.
func meet(st *diagram.Store, nodes []diagram.Node, find func(...diagram.Node) ([]uint8, diagram.Outcome)) (values []uint8, outcome diagram.Outcome, left []diagram.Node) {
	const large = 50_000
	joint, rest := nodes[0], slices.Clone(nodes[1:])
	for {
		values, outcome := find(joint)
		if outcome != diagram.Found {
			return nil, outcome, nil
		}
		against := -1
		for i, n := range rest {
			if st.Eval(n, values) == 0 && (against < 0 || st.Size(n) < st.Size(rest[against])) {
				against = i
			}
		}
		if against < 0 {
			return values, diagram.Found, nil
		}
		joint = st.And(joint, rest[against])
		rest = slices.Delete(rest, against, against+1)
		if st.Size(joint) > large {
			return nil, diagram.NotSettled, append(rest, joint)
		}
	}
}

// Proofs proves and counts side by side, each in a store of its own, and then looks for examples of what is broken.
func Proofs(b *rules.Base, prepare Prepare, nodeCap int) (proofs []Proof, err error) {
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
		if err := proofs[i].exemplify(b, prepare); err != nil {
			return nil, err
		}
	}
	return proofs, nil
}
