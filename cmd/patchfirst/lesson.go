package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"patchfirst/interview/lesson"
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
	// A base of one's own need not bring lessons.
	if _, err := os.Stat(name); l.knowledge == "" || err == nil || len(l.dirs) == 0 {
		shelf.Add(fsys, name)
	}
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
