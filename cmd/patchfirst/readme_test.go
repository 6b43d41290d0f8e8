package main

import (
	"flag"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
)

var updateReadme = flag.Bool("update-readme", false, "write the output that README.md shows anew")

// shown is a block of README.md: a command, and the output that it shows. A last line of three dots cuts the output.
var shown = regexp.MustCompile("(?s)```\n\\$ go run (\\./cmd/patchfirst [^\n]*)\n(.*?)```")

// What README.md shows is what the commands print.
func TestReadmeShowsRealOutput(t *testing.T) {
	if testing.Short() {
		t.Skip("runs the rule checks")
	}
	const path = "../../README.md"
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	blocks := 0
	written := shown.ReplaceAllStringFunc(string(text), func(block string) string {
		blocks++
		m := shown.FindStringSubmatch(block)
		cmd := exec.Command("sh", "-c", "go run "+m[1])
		cmd.Dir = "../.."
		out, err := cmd.Output()
		if err != nil {
			t.Errorf("%s: %v", m[1], err)
			return block
		}
		got := string(out)
		if want, cut := strings.CutSuffix(m[2], "...\n"); cut {
			lines := strings.SplitAfter(got, "\n")
			got = strings.Join(lines[:min(len(lines), strings.Count(want, "\n"))], "") + "...\n"
		}
		if got != m[2] && !*updateReadme {
			t.Errorf("%s prints\n%s\n(go test ./cmd/patchfirst -run Readme -update-readme writes it anew)", m[1], got)
		}
		return "```\n$ go run " + m[1] + "\n" + got + "```"
	})
	const least = 2
	if blocks < least {
		t.Errorf("README.md shows %d commands, fewer than %d", blocks, least)
	}
	if *updateReadme {
		if err := os.WriteFile(path, []byte(written), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
