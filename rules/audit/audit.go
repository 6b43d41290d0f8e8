// Package audit proves what a rule base promises, over all cases and not samples of them.
package audit

import (
	"fmt"
	"maps"
	"math/big"
	"runtime"
	"slices"
	"strings"

	"golang.org/x/sync/errgroup"

	"patchfirst/rules"
	"patchfirst/rules/cases"
	"patchfirst/rules/diagram"
)

// Report is what a check found.
type Report struct {
	Base      *rules.Base
	Cells     *big.Int // cases that can occur, numbers counted by cells
	Promises  []Proof
	Anomalies []Anomaly
	Expected  int // anomalies that were expected, and are not among the others
	Gaps      Gap
	Cases     int
	Failures  []cases.Failure
}

// Holds reports whether everything that was checked holds. With strict an anomaly that may be meant counts too.
func (r *Report) Holds(strict bool) bool {
	for _, p := range r.Promises {
		if p.Outcome != diagram.None {
			return false
		}
	}
	for _, a := range r.Anomalies {
		if a.Certain || strict {
			return false
		}
	}
	return len(r.Failures) == 0
}

// Expect takes out the anomalies that may be meant and that some line expects, by its whole key or the beginning of it, such
// as "subsumed the-rule". It returns the lines that expect what is not there.
func (r *Report) Expect(lines []string) (unseen []string) {
	seen := map[string]bool{}
	before := len(r.Anomalies)
	r.Anomalies = slices.DeleteFunc(r.Anomalies, func(a Anomaly) bool {
		found := false
		for _, line := range lines {
			if !a.Certain && expects(line, a.Key()) {
				found, seen[line] = true, true
			}
		}
		return found
	})
	r.Expected += before - len(r.Anomalies)
	return slices.DeleteFunc(slices.Clone(lines), func(line string) bool { return seen[line] })
}

func (r *Report) String() string {
	var b strings.Builder
	written, tabled := 0, 0
	for _, rule := range r.Base.Rules {
		if rule.Cell != "" {
			tabled++
		} else {
			written++
		}
	}
	fmt.Fprintf(&b, "base %s (%s): %d questions, %d methods, %d rules, %d more from tables, %d sources\n", r.Base.Version, r.Base.Digest, len(r.Base.Facts), len(r.Base.Methods), written, tabled, len(r.Base.Sources))
	fmt.Fprintf(&b, "space: %s cases\n", short(r.Cells))
	kept := 0
	for _, p := range r.Promises {
		if p.Outcome == diagram.None {
			kept++
		} else {
			fmt.Fprintf(&b, "%s\n", p)
		}
	}
	fmt.Fprintf(&b, "promises: %d of %d hold in every case\n", kept, len(r.Promises))
	mistakes := 0
	for _, a := range r.Anomalies {
		word := "perhaps "
		if a.Certain {
			mistakes++
			word = ""
		}
		fmt.Fprintf(&b, "%s: %s%s: %s\n", a.Pos, word, a.Kind, a.Says)
	}
	fmt.Fprintf(&b, "anomalies: %d mistakes, %d that may be meant", mistakes, len(r.Anomalies)-mistakes)
	if r.Expected > 0 {
		fmt.Fprintf(&b, ", %d that are expected", r.Expected)
	}
	b.WriteString("\n")
	fmt.Fprintf(&b, "%s\n", r.Gaps)
	for _, f := range r.Failures {
		fmt.Fprintf(&b, "%s\n", f)
	}
	failed := map[*cases.Case]bool{}
	for _, f := range r.Failures {
		failed[f.Case] = true
	}
	if r.Cases > 0 {
		fmt.Fprintf(&b, "cases: %d of %d come out as expected\n", r.Cases-len(failed), r.Cases)
	}
	return b.String()
}

// short writes a large number with its power of ten.
func short(n *big.Int) string {
	s := n.String()
	const digits = 6
	if len(s) <= digits {
		return s
	}
	return fmt.Sprintf("%s.%se%d", s[:1], s[1:3], len(s)-1)
}

// percent writes a share so that a small one does not look like none, nor a large one like all.
func percent(share float64) string {
	switch p := 100 * share; {
	case share > 0 && p < 0.01:
		return "under 0.01 %"
	case share < 1 && p > 99.99:
		return "over 99.99 %"
	default:
		return fmt.Sprintf("%.3g %%", p)
	}
}

// between writes a range of shares.
func between(lowest, most float64) string {
	if from, to := percent(lowest), percent(most); from != to {
		return from + " to " + to
	}
	return percent(most)
}

// Check proves the promises of a base, looks for anomalies and runs cases against it. prepare completes the answers of a
// case and may be nil. Nothing is counted inside the store that promises are proved in, so that the two can go on side by
// side. nodeCap bounds each store; 0 is diagram.DefaultCap.
func Check(b *rules.Base, all []cases.Case, prepare Prepare, nodeCap int) (*Report, error) {
	r := &Report{Base: b, Cases: len(all)}
	failures := make([][]cases.Failure, len(all))
	var g errgroup.Group
	g.SetLimit(max(2, runtime.GOMAXPROCS(0)))
	g.Go(func() (err error) {
		r.Promises, err = Proofs(b, prepare, nodeCap)
		return err
	})
	g.Go(func() error {
		s, err := b.Compile(nil, nodeCap)
		if err != nil {
			return err
		}
		return s.Store.Try(func() {
			r.Anomalies = Anomalies(s)
			counter := s.Counter()
			r.Cells, r.Gaps = counter.Total(), Gaps(s, counter)
		})
	})
	for i := range all {
		g.Go(func() error {
			failed, err := cases.Run(b, &all[i], func(a rules.Answers) rules.Answers { return ready(b, a, prepare) })
			if err != nil {
				return err
			}
			broken, err := firstsKept(b, &all[i], prepare)
			failures[i] = append(failed, broken...)
			return err
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	for _, f := range failures {
		r.Failures = append(r.Failures, f...)
	}
	return r, nil
}

func unread(b *rules.Base) (ids []string) {
	read := map[*rules.Fact]bool{}
	for _, r := range b.Rules {
		maps.Copy(read, r.When.Facts())
	}
	for _, f := range b.Facts {
		maps.Copy(read, f.AtLeastWhen.Facts())
		if f.Figure != "" && read[f] {
			for _, in := range f.Inputs {
				read[b.Fact(in)] = true
			}
		}
	}
	for _, f := range b.Facts {
		if !read[f] {
			ids = append(ids, f.ID)
		}
	}
	slices.Sort(ids)
	return ids
}
