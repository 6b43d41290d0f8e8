package main

import (
	"encoding/json"
	"fmt"

	"github.com/spf13/cobra"

	"patchfirst/explain"
	"patchfirst/interview/job"
)

func (c *cli) explainCommand() *cobra.Command {
	var part, term, graph string
	var ifs []string
	var next, compare bool
	cmd := &cobra.Command{
		Use:   "explain [JOB] [WHAT]...",
		Short: "Say why, why not, what would change it, and what to find out next",
		Long: "explain says why the advice on one part is what it is. WHAT is a method, a finding, a caution, a step, a hold or a\n" +
			"referral by its id; left out, it is the first choice. For a method that is refused it names the nearest change.",
		Example: "  patchfirst explain boathouse.yaml --element 'boathouse door' hot_air\n" +
			"  patchfirst explain boathouse.yaml --element 'boathouse door' --if lead_test=lab_negative\n" +
			"  patchfirst explain boathouse.yaml --element 'boathouse door' --next\n" +
			"  patchfirst explain boathouse.yaml --element 'boathouse door' --compare steam hot_air\n" +
			"  patchfirst explain boathouse.yaml --element 'boathouse door' hot_air --graph svg > why.svg\n" +
			"  patchfirst explain --term poultice",
		RunE: func(cmd *cobra.Command, args []string) error {
			b, err := c.base()
			if err != nil {
				return err
			}
			if term != "" {
				return explain.TermText(c.stdout, b, term, c.width())
			}
			if len(args) == 0 {
				return fmt.Errorf("explain needs a job file: patchfirst explain JOB --element NAME [WHAT]")
			}
			j, err := job.ReadFile(b, args[0], c.stdin)
			if err != nil {
				return err
			}
			e, err := j.NeedElement(part)
			if err != nil {
				return err
			}
			x, err := explain.Explain(b, j, e)
			if err != nil {
				return err
			}
			return c.explained(x, explain.Request{What: args[1:], If: ifs, Next: next, Compare: compare, Graph: graph, Width: c.width()})
		},
	}
	cmd.Flags().StringVar(&part, "element", "", "the `name` of the part; needed if the job has several")
	cmd.Flags().StringArrayVar(&ifs, "if", nil, "what would move if this were the answer, as `fact=value`, or why WHAT would be what it is then; may be given again")
	cmd.Flags().BoolVar(&next, "next", false, "what is worth finding out, the most useful first")
	cmd.Flags().BoolVar(&compare, "compare", false, "methods side by side: those named, or the first choice and its fallbacks")
	cmd.Flags().StringVar(&graph, "graph", "", "draw the reasons as `svg` or dot")
	cmd.Flags().StringVar(&term, "term", "", "what a `word` means")
	cmd.Flags().BoolVar(&c.json, "json", false, "as data; testdata/schema/explanation.json describes it")
	return cmd
}

func (c *cli) explained(x *explain.Explainer, r explain.Request) error {
	answer, err := x.Ask(r)
	if err != nil {
		return err
	}
	if !c.json {
		return written(answer.Text(c.stdout))
	}
	enc := json.NewEncoder(c.stdout)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return written(enc.Encode(answer.Data()))
}
