package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

const exampleJob = "../../testdata/jobs/gannet-ness.yaml"

// program builds the program once for tests that need real files for its streams.
func program(t *testing.T) string {
	t.Helper()
	bin := filepath.Join(t.TempDir(), "patchfirst")
	if out, err := exec.Command("go", "build", "-o", bin, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return bin
}

func exitCode(err error) int {
	var exit *exec.ExitError
	switch {
	case err == nil:
		return 0
	case errors.As(err, &exit):
		return exit.ExitCode()
	}
	return -1
}

// Output that cannot be written, input that is no job, and an interrupt end with a message and the promised exit code.
func TestStreams(t *testing.T) {
	bin := program(t)
	dir := t.TempDir()
	write := func(name string, data []byte) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	run := func(out io.Writer, args ...string) (int, string) {
		var messages bytes.Buffer
		cmd := exec.Command(bin, args...)
		cmd.Stdout, cmd.Stderr = out, &messages
		return exitCode(cmd.Run()), messages.String()
	}
	t.Run("full disk", func(t *testing.T) {
		full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
		if err != nil {
			t.Skip(err)
		}
		defer full.Close()
		for _, args := range [][]string{{"advise", exampleJob}, {"takeoff", exampleJob}, {"advise", "--json", exampleJob}, {"explain", exampleJob, "--element", "boathouse door"}} {
			if code, messages := run(full, args...); code != exitCheck || !strings.Contains(messages, "no space left") {
				t.Errorf("%v: exit %d, %s", args, code, messages)
			}
		}
	})
	t.Run("closed pipe", func(t *testing.T) {
		r, w, err := os.Pipe()
		if err != nil {
			t.Fatal(err)
		}
		r.Close()
		code, messages := run(w, "advise", exampleJob)
		w.Close()
		if strings.Contains(messages, "panic") || code > exitCheck {
			t.Errorf("exit %d, %s", code, messages)
		}
	})
	t.Run("not a job", func(t *testing.T) {
		huge := write("huge.yaml", bytes.Repeat([]byte("a: 1\n"), 10<<20))
		binary := write("binary.yaml", []byte{0x7f, 'E', 'L', 'F', 0, 1, 2})
		bomb := write("bomb.yaml", []byte("job: x\nsite: &a {built: [*a, *a]}\n"))
		for path, want := range map[string]string{huge: "is larger than 4 MB", binary: "is not a text file", bomb: "anchors and aliases"} {
			code, messages := run(io.Discard, "advise", path)
			if code != exitUsage || !strings.Contains(messages, want) {
				t.Errorf("%s: exit %d, %s", filepath.Base(path), code, messages)
			}
		}
	})
	t.Run("unreadable and unwritable", func(t *testing.T) {
		if os.Getuid() == 0 {
			t.Skip("root may read and write everything")
		}
		secret := write("secret.yaml", []byte("job: x\n"))
		if err := os.Chmod(secret, 0); err != nil {
			t.Fatal(err)
		}
		if code, messages := run(io.Discard, "advise", secret); code != exitUsage || !strings.Contains(messages, "may not be read") {
			t.Errorf("exit %d, %s", code, messages)
		}
		locked := filepath.Join(dir, "locked")
		if err := os.Mkdir(locked, 0o500); err != nil {
			t.Fatal(err)
		}
		if code, messages := run(io.Discard, "survey", "--no-input", "--set", "built=1911", filepath.Join(locked, "j.yaml")); code == exitDone || !strings.Contains(messages, "may not be written") {
			t.Errorf("exit %d, %s", code, messages)
		}
	})
	t.Run("interrupt", func(t *testing.T) {
		job := filepath.Join(dir, "stopped.yaml")
		cmd := exec.Command(bin, "survey", "--plain", job)
		in, err := cmd.StdinPipe()
		if err != nil {
			t.Fatal(err)
		}
		var messages bytes.Buffer
		cmd.Stderr = &messages
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(in, "The old house\n"); err != nil {
			t.Fatal(err)
		}
		for range 200 { // until the answer is saved
			if _, err := os.Stat(job); err == nil {
				break
			}
			time.Sleep(50 * time.Millisecond)
		}
		if err := cmd.Process.Signal(syscall.SIGINT); err != nil {
			t.Fatal(err)
		}
		if code := exitCode(cmd.Wait()); code != exitInterrupted {
			t.Errorf("exit %d, %s", code, &messages)
		}
		kept, err := os.ReadFile(job)
		if err != nil || !strings.Contains(string(kept), "The old house") {
			t.Errorf("kept %q, %v", kept, err)
		}
	})
}
