package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"patchfirst/knowledge"
	"patchfirst/rules/audit"
)

func (c *cli) mutateCommand() *cobra.Command {
	var folders []string
	var only, format string
	var least float64
	var memory int
	var suggest bool
	cmd := &cobra.Command{
		Use:   "mutate",
		Short: "Try small faults in the rules, and say which no case file would notice",
		Long: "mutate makes small faults in the rules, one at a time: drop a condition, flip a comparison, swap a value, weaken a verdict, delete a rule. A fault is killed if some case file no longer comes out as it expects.\n" +
			"Faults after which every complete case comes out the same are recognised exactly and do not count. With --suggest the first fault of each rule that lives comes with a case file that would catch it and the others of its rule, where one is found, ready to paste.\n" +
			"Exit codes: 0 done; 1 the score is below --at-least, or a case file fails even without a fault; 2 a base or case file cannot be read.",
		Example: "  patchfirst rules mutate --cases testdata/cases\n  patchfirst rules mutate --cases testdata/cases --rule no-heat-on-lead --suggest",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if folders == nil {
				return errors.New("name the case files: --cases testdata/cases")
			}
			write, ok := map[string]func(*audit.Mutation) error{
				"text": func(m *audit.Mutation) error { _, err := fmt.Fprint(c.stdout, m); return err },
				"json": func(m *audit.Mutation) error { return m.JSON(c.stdout) },
			}[format]
			if !ok {
				return fmt.Errorf("--format is text or json, not %q", format)
			}
			nodeCap, err := nodes(memory)
			if err != nil {
				return err
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
			say, done := c.progress("trying faults")
			m, err := audit.Mutate(b, all, knowledge.WithFigures, only, say, nodeCap)
			if err == nil && suggest {
				say("cases are looked for")
				err = m.Suggest(all, knowledge.WithFigures, nodeCap)
			}
			done()
			if err != nil {
				return &failure{exitCheck, outOfMemory(err, memory)}
			}
			if err := write(m); err != nil {
				return &failure{exitCheck, err}
			}
			if 100*m.Score() < least {
				return &failure{exitCheck, errors.New("too many faults would go unnoticed")}
			}
			return nil
		},
	}
	cmd.Flags().StringArrayVar(&folders, "cases", nil, "`folder` of case files that should notice; may be given again")
	cmd.Flags().StringVar(&only, "rule", "", "try only the faults of the rule with this `id`")
	cmd.Flags().BoolVar(&suggest, "suggest", false, "give a case that would catch each fault that lives")
	cmd.Flags().StringVar(&format, "format", "text", "text or json")
	cmd.Flags().Float64Var(&least, "at-least", 0, "fail if fewer than this `percent` of the faults that matter are killed")
	memoryFlag(cmd, &memory)
	return cmd
}
