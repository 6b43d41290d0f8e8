package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"patchfirst/explain"
	"patchfirst/rules"
)

func (c *cli) tableCommand() *cobra.Command {
	var format string
	named := map[string]*string{}
	cmd := &cobra.Command{
		Use:   "table",
		Short: "Show a part of the rule base as a table",
		Long: "table shows as a decision table what the rules say of a method, what raises a finding, what hangs on a question or where a note is shown, or a table of the base cell by cell.\n" +
			"Exit codes: 0 done; 1 it could not be written; 2 wrong usage, or a base that cannot be read.",
		Example: "  patchfirst rules table --method hot_air\n  patchfirst rules table --finding lead --format svg > lead.svg\n  patchfirst rules table --question lead_test\n  patchfirst rules table --note hydrogen\n  patchfirst rules table --table harm",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			b, err := c.base()
			if err != nil {
				return err
			}
			shown, err := partOf(b, named)
			if err != nil {
				return err
			}
			switch format {
			case "text":
				err = shown.Text(c.stdout, c.width())
			case "svg":
				err = shown.SVG(c.stdout)
			default:
				return fmt.Errorf("--format is text or svg, not %q", format)
			}
			if err != nil {
				return &failure{exitCheck, err}
			}
			return nil
		},
	}
	for kind, says := range map[string]string{
		"method":   "what the rules say of the method with this `id`",
		"finding":  "what raises the finding with this `id`",
		"question": "what hangs on the question with this `id`",
		"note":     "where the caution, step, hold or referral with this `id` is shown",
		"table":    "the table with this `id`, cell by cell",
	} {
		named[kind] = cmd.Flags().String(kind, "", says)
	}
	cmd.Flags().StringVar(&format, "format", "text", "text or svg")
	return cmd
}

// shownPart is a part of a base that can be written and drawn.
type shownPart interface {
	Text(out io.Writer, width int) error
	SVG(out io.Writer) error
}

// partOf finds the one part of a base that is named.
func partOf(b *rules.Base, named map[string]*string) (shown shownPart, err error) {
	known := map[string][]string{}
	offer := func(kind, id string, show func() shownPart) {
		known[kind] = append(known[kind], id)
		if id == *named[kind] && shown == nil {
			shown = show()
		}
	}
	for _, m := range b.Methods {
		offer("method", m.ID, func() shownPart { return explain.MethodTable(b, m) })
	}
	for _, f := range b.Findings {
		offer("finding", f.ID, func() shownPart { return explain.FindingTable(b, f) })
	}
	for _, t := range b.Tables {
		offer("table", t.ID, func() shownPart { return explain.TableGrid(b, t) })
	}
	for _, n := range b.Notes {
		offer("note", n.ID, func() shownPart { return explain.NoteTable(b, n) })
	}
	for _, f := range b.Facts {
		offer("question", f.ID, func() shownPart { return explain.QuestionTable(b, f) })
	}
	var kinds []string
	for kind, id := range named {
		if *id != "" {
			kinds = append(kinds, kind)
		}
	}
	if len(kinds) != 1 {
		return nil, errors.New("name one part: --method, --finding, --question, --note or --table")
	}
	if kind := kinds[0]; shown == nil {
		return nil, fmt.Errorf("there is no %s %q. %s", kind, *named[kind], rules.DidYouMean(*named[kind], known[kind]))
	}
	return shown, nil
}
