package main

import (
	"errors"
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"patchfirst/knowledge"
	"patchfirst/rules"
	"patchfirst/rules/audit"
	"patchfirst/rules/cases"
)

func (c *cli) rulesCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "rules",
		Short:   "Look after the rule base",
		Example: "  patchfirst rules check",
		Args:    knownCommand,
		RunE:    func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(c.checkCommand())
	return cmd
}

func (c *cli) checkCommand() *cobra.Command {
	var folders []string
	cmd := &cobra.Command{
		Use:     "check",
		Short:   "Check the rule base, prove its promises and run case files against it",
		Example: "  patchfirst rules check\n  patchfirst rules check --cases testdata/cases\n  patchfirst rules check --knowledge my-base --cases my-cases",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			b, err := c.base()
			if err != nil {
				return err
			}
			var all []cases.Case
			for _, folder := range folders {
				more, err := cases.ReadFS(b, os.DirFS(folder), folder)
				if err != nil {
					return err
				}
				all = append(all, more...)
			}
			report, err := audit.Check(b, all, func(a rules.Answers) rules.Answers { return knowledge.WithFigures(b, a) })
			if err != nil {
				return err
			}
			if _, err := fmt.Fprint(c.stdout, report); err != nil {
				return &failure{exitCheck, err}
			}
			if !report.Holds() {
				return &failure{exitCheck, errors.New("the rule base does not keep all that is asked of it")}
			}
			return nil
		},
	}
	cmd.Flags().StringArrayVar(&folders, "cases", nil, "`folder` of case files to run; may be given again")
	return cmd
}
