package audit

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"patchfirst/rules"
)

// evenly says what a share is a share of.
const evenly = "of cases counted evenly, not of jobs"

// Keys lists all that changed as a file of expected changes names it.
func (c *Comparison) Keys() (keys []string) {
	for _, ch := range c.Changes {
		keys = append(keys, ch.Key())
	}
	for _, m := range c.First.Moves {
		keys = append(keys, m.Key())
	}
	if c.First.NotSettled > 0 {
		keys = append(keys, "first: not settled")
	}
	if c.Lost.Sign() > 0 {
		keys = append(keys, "cases: fewer")
	}
	if c.Gained.Sign() > 0 {
		keys = append(keys, "cases: more")
	}
	for _, p := range c.Promises {
		keys = append(keys, p.Key())
	}
	for _, id := range c.Blanks {
		keys = append(keys, "blank "+id+": means something else")
	}
	for _, what := range c.Unsettled {
		keys = append(keys, "not settled: "+what)
	}
	return keys
}

// expects reports whether a line expects what has a key: it is all of it, or its beginning up to a space or colon.
func expects(line, key string) bool {
	rest, ok := strings.CutPrefix(key, line)
	return ok && (rest == "" || rest[0] == ' ' || rest[0] == ':')
}

// Unexpected lists what changed and is not expected, and what is expected and did not change. A line expects a change by
// its whole name, or by the beginning of it up to a space or colon: "verdict m" stands for every change of its verdict.
func (c *Comparison) Unexpected(expected []string) (unexpected, unseen []string) {
	seen := map[string]bool{}
	for _, key := range c.Keys() {
		found := false
		for _, e := range expected {
			if expects(e, key) {
				found, seen[e] = true, true
			}
		}
		if !found {
			unexpected = append(unexpected, key)
		}
	}
	for _, e := range expected {
		if !seen[e] {
			unseen = append(unseen, e)
		}
	}
	return unexpected, unseen
}

func (c *Comparison) String() string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("old base %s (%s), new base %s (%s)", c.Old.Version, c.Old.Digest, c.New.Version, c.New.Digest)
	for _, e := range c.Edits {
		line("%s", e)
	}
	for _, s := range c.OnlyOld {
		line("only the old base knows %s", s)
	}
	for _, s := range c.OnlyNew {
		line("only the new base knows %s", s)
	}
	line("cases that can occur by both: %s", short(c.Cases))
	if c.Lost.Sign()+c.Gained.Sign() > 0 {
		line("cases that can occur only by the old base: %s; only by the new one: %s", short(c.Lost), short(c.Gained))
	}
	for _, s := range c.beside() {
		line("%s", s)
	}
	if len(c.Keys()) == 0 {
		line("no case comes out differently")
		return b.String()
	}
	for _, s := range c.inShort() {
		line("%s", s)
	}
	for _, ch := range c.Changes {
		line("%s", ch.text(c.Cases))
	}
	b.WriteString(c.firstText())
	if e := c.Example; e != nil {
		line("example, what is not told is blank: %s", givenText(e.Given))
		line("  before: %s", strings.Join(e.Before, "\n          "))
		line("  now:    %s", strings.Join(e.After, "\n          "))
	}
	for _, p := range c.Promises {
		line("%s", p)
		if p.Proof != nil {
			line("  %s", strings.ReplaceAll(p.Proof.String(), "\n", "\n  "))
		}
	}
	line("promises: %d can be touched by the edit, %d come out differently", c.Proved, len(c.Promises))
	said := ""
	for _, f := range c.Files {
		says := strings.Join(f.Says, "; ")
		if says == said && says != "" {
			says = "the same"
		} else {
			said = says
		}
		line("%s: %s%s: %s", f.Case.Pos, f.Case.Title, f.turn(), says)
	}
	line("case files: %d can be touched by the edit, %d come out differently", c.Decided, len(c.Files))
	return b.String()
}

// turn says in brackets whether a file comes out as expected now and did not before, or the other way round.
func (f FileChange) turn() string {
	switch {
	case f.Met && !f.Meet:
		return " (no longer as expected)"
	case !f.Met && f.Meet:
		return " (now as expected)"
	}
	return ""
}

