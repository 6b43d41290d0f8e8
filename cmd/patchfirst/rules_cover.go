package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"patchfirst/knowledge"
	"patchfirst/rules/audit"
)

func (c *cli) coverCommand() *cobra.Command {
	var folders []string
	var only, format string
	var least float64
	cmd := &cobra.Command{
		Use:   "cover",
		Short: "Say which rules the case files use",
		Long: "cover tells which rules fire in some case file, which decide one (it would come out otherwise without the rule), and which comparisons no case shows true and false.\n" +
			"Exit codes: 0 done; 1 fewer rules decide a case than --at-least asks; 2 a base or case file cannot be read.",
		Example: "  patchfirst rules cover --cases testdata/cases\n  patchfirst rules cover --cases testdata/cases --rule no-heat-on-lead",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if folders == nil {
				return errors.New("name the case files: --cases testdata/cases")
			}
			if format != "text" && format != "json" {
				return fmt.Errorf("--format is text or json, not %q", format)
			}
			b, err := c.base()
			if err != nil {
				return err
			}
			if only != "" && !audit.HasRule(b, only) {
				return fmt.Errorf("there is no rule %q", only)
			}
			all, err := caseFiles(b, folders)
			if err != nil {
				return err
			}
			_, done := c.progress("deciding cases")
			coverage, err := audit.Cover(b, all, knowledge.WithFigures, only)
			done()
			if err != nil {
				return err
			}
			switch {
			case format == "json":
				err = coverage.JSON(c.stdout)
			case only != "":
				err = c.show(coverage.Of(only))
			default:
				err = c.show(coverage.String())
			}
			if err != nil {
				return &failure{exitCheck, err}
			}
			if 100*coverage.Score() < least {
				return &failure{exitCheck, errors.New("too few rules decide a case")}
			}
			return nil
		},
	}
	cmd.Flags().StringArrayVar(&folders, "cases", nil, "`folder` of case files to decide; may be given again")
	cmd.Flags().StringVar(&only, "rule", "", "tell only which cases cover the rule with this `id`")
	cmd.Flags().StringVar(&format, "format", "text", "text or json")
	cmd.Flags().Float64Var(&least, "at-least", 0, "fail if fewer than this `percent` of the rules decide a case")
	return cmd
}
