// Command bench decides the same cases by the same rules with this engine and with general-purpose engines, and prints how
// many times longer each takes. Before that all are checked to fire the same rules on every case.
//
//	cd rules/bench && go run . [-cases 300] [-growth]
//
// It is a module of its own, so that the product carries none of these engines, and no test runs it.
package main

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"time"

	"patchfirst/knowledge"
	"patchfirst/rules"
)

// engine says which rules fire on a case.
type engine interface {
	name() string
	fired(c int) ([]bool, error) // by place in the base
}

func main() {
	cases := flag.Int("cases", 300, "how many cases are drawn")
	folder := flag.String("knowledge", "", "folder of a rule base to use instead of the built-in one")
	grown := flag.Bool("growth", false, "measure made-up bases of growing size instead")
	flag.Parse()
	run := func() error { return compare(*folder, *cases) }
	if *grown {
		run = growth
	}
	if err := run(); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

func compare(folder string, n int) error {
	b, err := knowledge.Load(folder)
	if err != nil {
		return err
	}
	s, err := b.Compile(nil, 0)
	if err != nil {
		return err
	}
	counter, random := s.Counter(), rand.New(rand.NewPCG(1, 1))
	var drawn [][]uint8
	var inputs []input
	for range n {
		values, ok := counter.Draw(random)
		if !ok {
			return fmt.Errorf("no case can occur")
		}
		drawn = append(drawn, values)
		inputs = append(inputs, newInput(b, s, values))
	}
	own := &ownEngine{s: s, cases: drawn}
	engines := []engine{own}
	for _, open := range []func(*rules.Base, []input) (engine, error){openExpr, openCEL, openRego, openGrule} {
		began := time.Now()
		e, err := open(b, inputs)
		if err != nil {
			return err
		}
		fmt.Printf("%s: %d rules compiled in %v\n", e.name(), len(b.Rules), time.Since(began).Round(time.Millisecond))
		engines = append(engines, e)
	}
	for c := range n {
		want, err := own.fired(c)
		if err != nil {
			return err
		}
		for _, e := range engines[1:] {
			got, err := e.fired(c)
			if err != nil {
				return fmt.Errorf("%s: %w", e.name(), err)
			}
			for i := range want {
				if want[i] != got[i] {
					return fmt.Errorf("%s: on case %d the rule %s fires: %v, and by this engine: %v", e.name(), c, b.Rules[i].ID, got[i], want[i])
				}
			}
		}
	}
	fmt.Printf("all fire the same of %d rules on %d cases\n\n%-32s %14s %8s\n", len(b.Rules), n, "engine", "ns per case", "ratio")
	verdicts := measure(n, func(c int) error { own.verdicts(c); return nil })
	line := func(name string, ns float64) { fmt.Printf("%-32s %14.0f %8.1f\n", name, ns, ns/verdicts) }
	line("this engine, all verdicts", verdicts)
	for _, e := range engines {
		line(e.name(), measure(n, func(c int) error { _, err := e.fired(c); return err }))
	}
	return nil
}

// measure returns the median time of some rounds over all cases, in nanoseconds a case.
func measure(n int, f func(c int) error) float64 {
	const rounds = 5
	var times []float64
	for range rounds {
		began := time.Now()
		for c := range n {
			if err := f(c); err != nil {
				panic(err) // it did not fail when it was checked
			}
		}
		times = append(times, float64(time.Since(began).Nanoseconds())/float64(n))
	}
	slices.Sort(times)
	return times[rounds/2]
}
