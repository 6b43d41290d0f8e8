package main

import (
	"errors"

	"github.com/spf13/cobra"

	"patchfirst/interview/lesson"
	"patchfirst/interview/lesson/show"
)

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
			if l.json {
				err = show.ChecksJSON(l.stdout, s.Base, checked)
			} else {
				err = show.Checks(l.stdout, checked, len(args) > 0, l.width())
			}
			if err != nil {
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
	l.jsonFlag(cmd)
	cmd.Flags().BoolVar(&cover, "cover", false, "say of every rule that rules something out where it is taught")
	return cmd
}

func (l *lessons) cover(s *lesson.School, all []*lesson.Lesson, checked []*lesson.Checked) error {
	covered, err := s.Cover(all, checked)
	if err != nil {
		return err
	}
	if l.json {
		err = show.CoverJSON(l.stdout, s.Base, covered)
	} else {
		err = show.Cover(l.stdout, covered, l.width())
	}
	if err != nil {
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
	cmd := &cobra.Command{
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
			c := s.Curriculum(checked, r)
			if l.json {
				return written(show.CurriculumJSON(l.stdout, s.Base, c))
			}
			return written(show.Curriculum(l.stdout, c, l.width()))
		},
	}
	l.jsonFlag(cmd)
	return cmd
}

func (l *lessons) jsonFlag(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&l.json, "json", false, "as data; testdata/schema/lessons.json describes it")
}
