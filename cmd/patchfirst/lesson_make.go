package main

import (
	"errors"

	"github.com/spf13/cobra"

	"patchfirst/interview/lesson"
	"patchfirst/interview/lesson/show"
)

func (l *lessons) makeCommand() *cobra.Command {
	var w lesson.Wish
	cmd := &cobra.Command{
		Use:   "make",
		Short: "Make new lessons: pairs of situations in which one answer flips the advice",
		Long: "make writes a lesson file. A topic is a finding, a question or one of its values, a method, or a file of the base.\n" +
			"The same seed makes the same lessons.",
		Example: "  patchfirst lesson make --topic lead --count 5 --seed 7 > my-lessons/lead.yaml\n  patchfirst lesson run --lessons my-lessons no-heat-on-lead-1",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			s, all, err := l.school()
			if err != nil {
				return err
			}
			made, err := s.Make(all, w)
			var few *lesson.TooFew
			if err != nil && !errors.As(err, &few) {
				return err
			}
			text, writeErr := lesson.Write(made)
			if writeErr == nil {
				_, writeErr = l.stdout.Write(text)
			}
			if writeErr != nil {
				return written(writeErr)
			}
			return written(err)
		},
	}
	cmd.Flags().StringVar(&w.Topic, "topic", "", "what they are about; any if left out")
	cmd.Flags().IntVar(&w.Count, "count", 1, "how `many`")
	cmd.Flags().StringVar(&w.Level, "hard", "", "how hard: easy, middle or hard; any if left out")
	cmd.Flags().Uint64Var(&w.Seed, "seed", 1, "another `number` makes other lessons")
	return cmd
}

func (l *lessons) handoutCommand() *cobra.Command {
	var trainer bool
	cmd := &cobra.Command{
		Use:   "handout NAME",
		Short: "Print a lesson as a page: the learner's copy, or the trainer's with answers, reasons and sources",
		Example: "  patchfirst lesson handout boathouse-door > door.html\n" +
			"  patchfirst lesson handout boathouse-door --trainer > door-trainer.html",
		Args: oneLesson,
		RunE: func(_ *cobra.Command, args []string) error {
			s, one, err := l.one(args[0])
			if err != nil {
				return err
			}
			return written(show.Handout(l.stdout, s, one, trainer))
		},
	}
	cmd.Flags().BoolVar(&trainer, "trainer", false, "the trainer's copy")
	return cmd
}
