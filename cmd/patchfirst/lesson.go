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
	cmd.AddCommand(l.runCommand(), l.checkCommand(), l.makeCommand(), l.handoutCommand(), l.progressCommand())
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

// school reads all lessons, and makes what poses them.
func (l *lessons) school() (*lesson.School, []*lesson.Lesson, error) {
	b, all, err := l.read()
	if err != nil {
		return nil, nil, err
	}
	s, err := lesson.Open(b)
	return s, all, err
}

// one reads the lesson of a name.
func (l *lessons) one(name string) (*lesson.School, *lesson.Lesson, error) {
	s, all, err := l.school()
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
	return s, one, nil
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
	var cover bool
	cmd := &cobra.Command{
		Use:   "check [NAME]...",
		Short: "Say whether lessons are solvable, what they teach and how hard they are",
		Long: "check poses every exercise of the lessons. With --cover it says of every rule that rules something out where it is\n" +
			"taught. Exit codes: 0 all can be taught; 1 some lesson or rule cannot; 2 a lesson file cannot be read.",
		Example: "  patchfirst lesson check\n  patchfirst lesson check --lessons my-lessons my-lesson\n  patchfirst lesson check --cover",
		RunE: func(_ *cobra.Command, args []string) error {
			s, all, err := l.school()
			if err != nil {
				return err
			}
			checked, err := s.CheckAll(all, args)
			if err != nil {
				return err
			}
			if cover {
				return l.cover(s, all, checked)
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
	cmd.Flags().BoolVar(&cover, "cover", false, "say of every rule that rules something out where it is taught")
	return cmd
}

func (l *lessons) cover(s *lesson.School, all []*lesson.Lesson, checked []*lesson.Checked) error {
	covered, err := s.Cover(all, checked)
	if err != nil {
		return err
	}
	if err := show.Cover(l.stdout, covered, l.width()); err != nil {
		return written(err)
	}
	for _, c := range covered {
		if !c.Taught() {
			return &failure{exitCheck, errors.New("not every rule that rules something out is taught")}
		}
	}
	return nil
}

func (l *lessons) progressCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "progress",
		Short:   "Say what the lessons cover, what went wrong by topic, and what to practise next",
		Example: "  patchfirst lesson progress\n  patchfirst lesson progress --results anna.yaml",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			s, all, err := l.school()
			if err != nil {
				return err
			}
			r, err := l.kept()
			if err != nil {
				return err
			}
			checked, err := s.CheckAll(all, nil)
			if err != nil {
				return err
			}
			return written(show.Curriculum(l.stdout, s.Curriculum(checked, r), l.width()))
		},
	}
}

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
