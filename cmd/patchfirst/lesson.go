package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"patchfirst/interview"
	"patchfirst/interview/lesson"
	"patchfirst/interview/lesson/ask"
	"patchfirst/interview/lesson/show"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

// lessons are the flags that the lesson commands share.
type lessons struct {
	*cli
	dirs    []string
	results string
}

func (c *cli) lessonCommand() *cobra.Command {
	l := &lessons{cli: c}
	cmd := &cobra.Command{
		Use:   "lesson",
		Short: "Teach decisions: exercises with a story, judged by the rules",
		Long: "lesson lists the lessons. A lesson tells a situation and asks before the program answers. The rules judge the answer,\n" +
			"and then say what they decide, why, what would have changed it, and what would have gone wrong.",
		Example: "  patchfirst lesson\n  patchfirst lesson run boathouse-door\n  patchfirst lesson run boathouse-door --trainer\n" +
			"  patchfirst lesson check --lessons my-lessons",
		Args: knownCommand,
		RunE: func(*cobra.Command, []string) error {
			_, all, err := l.read()
			if err != nil {
				return err
			}
			r, err := l.kept()
			if err != nil {
				return err
			}
			return written(show.List(c.stdout, all, r, c.width()))
		},
	}
	cmd.PersistentFlags().StringArrayVar(&l.dirs, "lessons", nil, "`folder` of lesson files of your own, beside the built-in ones; may be given again")
	cmd.PersistentFlags().StringVar(&l.results, "results", "", "`file` that a learner's answers are kept in")
	cmd.AddCommand(l.runCommand(), l.checkCommand())
	return cmd
}

// read reads the base and all lessons.
func (l *lessons) read() (*rules.Base, []*lesson.Lesson, error) {
	b, err := l.base()
	if err != nil {
		return nil, nil, err
	}
	fsys, name, err := knowledge.Lessons(l.knowledge)
	if err != nil {
		return nil, nil, err
	}
	shelf := lesson.NewShelf(b)
	shelf.Add(fsys, name)
	for _, dir := range l.dirs {
		shelf.Add(os.DirFS(dir), dir)
	}
	all, err := shelf.Lessons()
	return b, all, err
}

// kept reads the results, if there are any.
func (l *lessons) kept() (*lesson.Results, error) {
	path, err := l.path()
	if err != nil {
		return nil, err
	}
	return lesson.ReadResults(path)
}

// path is where results are kept: where the person says, or where programs keep their state.
func (l *lessons) path() (string, error) {
	if l.results != "" {
		return l.results, nil
	}
	state := os.Getenv("XDG_STATE_HOME")
	if !filepath.IsAbs(state) {
		home, err := os.UserHomeDir()
		if err != nil {
			return "", errors.New("there is no home folder to keep results in: name a file with --results")
		}
		state = filepath.Join(home, ".local", "state")
	}
	return filepath.Join(state, "patchfirst", "lessons.yaml"), nil
}

// one reads the lesson of a name.
func (l *lessons) one(name string) (*lesson.School, *lesson.Lesson, error) {
	b, all, err := l.read()
	if err != nil {
		return nil, nil, err
	}
	one := lesson.Find(all, name)
	if one == nil {
		var known []string
		for _, l := range all {
			known = append(known, l.Name)
		}
		return nil, nil, fmt.Errorf("there is no lesson %q. %s", name, rules.DidYouMean(name, known))
	}
	s, err := lesson.Open(b)
	return s, one, err
}

func oneLesson(cmd *cobra.Command, args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("name one lesson, as in:\n  %s boathouse-door", cmd.CommandPath())
	}
	return nil
}

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

func (l *lessons) checkCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "check [NAME]...",
		Short:   "Say whether lessons are solvable, what they teach and how hard they are",
		Example: "  patchfirst lesson check\n  patchfirst lesson check --lessons my-lessons my-lesson",
		RunE: func(_ *cobra.Command, args []string) error {
			b, all, err := l.read()
			if err != nil {
				return err
			}
			s, err := lesson.Open(b)
			if err != nil {
				return err
			}
			checked, err := s.CheckAll(all, args)
			if err != nil {
				return err
			}
			if err := show.Checks(l.stdout, checked, l.width()); err != nil {
				return written(err)
			}
			for _, c := range checked {
				if len(c.Problems) > 0 {
					return &failure{exitCheck, errors.New("not every lesson can be taught as it stands")}
				}
			}
			return nil
		},
	}
	return cmd
}
