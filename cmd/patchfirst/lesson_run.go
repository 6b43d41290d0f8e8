package main

import (
	"errors"
	"time"

	"github.com/spf13/cobra"

	"patchfirst/interview"
	"patchfirst/interview/lesson"
	"patchfirst/interview/lesson/ask"
	"patchfirst/interview/lesson/show"
)

func (l *lessons) runCommand() *cobra.Command {
	var plain, trainer bool
	cmd := &cobra.Command{
		Use:     "run NAME",
		Short:   "Run a lesson: for a learner, or with --trainer for a room",
		Example: "  patchfirst lesson run boathouse-door\n  patchfirst lesson run --plain boathouse-door\n  patchfirst lesson run boathouse-door --trainer",
		Args:    oneLesson,
		RunE: func(cmd *cobra.Command, args []string) error {
			s, one, err := l.one(args[0])
			if err != nil {
				return err
			}
			p := interview.Front(l.stdin, l.stdout, plain, ask.Keys)
			defer p.Close()
			if trainer {
				return stopped(ask.Teach(cmd.Context(), p, s, one))
			}
			path, err := l.path()
			if err != nil {
				return err
			}
			k, err := lesson.Keep(path)
			if err != nil {
				return err
			}
			defer k.Close()
			run, err := ask.Learn(cmd.Context(), p, s, one, k, time.Now)
			p.Close()
			if err == nil || len(run.Given) > 0 {
				p.Say(show.Ended(run, path))
			}
			return stopped(err)
		},
	}
	cmd.Flags().BoolVar(&plain, "plain", false, "ask line by line, for screen readers and scripts")
	cmd.Flags().BoolVar(&trainer, "trainer", false, "show each step to a room, and reveal it; nothing is judged or kept")
	return cmd
}

// stopped gives the end of a run its exit code.
func stopped(err error) error {
	var unsaved *interview.SaveError
	switch {
	case errors.Is(err, interview.ErrStopped):
		return &failure{exitInterrupted, err}
	case errors.Is(err, interview.ErrInputEnded):
		return errors.New("the input ended before the lesson did; the same command goes on")
	case errors.As(err, &unsaved):
		return &failure{exitCheck, err}
	}
	return err
}
