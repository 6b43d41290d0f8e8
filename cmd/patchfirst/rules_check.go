package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"patchfirst/knowledge"
	"patchfirst/rules"
	"patchfirst/rules/audit"
)

func (c *cli) checkCommand() *cobra.Command {
	var folders []string
	var format, expect string
	var strict, countGaps bool
	var memory int
	cmd := &cobra.Command{
		Use:   "check",
		Short: "Check the rule base: promises, anomalies, case files",
		Long: "check proves the promises of the base over all cases, looks for anomalies, and runs case files against it.\n" +
			"Exit codes: 0 all holds; 1 a promise, a case file or the base has a mistake; 2 the base or a case file cannot be read.\n" +
			"What may be meant, such as a rule that another covers, is told but fails only with --strict.\n" +
			"The file of --expect lists what is meant, one a line, by kind and id: \"subsumed the-rule\". A line that begins with # is a comment.",
		Example: "  patchfirst rules check\n  patchfirst rules check --cases testdata/cases\n  patchfirst rules check --knowledge my-base --format sarif",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			write, ok := map[string]func(*audit.Report) error{
				"text":  func(r *audit.Report) error { return c.show(r.String()) },
				"json":  func(r *audit.Report) error { return r.JSON(c.stdout) },
				"sarif": func(r *audit.Report) error { return r.SARIF(c.stdout) },
			}[format]
			if !ok {
				return fmt.Errorf("--format is text, json or sarif, not %q", format)
			}
			nodeCap, err := nodes(memory)
			if err != nil {
				return err
			}
			b, err := c.base()
			var problems rules.Problems
			if errors.As(err, &problems) && format == "sarif" {
				return errors.Join(err, audit.ProblemsSARIF(c.stdout, problems))
			}
			if err != nil {
				return err
			}
			expected, err := c.expected(expect)
			if err != nil {
				return err
			}
			all, err := caseFiles(b, folders)
			if err != nil {
				return err
			}
			say, done := c.progress("checking")
			report, err := audit.Check(b, all, knowledge.WithFigures, nodeCap)
			if err == nil && countGaps {
				say("gaps are counted")
				report.Gaps.Cases, err = audit.CountGaps(b, nodeCap)
			}
			done()
			if err != nil {
				return outOfMemory(err, memory)
			}
			for _, e := range report.Expect(expected) {
				fmt.Fprintf(c.stderr, "patchfirst: expected, and it is not there: %s\n", e)
			}
			if err := write(report); err != nil {
				return &failure{exitCheck, err}
			}
			if !report.Holds(strict) {
				return &failure{exitCheck, errors.New("the rule base does not keep all that is asked of it")}
			}
			return nil
		},
	}
	cmd.Flags().StringArrayVar(&folders, "cases", nil, "`folder` of case files to run; may be given again")
	cmd.Flags().StringVar(&format, "format", "text", "text, json or sarif")
	cmd.Flags().StringVar(&expect, "expect", "", "`file` of what is meant, one a line")
	cmd.Flags().BoolVar(&strict, "strict", false, "fail on what may be meant, too")
	cmd.Flags().BoolVar(&countGaps, "count-gaps", false, "count the cases without a favoured method exactly, instead of drawing them; takes some seconds more")
	memoryFlag(cmd, &memory)
	return cmd
}
