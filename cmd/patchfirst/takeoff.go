package main

import (
	"github.com/spf13/cobra"

	"patchfirst/interview/job"
	"patchfirst/interview/takeoff/show"
)

func (c *cli) takeoffCommand() *cobra.Command {
	var only []string
	var method, working, units string
	cmd := &cobra.Command{
		Use:   "takeoff JOB",
		Short: "Work out quantities, time, cost, air, water and waste of every part",
		Long: "takeoff does the sums of every part: the first choice, or the method that is named. Sizes, wage, prices and own rates stand " +
			"in the job file under takeoff:, of the site and of each part.",
		Example: "  patchfirst takeoff boathouse.yaml\n  patchfirst takeoff --part 'boathouse door' --method alkaline_covered boathouse.yaml\n" +
			"  patchfirst takeoff --part 'boathouse door' --working paste boathouse.yaml",
		Args: oneJob,
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
			book, err := show.Open(b, j, args[0], c.width())
			if err != nil {
				return err
			}
			if book.US, err = show.Units(units); err != nil {
				return err
			}
			if working != "" {
				return book.Working(c.stdout, method, working)
			}
			return book.Text(c.stdout, method)
		},
	}
	cmd.Flags().StringArrayVar(&only, "part", nil, "only the part of this `name`; may be given again")
	cmd.Flags().StringVar(&method, "method", "", "the sums of this `method` instead of the first choice")
	cmd.Flags().StringVar(&working, "working", "", "show how this `figure` was made")
	cmd.Flags().StringVar(&units, "units", "metric", "`metric` or us")
	return cmd
}
