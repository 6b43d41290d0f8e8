package main

import (
	"github.com/spf13/cobra"

	"patchfirst/explain"
	"patchfirst/interview/job"
)

func (c *cli) adviseCommand() *cobra.Command {
	var only []string
	var short bool
	cmd := &cobra.Command{
		Use:     "advise JOB",
		Short:   "Advise on every part of a job",
		Example: "  patchfirst advise boathouse.yaml\n  patchfirst advise --short boathouse.yaml\n  patchfirst advise --json - < boathouse.yaml\n  patchfirst advise --element 'boathouse door' boathouse.yaml",
		Args:    oneJob,
		RunE: func(_ *cobra.Command, args []string) error {
			b, err := c.base()
			if err != nil {
				return err
			}
			j, err := job.ReadFile(b, args[0], c.stdin)
			if err != nil {
				return err
			}
			if err := j.Keep(only); err != nil {
				return err
			}
			a, err := explain.Advise(b, j)
			if err != nil {
				return err
			}
			if c.json {
				return written(a.JSON(c.stdout))
			}
			if short {
				return written(a.ShortText(c.stdout, c.width()))
			}
			return written(a.Text(c.stdout, c.width()))
		},
	}
	cmd.Flags().BoolVar(&c.json, "json", false, "print the advice as JSON")
	cmd.Flags().BoolVar(&short, "short", false, "the choices and what would stop the work, without the steps")
	cmd.Flags().StringArrayVar(&only, "element", nil, "advise only on the part of this `name`; may be given again")
	return cmd
}
