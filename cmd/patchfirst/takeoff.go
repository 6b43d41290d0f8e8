package main

import (
	"bytes"

	"github.com/spf13/cobra"

	"patchfirst/interview/job"
	"patchfirst/interview/takeoff/show"
)

func (c *cli) takeoffCommand() *cobra.Command {
	var only []string
	var method, working, units, svg string
	var compare, csv bool
	cmd := &cobra.Command{
		Use:   "takeoff JOB",
		Short: "Work out quantities, time, cost, air, water and waste of every part",
		Long:  show.Help,
		Example: "  patchfirst takeoff boathouse.yaml\n  patchfirst takeoff --part 'boathouse door' --method alkaline_covered boathouse.yaml\n" +
			"  patchfirst takeoff --part 'boathouse door' --working paste boathouse.yaml\n" +
			"  patchfirst takeoff --part 'boathouse door' --compare boathouse.yaml",
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
			var out bytes.Buffer
			switch {
			case svg != "":
				err = book.SVG(&out, svg, method)
			case csv:
				err = book.CSV(&out, method)
			case working != "":
				err = book.Working(&out, method, working)
			case compare && c.json:
				err = book.CompareJSON(&out)
			case compare:
				err = book.Compare(&out)
			case c.json:
				err = book.JSON(&out, method)
			default:
				err = book.Text(&out, method)
			}
			if err != nil {
				return err
			}
			_, err = out.WriteTo(c.stdout)
			return written(err)
		},
	}
	cmd.Flags().StringArrayVar(&only, "part", nil, "only the part of this `name`; may be given again")
	cmd.Flags().StringArrayVar(&only, "element", nil, "the same as --part, as other commands name it")
	cmd.Flags().Lookup("element").Hidden = true
	cmd.Flags().StringVar(&method, "method", "", "the sums of this `method` instead of the first choice")
	cmd.Flags().StringVar(&working, "working", "", "show how this `figure` was made")
	cmd.Flags().BoolVar(&compare, "compare", false, "put the methods that are offered side by side")
	cmd.Flags().BoolVar(&csv, "csv", false, "list what to buy, hire and pay for, as CSV")
	cmd.Flags().BoolVar(&c.json, "json", false, "print as JSON")
	cmd.Flags().StringVar(&svg, "svg", "", "draw one part as SVG: its `days`, or the cost of its methods by coats (cost)")
	cmd.MarkFlagsMutuallyExclusive("svg", "csv", "working", "compare")
	cmd.MarkFlagsMutuallyExclusive("svg", "csv", "working", "json")
	cmd.Flags().StringVar(&units, "units", "metric", "`metric` or us")
	return cmd
}