// Key names the change as a file of expected changes does.
func (p PromiseChange) Key() string {
	return fmt.Sprintf("promise %s: %s -> %s", p.ID, p.Before, p.After)
}

func (p PromiseChange) String() string {
	if p.Spoke == nil {
		return p.Key()
	}
	return fmt.Sprintf("%s; it asks something else, and spoke of %s cases, now of %s", p.Key(), short(p.Spoke), short(p.Speaks))
}

// beside says what the comparison of cases does not show.
func (c *Comparison) beside() (lines []string) {
	for _, id := range c.Blanks {
		lines = append(lines, fmt.Sprintf("what a blank answer to %s means is changed: jobs that leave it blank may come out differently, and only case files show how", id))
	}
	var other []string
	for _, e := range c.Edits {
		words := slices.ContainsFunc(e.Keys, func(k string) bool {
			return slices.Contains([]string{"say", "do", "because", "meanwhile", "gravity", "label", "ask"}, k)
		})
		data := slices.Contains([]string{"limit", "coefficient", "step"}, e.Kind)
		if (words || data) && !slices.Contains(other, e.Kind) {
			other = append(other, e.Kind)
		}
	}
	if other != nil {
		lines = append(lines, "what the edits change of words, of the order of steps, of the diary's limits and of the sums is not compared: "+strings.Join(other, ", "))
	}
	if c.Unsettled != nil {
		lines = append(lines, "not settled, for want of memory: "+strings.Join(c.Unsettled, "; ")+"; allow more with --memory")
	}
	return lines
}

// inShort says which methods are open in cases where they were ruled out, and the other way round.
func (c *Comparison) inShort() (lines []string) {
	ruledOut := rules.RuledOut.String()
	for _, way := range []struct {
		says string
		is   func(Change) bool
	}{
		{"no longer ruled out in some cases", func(ch Change) bool { return ch.From == ruledOut }},
		{"ruled out in more cases", func(ch Change) bool { return ch.To == ruledOut }},
	} {
		var ids []string
		for _, ch := range c.Changes {
			if ch.What == "verdict" && way.is(ch) && !slices.Contains(ids, ch.ID) {
				ids = append(ids, ch.ID)
			}
		}
		if len(ids) > 0 {
			lines = append(lines, way.says+": "+strings.Join(ids, ", "))
		}
	}
	return lines
}

func (c Change) text(all *big.Int) string {
	line := fmt.Sprintf("%s in %s cases, %s %s", c.Key(), short(c.Cases), percent(share(c.Cases, all)), evenly)
	if len(c.Methods) > 0 {
		line += "\n    with " + strings.Join(c.Methods, ", ")
	}
	if len(c.Where) > 0 {
		line += "\n    only where " + strings.Join(c.Where, ", ")
	}
	return line
}

func (c *Comparison) firstText() string {
	const shown = 20
	f := c.First
	switch {
	case f.Reach == nil:
		return ""
	case f.Reach.Sign() == 0:
		return "first choice: the same in every case\n"
	}
	var b strings.Builder
	fmt.Fprintf(&b, "first choice: it can change in %s cases; of those it does in %d of %d drawn\n", short(f.Reach), f.Drawn.Hits, f.Drawn.Drawn)
	fmt.Fprintf(&b, "    so in %s %s\n", between(f.Share.Lowest, f.Share.Most), evenly)
	for i, m := range f.Moves {
		if i >= shown && m.Drawn == 0 {
			fmt.Fprintf(&b, "    and %d more moves for which a case was found by search; --format json lists them\n", len(f.Moves)-i)
			break
		}
		how := fmt.Sprintf("%d drawn", m.Drawn)
		if m.Drawn == 0 {
			how = "a case was found by search"
		}
		fmt.Fprintf(&b, "%s, %s\n", m.Key(), how)
	}
	if f.NotSettled > 0 {
		fmt.Fprintf(&b, "    not settled for %d more pairs of methods: the search ran out of steps or memory\n", f.NotSettled)
	}
	return b.String()
}
