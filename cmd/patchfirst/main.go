// Command patchfirst advises on taking old paint off the parts of a building: which class of method to try first, why,
// what is ruled out, and the work step by step.
//
//	patchfirst survey JOB        ask about a site and its parts, and keep the answers in the file JOB
//	patchfirst advise JOB        the advice for every part of a job
//	patchfirst explain JOB       why, why not, what would change it, and what to find out next
//	patchfirst patches JOB       plan test patches; patches record JOB and patches read JOB keep and read their record
//	patchfirst takeoff JOB       quantities, time, cost, air, water and waste; --compare puts the methods side by side
//	patchfirst diary JOB         what may be done now and what must wait; diary JOB add keeps the site diary
//	patchfirst lesson            the lessons; lesson run NAME teaches one, and lesson check looks after them
//	patchfirst rules check       check the rule base, and run case files; also prove, compare, cover, mutate, table
//	patchfirst version           the versions of the program and of its rule base
//
// A JOB is a file, or - for standard input. Results go to standard output, messages to standard error. It exits with 0
// when done, 1 when a check did not hold or output could not be written, 2 on wrong usage or input, 130 on Ctrl-C or another
// signal to end.
package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"golang.org/x/term"

	"patchfirst/explain"
	"patchfirst/interview"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

// The exit codes are a promise to scripts.
const (
	exitDone        = 0
	exitCheck       = 1
	exitUsage       = 2
	exitInterrupted = 130
)

// failure is an error that carries the exit code it asks for; other errors are of usage or input.
type failure struct {
	code int
	err  error
}

func (f *failure) Error() string { return f.err.Error() }
func (f *failure) Unwrap() error { return f.err }

func main() {
	// A command is short and its heap small: collecting garbage less often saves a third of its time.
	const percent, limit = 400, 400 << 20
	debug.SetGCPercent(percent)
	debug.SetMemoryLimit(limit)
	os.Exit(run())
}

func run() int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer stop()
	// What asks or writes ends by itself. Nothing else has anything to lose, and is not waited for.
	ended := context.AfterFunc(ctx, func() {
		const patience = time.Second
		time.Sleep(patience)
		if term.IsTerminal(int(os.Stderr.Fd())) {
			fmt.Fprint(os.Stderr, wipe) // what progress may have written
		}
		fmt.Fprintln(os.Stderr, "patchfirst: stopped")
		os.Exit(exitInterrupted)
	})
	defer ended() // before the deferred stop, which would look like an interrupt
	c := &cli{stdin: os.Stdin, stdout: os.Stdout, stderr: os.Stderr}
	err := c.root().ExecuteContext(ctx)
	switch {
	case err == nil:
		return exitDone
	case ctx.Err() != nil:
		c.report(err)
		return exitInterrupted
	}
	c.report(err)
	var f *failure
	if errors.As(err, &f) {
		return f.code
	}
	return exitUsage
}

// cli holds the streams and the flags that every command shares.
type cli struct {
	stdin          *os.File
	stdout, stderr io.Writer
	knowledge      string
	json           bool
}

func (c *cli) root() *cobra.Command {
	var version bool
	cmd := &cobra.Command{
		Use:           "patchfirst",
		Short:         "Advice on taking old paint off the parts of a building: a test patch first",
		Long:          "patchfirst asks about a painted part, decides which class of method suits it, and says why.",
		Example:       "  patchfirst survey boathouse.yaml\n  patchfirst advise boathouse.yaml\n  patchfirst rules check",
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          knownCommand,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if version {
				return c.version()
			}
			return cmd.Help()
		},
	}
	cmd.Flags().BoolVar(&version, "version", false, "show the versions of the program and of its rule base")
	cmd.SetIn(c.stdin)
	cmd.SetOut(c.stdout)
	cmd.SetErr(c.stderr)
	cmd.PersistentFlags().StringVar(&c.knowledge, "knowledge", "", "`folder` of a rule base to use instead of the built-in one")
	cmd.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error { return flagError(cmd, err) })
	cmd.AddCommand(c.surveyCommand(), c.adviseCommand(), c.explainCommand(), c.patchesCommand(), c.diaryCommand(), c.lessonCommand(), c.takeoffCommand(), c.rulesCommand(), c.versionCommand())
	return cmd
}

// knownCommand refuses a command that does not exist, and names the nearest.
func knownCommand(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	var known []string
	for _, sub := range cmd.Commands() {
		if sub.IsAvailableCommand() {
			known = append(known, sub.Name())
		}
	}
	return fmt.Errorf("there is no command %q. %s", args[0], rules.DidYouMean(args[0], known))
}

// oneJob asks for the name of one job file.
func oneJob(cmd *cobra.Command, args []string) error {
	switch {
	case len(args) == 0:
		return fmt.Errorf("name the job file, as in:\n  %s boathouse.yaml", cmd.CommandPath())
	case len(args) > 1:
		return fmt.Errorf("%s takes one job file, and here are %d; a name with spaces stands in quotes", cmd.Name(), len(args))
	case strings.TrimSpace(args[0]) == "":
		return fmt.Errorf("the name of the job file is empty: write one, as in:\n  %s boathouse.yaml", cmd.CommandPath())
	}
	return nil
}

// flagError names the nearest flag for one that is not known.
func flagError(cmd *cobra.Command, err error) error {
	name, ok := strings.CutPrefix(err.Error(), "unknown flag: --")
	if !ok {
		return fmt.Errorf("%w; see: %s --help", err, cmd.CommandPath())
	}
	var known []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) { known = append(known, f.Name) })
	hint := fmt.Sprintf("See: %s --help", cmd.CommandPath())
	if near, ok := rules.Nearest(name, known); ok {
		hint = fmt.Sprintf("Did you mean --%s?", near)
	}
	return fmt.Errorf("there is no flag --%s. %s", name, hint)
}

// report writes an error for the person at the keyboard, or as one line of JSON where JSON was asked for.
func (c *cli) report(err error) {
	if c.json {
		line, _ := json.Marshal(map[string]string{"error": err.Error()})
		fmt.Fprintf(c.stderr, "%s\n", line)
		return
	}
	text := "patchfirst: " + explain.Clean(err.Error())
	if width, ok := terminalWidth(c.stderr); ok {
		text = strings.TrimRight(interview.Wrap(text, width), "\n")
	}
	fmt.Fprintln(c.stderr, text)
}

func (c *cli) base() (*rules.Base, error) { return knowledge.Load(c.knowledge) }

// width is how wide text for people is set: the terminal's width, within reason.
func (c *cli) width() int {
	const narrowest, standard, widest = 30, 80, 100
	if w, ok := terminalWidth(c.stdout); ok {
		return max(narrowest, min(w, widest))
	}
	return standard
}

// terminalWidth returns how wide the terminal is, if out is one.
func terminalWidth(out io.Writer) (int, bool) {
	if f, ok := out.(*os.File); ok {
		if w, _, err := term.GetSize(int(f.Fd())); err == nil && w > 0 {
			return w, true
		}
	}
	return 0, false
}
