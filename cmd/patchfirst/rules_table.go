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
	var method, finding, table, format string
	cmd := &cobra.Command{
		Use:   "table",
		Short: "Show a part of the rule base as a table",
		Long: "table shows what the rules say of a method or a finding as a decision table, or a table of the base cell by cell.\n" +
			"Exit codes: 0 done; 1 it could not be written; 2 wrong usage, or a base that cannot be read.",
		Example: "  patchfirst rules table --method hot_air\n  patchfirst rules table --finding lead --format svg > lead.svg\n  patchfirst rules table --table harm",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			b, err := c.base()
			if err != nil {
				return err
			}
			shown, err := partOf(b, method, finding, table)
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
	cmd.Flags().StringVar(&method, "method", "", "what the rules say of the method with this `id`")
	cmd.Flags().StringVar(&finding, "finding", "", "what raises the finding with this `id`")
	cmd.Flags().StringVar(&table, "table", "", "the table with this `id`, cell by cell")
	cmd.Flags().StringVar(&format, "format", "text", "text or svg")
	return cmd
}

// shownPart is a part of a base that can be written and drawn.
type shownPart interface {
	Text(out io.Writer, width int) error
	SVG(out io.Writer) error
}

func partOf(b *rules.Base, method, finding, table string) (shownPart, error) {
	var findings, tables []string
	for _, f := range b.Findings {
		if f.ID == finding && method+table == "" {
			return explain.FindingTable(b, f), nil
		}
		findings = append(findings, f.ID)
	}
	for _, t := range b.Tables {
		if t.ID == table && method+finding == "" {
			return explain.TableGrid(b, t), nil
		}
		tables = append(tables, t.ID)
	}
	switch {
	case method != "" && finding+table == "":
		if m := b.Method(method); m != nil {
			return explain.MethodTable(b, m), nil
		}
		return nil, fmt.Errorf("there is no method %q. %s", method, rules.DidYouMean(method, b.MethodNames()))
	case finding != "" && method+table == "":
		return nil, fmt.Errorf("there is no finding %q. %s", finding, rules.DidYouMean(finding, findings))
	case table != "" && method+finding == "":
		return nil, fmt.Errorf("there is no table %q. %s", table, rules.DidYouMean(table, tables))
	}
	return nil, errors.New("name one part: --method, --finding or --table")
}
