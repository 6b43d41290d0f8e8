package audit

import (
	"encoding/json"
	"fmt"
	"io"
	"math/big"
	"strings"

	"patchfirst/rules"
)

// Markdown writes the comparison for a comment on a review.
func (c *Comparison) Markdown() string {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	line("### What the edit changes")
	line("")
	for _, e := range c.Edits {
		line("- `%s` %s **%s** is %s %s", e.Pos, e.Kind, e.ID, e.Did, strings.Join(e.Keys, ", "))
	}
	for _, s := range c.OnlyOld {
		line("- only the old base knows %s", s)
	}
	for _, s := range c.OnlyNew {
		line("- only the new base knows %s", s)
	}
	line("")
	for _, s := range c.beside() {
		line("- **%s**", s)
	}
	if len(c.Keys()) == 0 {
		line("No case comes out differently.")
		return b.String()
	}
	for _, s := range c.inShort() {
		line("- **%s**", s)
	}
	if len(c.Changes) > 0 {
		line("")
		line("| changes | cases | share %s | only where |", evenly)
		line("| --- | --- | --- | --- |")
		for _, ch := range c.Changes {
			where := strings.Join(ch.Where, ", ")
			key := ch.Key()
			if len(ch.Methods) > 0 {
				key += ", for " + strings.Join(ch.Methods, ", ")
			}
			line("| %s | %s | %s | %s |", key, short(ch.Cases), percent(share(ch.Cases, c.Cases)), strings.ReplaceAll(where, "|", `\|`))
		}
		line("")
	}
	line("%s", strings.ReplaceAll(strings.TrimSpace(c.firstText()), "\n", "  \n"))
	if e := c.Example; e != nil {
		line("")
		line("Example, what is not told is blank: `%s`", givenText(e.Given))
		line("")
		for _, s := range e.Before {
			line("- before: %s", s)
		}
		for _, s := range e.After {
			line("- now: %s", s)
		}
	}
	line("")
	for _, p := range c.Promises {
		line("- **%s**%s", p, p.Proof.inLine())
	}
	for _, f := range c.Files {
		line("- `%s` %s%s: %s", f.Case.Pos, f.Case.Title, f.turn(), strings.Join(f.Says, "; "))
	}
	line("")
	line("Cases that can occur by both: %s. Promises touched: %d, different: %d. Case files touched: %d, different: %d.", short(c.Cases), c.Proved, len(c.Promises), c.Decided, len(c.Files))
	return b.String()
}

// JSON writes the comparison as data.
func (c *Comparison) JSON(w io.Writer) error {
	type side struct {
		Version string `json:"version"`
		Digest  string `json:"digest"`
	}
	type place struct {
		File   string `json:"file"`
		Line   int    `json:"line"`
		Column int    `json:"column"`
	}
	at := func(p rules.Pos) place { return place{p.File, p.Line, p.Col} }
	type edit struct {
		Kind string   `json:"kind"`
		ID   string   `json:"id"`
		Did  string   `json:"did"`
		Keys []string `json:"keys,omitempty"`
		At   place    `json:"at"`
	}
	type change struct {
		What    string   `json:"what"`
		ID      string   `json:"id"`
		Methods []string `json:"methods,omitempty"`
		From    string   `json:"from"`
		To      string   `json:"to"`
		Cases   *big.Int `json:"cases"`
		Share   float64  `json:"share"`
		Where   []string `json:"where,omitempty"`
	}
	type move struct {
		From  string `json:"from"`
		To    string `json:"to"`
		Drawn int    `json:"drawn"`
	}
	type first struct {
		Reach      *big.Int `json:"reach"`
		Drawn      Estimate `json:"of_reach"`
		Share      Estimate `json:"of_all"`
		Moves      []move   `json:"moves"`
		NotSettled int      `json:"not_settled"`
	}
	type example struct {
		About  string   `json:"about"`
		Given  string   `json:"given"`
		Before []string `json:"before"`
		After  []string `json:"after"`
	}
	type promise struct {
		ID      string   `json:"id"`
		Before  string   `json:"before"`
		After   string   `json:"after"`
		Broken  *big.Int `json:"broken,omitempty"`
		Of      *big.Int `json:"of,omitempty"`
		Where   []string `json:"where,omitempty"`
		Example string   `json:"example,omitempty"`
	}
	type file struct {
		Case   string   `json:"case"`
		At     place    `json:"at"`
		Says   []string `json:"says"`
		Before bool     `json:"as_expected_before"`
		After  bool     `json:"as_expected_now"`
	}
	out := struct {
		Old      side      `json:"old"`
		New      side      `json:"new"`
		Same     bool      `json:"same"`
		Shares   string    `json:"shares"`
		Edits    []edit    `json:"edits"`
		OnlyOld  []string  `json:"only_old"`
		OnlyNew  []string  `json:"only_new"`
		Cases    *big.Int  `json:"cases"`
		Lost     *big.Int  `json:"cases_only_old"`
		Gained   *big.Int  `json:"cases_only_new"`
		Changes  []change  `json:"changes"`
		First    first     `json:"first"`
		Example  *example  `json:"example,omitempty"`
		Promises []promise `json:"promises"`
		Files    []file    `json:"case_files"`
		Blanks   []string  `json:"blanks"`
		Open     []string  `json:"not_settled"`
	}{
		Old: side{c.Old.Version, c.Old.Digest}, New: side{c.New.Version, c.New.Digest}, Same: len(c.Keys()) == 0, Shares: evenly,
		Edits: []edit{}, OnlyOld: append([]string{}, c.OnlyOld...), OnlyNew: append([]string{}, c.OnlyNew...), Cases: c.Cases, Lost: c.Lost, Gained: c.Gained,
		Changes: []change{}, First: first{c.First.Reach, c.First.Drawn, c.First.Share, []move{}, c.First.NotSettled}, Promises: []promise{}, Files: []file{}, Blanks: append([]string{}, c.Blanks...), Open: append([]string{}, c.Unsettled...),
	}
	for _, e := range c.Edits {
		out.Edits = append(out.Edits, edit{e.Kind, e.ID, e.Did, e.Keys, at(e.Pos)})
	}
	for _, ch := range c.Changes {
		out.Changes = append(out.Changes, change{ch.What, ch.ID, ch.Methods, ch.From, ch.To, ch.Cases, share(ch.Cases, c.Cases), ch.Where})
	}
	for _, m := range c.First.Moves {
		out.First.Moves = append(out.First.Moves, move{m.From, m.To, m.Drawn})
	}
	if e := c.Example; e != nil {
		out.Example = &example{e.About, givenText(e.Given), e.Before, e.After}
	}
	for _, p := range c.Promises {
		o := promise{ID: p.ID, Before: p.Before, After: p.After}
		if p.Proof != nil {
			o.Broken, o.Of, o.Where = p.Proof.Broken, p.Proof.Cases, p.Proof.Where
			if p.Proof.Example != nil {
				o.Example = givenText(p.Proof.Example)
			}
		}
		out.Promises = append(out.Promises, o)
	}
	for _, f := range c.Files {
		out.Files = append(out.Files, file{f.Case.Title, at(f.Case.Pos), f.Says, f.Met, f.Meet})
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	return e.Encode(out)
}
