package main

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"patchfirst/interview/diary"
	"patchfirst/interview/job"
	"patchfirst/knowledge"
)

// rounds is how often a test that kills the program does so: PATCHFIRST_KILL_ROUNDS, or a few.
func rounds(t *testing.T) int {
	const usual, short = 20, 5
	if text := os.Getenv("PATCHFIRST_KILL_ROUNDS"); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil {
			t.Fatalf("PATCHFIRST_KILL_ROUNDS: %v", err)
		}
		return n
	}
	if testing.Short() {
		return short
	}
	return usual
}

// log is a job file with the entries that its writers were told are kept.
type log struct {
	path, unfinished string
	kept             map[string]bool // by their notes
	before           string          // the log as it was last read
}

func newLog(t *testing.T) *log {
	t.Helper()
	path := filepath.Join(t.TempDir(), "job.yaml")
	if err := os.WriteFile(path, []byte("job: Gannet Ness lifeboat station\nsite: {}\nelements:\n  - name: door\n    part: door\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	return &log{path: path, unfinished: filepath.Join(filepath.Dir(path), ".job.yaml.new"), kept: map[string]bool{}}
}

func (l *log) add(note string) []string {
	return []string{"diary", l.path, "add", "weather", "--air-temp", "14 C", "--surface-temp", "12 C", "--humidity", "70 %", "--rain", "none", "--by", "AK", "--note", note}
}

// check reads the log: every entry is whole, each in its place, none that was acknowledged is missing, and what stood
// there before stands there still, byte by byte. It returns how many entries there are.
func (l *log) check(t *testing.T) int {
	t.Helper()
	b, err := knowledge.Load("")
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.ReadFile(b, l.path, nil)
	if err != nil {
		t.Fatalf("the file cannot be read: %v", err)
	}
	d, err := diary.Read(b, l.path, j.Elements[0].Log)
	if err != nil {
		t.Fatalf("an entry is not whole: %v", err)
	}
	there := map[string]bool{}
	for i, w := range d.Weather {
		if w.Entry.ID != i+1 || w.Air == nil || w.Surface == nil || w.Humidity == nil || w.Entry.By != "AK" {
			t.Fatalf("entry %d is not whole: %+v", i+1, w)
		}
		there[w.Entry.Note] = true
	}
	for note := range l.kept {
		if !there[note] {
			t.Fatalf("%q was acknowledged and is lost", note)
		}
	}
	text, err := os.ReadFile(l.path)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.HasPrefix(string(text), l.before) {
		t.Fatalf("what was written before has changed:\n%s\nnow\n%s", l.before, text)
	}
	l.before = string(text)
	return len(d.Weather)
}

// built builds the program.
func built(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "patchfirst")
	if out, err := exec.Command("go", "build", "-o", path, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return path
}

// A program that is killed, at whatever moment, loses no entry that it acknowledged, and leaves none that is half written.
// Every second round waits for the unfinished file, so that it strikes in the midst of writing.
func TestKilledWritersLoseNothing(t *testing.T) {
	program, l := built(t), newLog(t)
	began := time.Now()
	if out, err := exec.Command(program, l.add("first")...).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	takes := time.Since(began)
	l.kept["first"] = true
	random := rand.New(rand.NewPCG(1, 2))
	n := rounds(t)
	var killed, acknowledged, unheard int
	for round := range n {
		note := fmt.Sprintf("round %d", round)
		var out bytes.Buffer
		cmd := exec.Command(program, l.add(note)...)
		cmd.Stdout = &out
		before := l.check(t)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		l.strike(cmd, round, time.Duration(random.Int64N(int64(takes)*5/4)), time.Duration(random.Int64N(int64(3*time.Millisecond))), 4*takes)
		err := cmd.Wait()
		var exit *exec.ExitError
		switch {
		case strings.Contains(out.String(), "Recorded as entry"):
			l.kept[note] = true
			acknowledged++
		case errors.As(err, &exit) && exit.ExitCode() == -1:
		default:
			t.Fatalf("round %d: %v", round, err)
		}
		if errors.As(err, &exit) && exit.ExitCode() == -1 {
			killed++
		}
		if l.check(t) > before && !l.kept[note] {
			unheard++
		}
	}
	t.Logf("%d rounds: %d killed, %d acknowledged, %d written and killed before they could say so, none lost", n, killed, acknowledged, unheard)
	if killed == 0 {
		t.Error("no round was killed: the test tests nothing")
	}
}

// strike kills a program after a while, or a moment after it has begun to write.
func (l *log) strike(cmd *exec.Cmd, round int, while, moment, patience time.Duration) {
	if round%2 == 0 {
		time.Sleep(while)
		_ = cmd.Process.Kill()
		return
	}
	for began := time.Now(); time.Since(began) < patience; {
		if _, err := os.Stat(l.unfinished); err == nil {
			break
		}
	}
	time.Sleep(moment)
	_ = cmd.Process.Kill()
}

// A program that may write only so many bytes, for each of many numbers of bytes, stops there and leaves the old file as
// it was. It is this test's own binary under another name; see TestMain.
func TestWritersThatStopAtAnyByteLoseNothing(t *testing.T) {
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	program := filepath.Join(t.TempDir(), limited)
	if err := os.Symlink(self, program); err != nil {
		t.Fatal(err)
	}
	l := newLog(t)
	run := func(note string, bytes int) (string, error) {
		cmd := exec.Command(program, l.add(note)...)
		cmd.Env = append(os.Environ(), fmt.Sprintf("%s=%d", limited, bytes))
		out, err := cmd.Output()
		return string(out), err
	}
	const enough = 1 << 20
	if _, err := run("first", enough); err != nil {
		t.Fatal(err)
	}
	l.kept["first"] = true
	l.check(t)
	if _, err := run("second", enough); err != nil {
		t.Fatal(err)
	}
	l.kept["second"] = true
	there := l.check(t)
	size := len(l.before) // the next entry makes the file longer than this
	n := rounds(t)
	for round := range n {
		at := round * (size - 1) / max(1, n-1)
		out, err := run("never", at)
		if err == nil || strings.Contains(out, "Recorded") {
			t.Fatalf("at byte %d it said %q", at, out)
		}
		if l.check(t) != there {
			t.Fatalf("at byte %d an entry was left", at)
		}
	}
	if _, err := run("last", enough); err != nil {
		t.Fatal(err)
	}
	l.kept["last"] = true
	if l.check(t) != there+1 {
		t.Error("the last entry is not there")
	}
}

// Of several who write at once each is told that another has the file, or has its entry kept.
func TestTwoWritersAtOnce(t *testing.T) {
	program, l := built(t), newLog(t)
	var mu sync.Mutex
	var writers sync.WaitGroup
	told := 0
	for i := range 8 {
		writers.Go(func() {
			note := fmt.Sprintf("writer %d", i)
			out, err := exec.Command(program, l.add(note)...).CombinedOutput()
			mu.Lock()
			defer mu.Unlock()
			switch {
			case err == nil:
				l.kept[note] = true
			case strings.Contains(string(out), "is open in another patchfirst"):
				told++
			default:
				t.Errorf("%v\n%s", err, out)
			}
		})
	}
	writers.Wait()
	if there := l.check(t); there != len(l.kept) || there+told != 8 || there == 0 {
		t.Errorf("%d entries, %d acknowledged, %d told", there, len(l.kept), told)
	}
	release, err := job.Lock(l.path)
	if err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(program, l.add("late")...).CombinedOutput()
	if err == nil || !strings.Contains(string(out), "is open in another patchfirst: close that one first") {
		t.Errorf("with the file held: %v %s", err, out)
	}
	if err := release(); err != nil {
		t.Fatal(err)
	}
}
