package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"patchfirst/interview"
	"patchfirst/rules"
	"patchfirst/rules/cases"
	"patchfirst/rules/diagram"
	"patchfirst/rules/source"
)

func (c *cli) rulesCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "rules",
		Short: "Look after the rule base",
		Long: "rules checks a rule base, and says what a change to it changes.\n" +
			"Exit codes: 0 all holds or nothing changed; 1 something does not hold or has changed; 2 wrong usage, or a base or case file that cannot be read.",
		Example: "  patchfirst rules check",
		Args:    knownCommand,
		RunE:    func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(c.checkCommand(), c.proveCommand(), c.compareCommand(), c.mutateCommand(), c.coverCommand(), c.tableCommand())
	return cmd
}

// expected reads the lines of a file of what is expected; without a file there are none.
func (c *cli) expected(file string) (lines []string, err error) {
	if file == "" {
		return nil, nil
	}
	data, err := source.ReadFile(file, c.stdin)
	if err != nil {
		return nil, err
	}
	for line := range strings.Lines(string(data)) {
		if line = strings.TrimSpace(line); line != "" && !strings.HasPrefix(line, "#") {
			lines = append(lines, line)
		}
	}
	return lines, nil
}

// show writes a report for people. On a terminal its lines are wrapped between words.
func (c *cli) show(report string) error {
	if width, ok := terminalWidth(c.stdout); ok {
		report = interview.Wrap(report, width)
	}
	_, err := io.WriteString(c.stdout, report)
	return err
}

// memoryFlag adds the flag that bounds what the diagrams take.
func memoryFlag(cmd *cobra.Command, megabytes *int) {
	const usual = 400
	cmd.Flags().IntVar(megabytes, "memory", usual, "most that the diagrams may take, in `MB`")
}

// nodes is how many nodes of a diagram fit into some memory, measured on the built-in base. Garbage is collected sooner when
// the whole program nears it.
func nodes(megabytes int) (int, error) {
	const least, bytesPerNode = 1, 128
	if megabytes < least {
		return 0, fmt.Errorf("--memory is a number of megabytes from 1 up, not %d", megabytes)
	}
	debug.SetMemoryLimit(int64(megabytes) << 20)
	return megabytes << 20 / bytesPerNode, nil
}

// outOfMemory says what to do when the diagrams grew past --memory.
func outOfMemory(err error, megabytes int) error {
	var large *diagram.TooLarge
	if errors.As(err, &large) {
		return &failure{exitCheck, fmt.Errorf("this takes more than the %d MB that --memory allows, and is not finished; allow more", megabytes)}
	}
	return err
}

// caseFiles reads folders of case files.
func caseFiles(b *rules.Base, folders []string) (all []cases.Case, err error) {
	for _, folder := range folders {
		more, err := cases.ReadFS(b, os.DirFS(folder), folder)
		if err != nil {
			return nil, err
		}
		all = append(all, more...)
	}
	return all, nil
}
