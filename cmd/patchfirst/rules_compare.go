package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"strings"

	"github.com/spf13/cobra"

	"patchfirst/knowledge"
	"patchfirst/rules/audit"
	"patchfirst/rules/cases"
	"patchfirst/rules/source"
)

func (c *cli) compareCommand() *cobra.Command {
	var folders []string
	var format, expect string
	var memory int
	cmd := &cobra.Command{
		Use:   "compare OLD [NEW]",
		Short: "Say what an edit of the rule base changes",
		Long: "compare tells every verdict, caution, step, hold, referral and finding that differs between two rule bases, in how many cases and which; how the first choice changes; an example; and which promises and case files it touches.\n" +
			"OLD and NEW are folders or git revisions, such as HEAD~1 or main:my-base. Without NEW it is the base of --knowledge, or the built-in one.\n" +
			"Verdicts, notes and findings are counted exactly over all cases. First choices are drawn, and searched for each pair of methods within 50,000 nodes and 2,000 steps; what that does not settle is said.\n" +
			"Exit codes: 0 no case comes out differently, or only as --expect says; 1 something changed, or the memory did not do; 2 a base, case file or revision cannot be read.\n" +
			"Where a rule, constraint or promise of NEW cannot be read, it is told what is wrong with it, and what the base without it changes.\n" +
			"The file of --expect lists changes, one a line, as compare prints them: \"verdict m: possible -> ruled_out\", or only \"verdict m\". A line that begins with # is a comment.",
		Example: "  patchfirst rules compare HEAD~1\n  patchfirst rules compare HEAD~1 knowledge/base --cases testdata/cases\n  patchfirst rules compare old-base new-base --format markdown",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) < 1 || len(args) > 2 {
				return errors.New("name the old base, and perhaps the new one: folders or git revisions, such as HEAD~1")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			write, ok := map[string]func(*audit.Comparison) error{
				"text":     func(r *audit.Comparison) error { return c.show(r.String()) },
				"markdown": func(r *audit.Comparison) error { _, err := fmt.Fprint(c.stdout, r.Markdown()); return err },
				"json":     func(r *audit.Comparison) error { return r.JSON(c.stdout) },
			}[format]
			if !ok {
				return fmt.Errorf("--format is text, markdown or json, not %q", format)
			}
			nodeCap, err := nodes(memory)
			if err != nil {
				return err
			}
			expected, err := c.expected(expect)
			if err != nil {
				return err
			}
			old, _, _, err := c.side(cmd.Context(), args[0], nil)
			if err != nil {
				return err
			}
			second := ""
			if len(args) > 1 {
				second = args[1]
			}
			next, all, left, mistakes := c.side(cmd.Context(), second, folders)
			if mistakes != nil && left == nil {
				return mistakes
			}
			if mistakes != nil {
				c.report(mistakes)
			}
			say, done := c.progress("comparing")
			report, err := audit.Compare(old, next, all, knowledge.WithFigures, say, nodeCap)
			done()
			if err != nil {
				return outOfMemory(err, memory)
			}
			if err := write(report); err != nil {
				return &failure{exitCheck, err}
			}
			if mistakes != nil {
				return fmt.Errorf("compared without what cannot be read: %s", strings.Join(left, ", "))
			}
			unexpected, unseen := report.Unexpected(expected)
			for _, e := range unseen {
				fmt.Fprintf(c.stderr, "patchfirst: expected, and it did not change: %s\n", e)
			}
			if len(unexpected) > 0 {
				what := "changes"
				if expect != "" {
					what = "changes that are not expected"
				}
				return &failure{exitCheck, fmt.Errorf("%s: %d, such as: %s", what, len(unexpected), unexpected[0])}
			}
			return nil
		},
	}
	cmd.Flags().StringArrayVar(&folders, "cases", nil, "`folder` of case files to decide by both; may be given again")
	cmd.Flags().StringVar(&format, "format", "text", "text, markdown or json")
	cmd.Flags().StringVar(&expect, "expect", "", "`file` of changes that are meant, one a line")
	memoryFlag(cmd, &memory)
	return cmd
}

// side reads one side of a comparison, and case files with it. The empty name is the base of --knowledge. Where some entries
// cannot be read it names what is left out, if the others make a base, and returns that with the mistakes.
func (c *cli) side(ctx context.Context, name string, folders []string) (side audit.Side, all []cases.Case, left []string, err error) {
	var fsys fs.FS
	shown := ""
	if name == "" {
		fsys, shown, err = knowledge.Files(c.knowledge)
	} else {
		fsys, shown, err = source.Open(ctx, name, knowledge.Folder)
	}
	if err != nil {
		return side, nil, nil, err
	}
	base, left, mistakes := knowledge.LoadRest(fsys, shown)
	if base == nil {
		return side, nil, nil, mistakes
	}
	side.Base = base
	if side.Entries, err = source.Entries(fsys, shown); err != nil {
		return side, nil, nil, err
	}
	if all, err = caseFiles(base, folders); err != nil {
		return side, nil, nil, errors.Join(mistakes, err)
	}
	return side, all, left, mistakes
}
