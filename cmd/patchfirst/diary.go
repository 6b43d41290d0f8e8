package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"patchfirst/interview"
	"patchfirst/interview/diary"
	"patchfirst/interview/diary/ask"
	"patchfirst/interview/diary/show"
	"patchfirst/interview/job"
	"patchfirst/interview/paper"
)

// diaryFlags are the keys of a diary entry that flags give, with their help.
var diaryFlags = [][2]string{
	{"by", "`who` writes it"},
	{"batch", "`label` of the batch"},
	{"air-temp", "`temperature` of the air with its unit, such as '14 C'"},
	{"surface-temp", "`temperature` of the surface with its unit"},
	{"humidity", "relative `humidity`, such as '70 %'"},
	{"rain", "`rain`: none, falling or coming"},
	{"rain-at", "`time` at which rain is expected"},
	{"forecast-low", "lowest `temperature` forecast for the coming week"},
	{"who", "`who` is on site"},
	{"hold", "`hold` point that is met"},
	{"method", "`method` of the batch"},
	{"area", "`area` with its unit, such as '2.5 m2'"},
	{"thickness", "wet `thickness` of the paste with its unit"},
	{"layers-left", "`number` of coats left in the worst place; 0 is clean"},
	{"lifts", "`how` the coat lifts: easily, with_work or not"},
	{"harm", "`what` harm is seen, or none"},
	{"edges", "`edges` under the cover: wet, drying or dry"},
	{"took", "`time` that taking it off took, such as '2 h'"},
	{"rinses", "`number` of rinses, each with fresh water"},
	{"water", "`water` used in all, such as '20 L'"},
	{"with", "`acid`: acetic_acid, citric_acid or other"},
	{"strength", "`strength` of the acid, such as '5 %'"},
	{"volume", "`volume` of the acid, such as '4 L'"},
	{"spot", "`what` the pH is of: surface, control or rinse_water"},
	{"where", "the place, in `words`"},
	{"ph", "`pH` that was read"},
	{"strip", "how far apart the colours of the pH paper stand, such as `0.5`"},
	{"moisture", "`moisture` by meter, such as '14 %'"},
	{"depth", "`depth` of the meter's pins: deep or skin"},
	{"sheet", "`what` was under the taped sheet: dry or wet"},
	{"sheet-hours", "`time` for which the sheet was taped, such as '24 h'"},
	{"stream", "`stream` of waste: alkaline, solvent, rags, lead or water"},
	{"bags", "`number` of bags or tubs"},
	{"mass", "`mass` of the waste, such as '12 kg'"},
	{"what", "`what` happened"},
	{"done", "what was `done` about it"},
	{"product", "`class` of the first coat"},
	{"corrects", "`number` of the entry that this one replaces"},
	{"because", "`why` it is corrected"},
	{"note", "`words` to remember"},
}

func (c *cli) diaryCommand() *cobra.Command {
	var only []string
	var svg, sure, confirm, meter, dry bool
	var at string
	cmd := &cobra.Command{
		Use:   "diary JOB [add KIND]",
		Short: "Keep the site diary, and say what may be done now and what must wait",
		Long: "diary shows what was entered, what may be done now, what must wait, and why: the reading, the limit and its source.\n\n" +
			"diary JOB add KIND adds an entry; without flags it asks. Entries are never changed: a correction is a new entry. The kinds are\n  " + strings.Join(diary.Kinds, ", ") + ", strike",
		Example: "  patchfirst diary boathouse.yaml\n" +
			"  patchfirst diary boathouse.yaml add weather --air-temp '14 C' --surface-temp '12 C' --humidity '70 %' --rain none --by AK\n" +
			"  patchfirst diary boathouse.yaml add ph --batch 1 --spot surface --ph 8.5 --strip 0.5 --by AK",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 || len(args) > 1 && args[1] != "add" || len(args) > 3 {
				return errors.New("give a job, or a job, add and a kind of entry: patchfirst diary JOB add weather")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 1 {
				return c.showDiary(args[0], only, at, svg)
			}
			draft := job.Draft{}
			for _, f := range diaryFlags {
				draft.Set(f[0], cmd.Flag(f[0]).Value.String())
			}
			draft.Set("at", at)
			draft.Mark("sure", sure)
			draft.Mark("confirm", confirm)
			draft.Mark("meter", meter)
			draft.Mark("dry", dry)
			return c.addToDiary(cmd.Context(), args, only, draft)
		},
	}
	cmd.Flags().BoolVar(&c.json, "json", false, "print as JSON")
	cmd.Flags().StringArrayVar(&only, "element", nil, "only the part of this `name`; may be given again; not needed if the job has only one")
	cmd.Flags().StringVar(&at, "at", "", "date and `time` with its offset, such as 2026-06-01T09:30:00+01:00, of the entry, or as of which the diary is shown; now if left out")
	cmd.Flags().BoolVar(&svg, "svg", false, "draw the timeline of one part, as SVG")
	for _, f := range diaryFlags {
		cmd.Flags().String(f[0], "", "add: "+f[1])
	}
	cmd.Flags().BoolVar(&confirm, "confirm", false, "add: it is the confirming patch")
	cmd.Flags().BoolVar(&meter, "meter", false, "add: the pH was read with a meter")
	cmd.Flags().BoolVar(&dry, "dry", false, "add: the surface was dry, and wetted again with distilled water")
	cmd.Flags().BoolVar(&sure, "sure", false, "add: it is right although it seems unlikely, or was done although it should have waited")
	cmd.MarkFlagsMutuallyExclusive("svg", "json")
	return cmd
}

func (c *cli) showDiary(path string, only []string, at string, svg bool) error {
	now := time.Now()
	if at != "" {
		var err error
		if now, err = time.Parse(time.RFC3339, at); err != nil {
			return fmt.Errorf("%q is not a date and time with its offset: write it as 2026-06-01T09:30:00+01:00", at)
		}
	}
	b, err := c.base()
	if err != nil {
		return err
	}
	j, err := job.ReadFile(b, path, c.stdin)
	if err != nil {
		return err
	}
	if err := j.Keep(only); err != nil {
		return err
	}
	book, err := show.Open(b, j, path, now, c.width())
	if err != nil {
		return err
	}
	switch {
	case svg:
		return book.SVG(c.stdout)
	case c.json:
		return written(book.JSON(c.stdout))
	}
	return written(book.Text(c.stdout))
}

func (c *cli) addToDiary(ctx context.Context, args, only []string, draft job.Draft) error {
	b, err := c.base()
	if err != nil {
		return err
	}
	element, kind := "", ""
	switch len(only) {
	case 0:
	case 1:
		element = only[0]
	default:
		return errors.New("an entry is of one part: name one with --element")
	}
	if len(args) == 3 {
		kind = strings.ReplaceAll(args[2], "-", "_")
	}
	var kept *job.Kept
	if len(draft) > 0 {
		draft.Set("kind", kind)
		kept, err = diary.Keep(b, args[0], element, draft, time.Now())
	} else {
		p := interview.NewPlain(c.stdin, c.stderr, c.width(), !term.IsTerminal(int(c.stdin.Fd())))
		kept, err = ask.Keep(ctx, p, b, args[0], element, kind, time.Now())
	}
	switch {
	case errors.Is(err, interview.ErrStopped):
		return &failure{exitInterrupted, err}
	case err != nil:
		return err
	case c.json:
		return written(paper.RecordedJSON(c.stdout, diary.EntrySchema, kept))
	}
	return written(paper.Recorded(c.stdout, kept))
}
