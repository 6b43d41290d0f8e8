package main

import (
	"errors"

	"github.com/spf13/cobra"

	"patchfirst/interview"
)

func (c *cli) surveyCommand() *cobra.Command {
	o := interview.Options{Stdin: c.stdin, Stderr: c.stderr}
	cmd := &cobra.Command{
		Use:   "survey JOB",
		Short: "Ask about a building and its parts, and keep the answers in a file",
		Long: "survey asks about a building and its parts and keeps the answers in the file JOB, saved after each one.\n" +
			"If the file is there already it goes on where it stopped. Answers may also be given as flags.",
		Example: "  patchfirst survey boathouse.yaml\n  patchfirst survey --plain boathouse.yaml\n" +
			"  patchfirst survey boathouse.yaml --no-input --set built=1911\n" +
			"  patchfirst survey boathouse.yaml --no-input --element 'front door' --set part=door --set 'coatings=[alkyd, oil_paint]'",
		Args: oneJob,
		RunE: func(cmd *cobra.Command, args []string) error {
			b, err := c.base()
			if err != nil {
				return err
			}
			o.Path, o.Knowledge = args[0], c.knowledge
			err = interview.Run(cmd.Context(), b, o)
			var unsaved *interview.SaveError
			switch {
			case errors.Is(err, interview.ErrStopped):
				return &failure{exitInterrupted, err}
			case errors.As(err, &unsaved):
				return &failure{exitCheck, err}
			}
			return err
		},
	}
	cmd.Flags().StringArrayVar(&o.Set, "set", nil, "answer beforehand, as `fact=value`; ? is not known; may be given again")
	cmd.Flags().StringVar(&o.Element, "element", "", "the `name` of the part that --set speaks of; it is added if it is new")
	cmd.Flags().StringVar(&o.Answers, "answers", "", "take over the answers of this job `file`")
	cmd.Flags().BoolVar(&o.Plain, "plain", false, "ask line by line, for screen readers and scripts")
	cmd.Flags().BoolVar(&o.NoInput, "no-input", false, "ask nothing")
	return cmd
}
