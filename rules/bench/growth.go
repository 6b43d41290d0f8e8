package main

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing/fstest"
	"time"

	"patchfirst/rules/audit"
	"patchfirst/rules/source"
)

// growth makes up bases with 40 questions and 300 rules, and 2, 4 and 8 times as many of both, and measures what the audits
// take. Each rule reads up to three questions that stand near each other, as in a base by topic.
func growth() error {
	fmt.Printf("%9s %6s %12s %12s %12s %12s %10s\n", "questions", "rules", "compile", "verdicts", "count", "prove", "nodes")
	for _, times := range []int{1, 2, 4, 8} {
		const questions, written = 40, 300
		b, err := source.Base(fstest.MapFS{"b.yaml": {Data: []byte(made(questions*times, written*times))}}, "made", nil)
		if err != nil {
			return err
		}
		var laps []time.Duration
		began := time.Now()
		lap := func() { laps, began = append(laps, time.Since(began)), time.Now() }
		s, err := b.Compile(nil, 0)
		if err != nil {
			return err
		}
		lap()
		err = s.Store.Try(func() {
			for _, m := range b.Methods {
				s.Verdict(m)
			}
			lap()
			counter := s.Counter()
			for _, m := range b.Methods {
				counter.Leaves(s.Verdict(m), 4)
			}
			lap()
		})
		if err != nil {
			fmt.Printf("%9d %6d %v\n", len(b.Facts), len(b.Rules), err)
			continue
		}
		if _, err := audit.Proofs(b, nil, 0); err != nil {
			return err
		}
		lap()
		fmt.Printf("%9d %6d", len(b.Facts), len(b.Rules))
		for _, l := range laps {
			fmt.Printf(" %12v", l.Round(10*time.Microsecond))
		}
		fmt.Printf(" %10d\n", s.Store.Len())
	}
	return nil
}

// made writes a base.
func made(questions, written int) string {
	const methods, values, near = 12, 5, 6
	r := rand.New(rand.NewPCG(7, uint64(questions)))
	var b strings.Builder
	b.WriteString("- version: \"1\"\n")
	for q := range questions {
		fmt.Fprintf(&b, "- {fact: q%d, scope: element, ask: \"Question %d?\", type: choice, values: {v0: a, v1: b, v2: c, v3: d, v4: e}, blank: refuses}\n", q, q)
	}
	for m := range methods {
		fmt.Fprintf(&b, "- {method: m%d, label: method %d, sources: [common practice]}\n", m, m)
	}
	b.WriteString("- {method: last, label: call someone, last_resort: true, sources: [common practice]}\n")
	for i := range written {
		from := r.IntN(questions)
		var tests []string
		for range 1 + r.IntN(3) {
			tests = append(tests, fmt.Sprintf("q%d == \"v%d\"", (from+r.IntN(near))%questions, r.IntN(values)))
		}
		does := []string{"rule_out", "no_use", "discourage", "favour"}[r.IntN(4)]
		fmt.Fprintf(&b, "- {rule: r%d, when: '%s', %s: [m%d], because: It is so., sources: [common practice]}\n", i, strings.Join(tests, " && "), does, r.IntN(methods))
	}
	for m := range methods {
		fmt.Fprintf(&b, "- {promise: p%d, when: 'q%d == \"v0\"', never_offered: [m%d], because: It must., sources: [common practice]}\n", m, r.IntN(questions), m)
	}
	return b.String()
}
