package main

import (
	"errors"

	"github.com/spf13/cobra"

	"patchfirst/knowledge"
	"patchfirst/rules/audit"
	"patchfirst/rules/diagram"
)

func (c *cli) proveCommand() *cobra.Command {
	var memory int
	cmd := &cobra.Command{
		Use:   "prove",
		Short: "Prove the promises of the rule base over all cases",
		Long: "prove tells of each promise that it holds, or by which method it is broken, in how many cases, what those have in common, and an example.\n" +
			"Exit codes: 0 every promise holds; 1 one does not, or the memory did not do; 2 the base cannot be read. rules check gives the same as JSON and SARIF.",
		Example: "  patchfirst rules prove\n  patchfirst rules prove --knowledge my-base",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			nodeCap, err := nodes(memory)
			if err != nil {
				return err
			}
			b, err := c.base()
			if err != nil {
				return err
			}
			_, done := c.progress("proving")
			proofs, err := audit.Proofs(b, knowledge.WithFigures, nodeCap)
			done()
			if err != nil {
				return outOfMemory(err, memory)
			}
			broken := 0
			for _, p := range proofs {
				if p.Outcome != diagram.None {
					broken++
				}
				if err := c.show(p.String() + "\n"); err != nil {
					return &failure{exitCheck, err}
				}
			}
			if broken > 0 {
				return &failure{exitCheck, errors.New("not every promise is kept")}
			}
			return nil
		},
	}
	memoryFlag(cmd, &memory)
	return cmd
}
