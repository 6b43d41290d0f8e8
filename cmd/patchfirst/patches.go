package main

import (
	"errors"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"patchfirst/interview"
	"patchfirst/interview/job"
	"patchfirst/interview/paper"
	"patchfirst/interview/patches"
	"patchfirst/interview/patches/ask"
	"patchfirst/interview/patches/show"
)

func (c *cli) patchesCommand() *cobra.Command {
	var only []string
	var svg, cards bool
	cmd := &cobra.Command{
		Use:   "patches JOB",
		Short: "Plan the test patches, keep their record and read it",
		Long:  "patches plans the test patches of every part: which methods, how many, how large, where, when to look, and what a result means.",
		Example: "  patchfirst patches boathouse.yaml\n  patchfirst patches --element 'boathouse door' --svg boathouse.yaml > door.svg\n" +
			"  patchfirst patches record boathouse.yaml\n  patchfirst patches read boathouse.yaml",
		Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			b, err := c.book(args[0], only)
			if err != nil {
				return err
			}
			switch {
			case svg:
				return b.SVG(c.stdout)
			case cards:
				return written(b.Cards(c.stdout))
			case c.json:
				return written(b.PlansJSON(c.stdout))
			}
			return written(b.Plans(c.stdout))
		},
	}
	cmd.PersistentFlags().BoolVar(&c.json, "json", false, "print as JSON")
	cmd.Flags().StringArrayVar(&only, "element", nil, "only the part of this `name`; may be given again")
	cmd.Flags().BoolVar(&svg, "svg", false, "draw the patches of one part to scale, as SVG")
	cmd.Flags().BoolVar(&cards, "cards", false, "print a card to fill in for each patch")
	cmd.MarkFlagsMutuallyExclusive("svg", "cards", "json")
	cmd.AddCommand(c.recordCommand(), c.readCommand())
	return cmd
}

// written gives an error of writing the exit code of one.
func written(err error) error {
	if err == nil {
		return nil
	}
	return &failure{exitCheck, err}
}

// book reads and decides a job.
func (c *cli) book(path string, only []string) (*show.Book, error) {
	b, err := c.base()
	if err != nil {
		return nil, err
	}
	j, err := job.ReadFile(b, path, c.stdin)
	if err != nil {
		return nil, err
	}
	if err := j.Keep(only); err != nil {
		return nil, err
	}
	return show.Open(b, j, path, c.width())
}

func (c *cli) readCommand() *cobra.Command {
	var only []string
	cmd := &cobra.Command{
		Use:     "read JOB",
		Short:   "Say what the recorded patches show, and what to do next",
		Example: "  patchfirst patches read boathouse.yaml\n  patchfirst patches read --element 'boathouse door' --json boathouse.yaml",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			b, err := c.book(args[0], only)
			if err != nil {
				return err
			}
			b.Read(time.Now())
			if c.json {
				return written(b.ReadingsJSON(c.stdout))
			}
			return written(b.Readings(c.stdout))
		},
	}
	cmd.Flags().StringArrayVar(&only, "element", nil, "only the part of this `name`; may be given again")
	return cmd
}

// recordFlags are the keys of an entry that flags give, with their help.
var recordFlags = [][2]string{
	{"kind", "`what` is recorded: patch (it was put on), look (it was looked at), control (an untouched spot), strike (an entry is taken back)"},
	{"patch", "`label` of the patch, such as A1"},
	{"method", "`method` of a patch that was put on"},
	{"thickness", "wet `thickness` of the paste with its unit, such as '3 mm'"},
	{"area", "`area` of the part: worst or soundest"},
	{"where", "the place, in `words`"},
	{"at", "date and `time` with its offset, such as 2026-06-01T09:30:00+01:00; now if left out"},
	{"by", "`who` saw it"},
	{"layers-left", "`number` of coats left in the worst place; 0 is clean"},
	{"lifts", "`how` the coat lifts: easily, with_work or not"},
	{"harm", "`what` harm is seen, or none"},
	{"ph", "`pH` of the surface"},
	{"surface-temp", "`temperature` of the surface with its unit, such as '12 C'"},
	{"edges", "`state` of the edges of the paste: wet, drying or dry"},
	{"passes", "`number` of applications so far"},
	{"corrects", "`number` of the entry that this one replaces"},
	{"because", "`why` it is corrected"},
	{"note", "`words` to remember"},
}

func (c *cli) recordCommand() *cobra.Command {
	var element string
	var off, sure bool
	cmd := &cobra.Command{
		Use:   "record JOB",
		Short: "Write down that a patch was put on, or what is seen of it",
		Long:  "record adds an entry to the log of a part. Entries are never changed: a correction is a new entry. Without flags it asks.",
		Example: "  patchfirst patches record --kind patch --patch A1 --method alkaline_covered --thickness '3 mm' --by AK boathouse.yaml\n" +
			"  patchfirst patches record --kind look --patch A1 --layers-left 0 --lifts easily --harm none --surface-temp '12 C' --by AK boathouse.yaml\n" +
			"  patchfirst patches record boathouse.yaml",
		Args: cobra.ExactArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			b, err := c.base()
			if err != nil {
				return err
			}
			draft := job.Draft{}
			for _, f := range recordFlags {
				draft.Set(f[0], cmd.Flag(f[0]).Value.String())
			}
			draft.Mark("off", off)
			draft.Mark("sure", sure)
			var kept *job.Kept
			if len(draft) > 0 {
				kept, err = patches.Keep(b, args[0], element, draft, time.Now())
			} else {
				p := interview.NewPlain(c.stdin, c.stderr, c.width(), !term.IsTerminal(int(c.stdin.Fd())))
				kept, err = ask.Keep(cmd.Context(), p, b, args[0], element, time.Now())
			}
			if errors.Is(err, interview.ErrStopped) {
				return &failure{exitInterrupted, err}
			}
			if err != nil {
				return err
			}
			if c.json {
				return written(paper.RecordedJSON(c.stdout, patches.EntrySchema, kept))
			}
			return written(paper.Recorded(c.stdout, kept))
		},
	}
	cmd.Flags().StringVar(&element, "element", "", "the `name` of the part; not needed if the job has only one")
	for _, f := range recordFlags {
		cmd.Flags().String(f[0], "", f[1])
	}
	cmd.Flags().BoolVar(&off, "off", false, "the paste was taken off for good")
	cmd.Flags().BoolVar(&sure, "sure", false, "it is right although it seems unlikely")
	return cmd
}
