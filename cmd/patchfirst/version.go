package main

import (
	"encoding/json"
	"fmt"

	"github.com/spf13/cobra"
)

// version of the program.
const version = "0.1.0"

func (c *cli) versionCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:     "version",
		Short:   "Show the versions of the program and of its rule base",
		Example: "  patchfirst version\n  patchfirst version --json",
		Args:    cobra.NoArgs,
		RunE:    func(*cobra.Command, []string) error { return c.version() },
	}
	cmd.Flags().BoolVar(&c.json, "json", false, "print the versions as JSON")
	return cmd
}

func (c *cli) version() error {
	b, err := c.base()
	if err != nil {
		return err
	}
	if c.json {
		return json.NewEncoder(c.stdout).Encode(map[string]string{"version": version, "base": b.Version, "digest": b.Digest})
	}
	_, err = fmt.Fprintf(c.stdout, "patchfirst %s, rule base %s (%s)\n", version, b.Version, b.Digest)
	return err
}
