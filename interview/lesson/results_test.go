package lesson

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// writerFile names the results file of a writer that is to be killed; see TestKilled.
const writerFile = "PATCHFIRST_TEST_RESULTS"

func TestMain(m *testing.M) {
	if path := os.Getenv(writerFile); path != "" {
		write(path)
		return
	}
	os.Exit(m.Run())
}

// write goes on with a results file, one answer a save, and tells each one that is kept.
func write(path string) {
	k, err := Keep(path)
	if err != nil {
		fmt.Println(err)
		return
	}
	for {
		n := 0
		for _, r := range k.Runs {
			n += len(r.Given)
		}
		l := &Lesson{Name: "a", Digest: "d", Exercises: make([]*Exercise, 50)}
		run := k.Open(l)
		if run == nil {
			run = k.Begin(l, time.Unix(int64(n), 0))
		}
		run.Given = append(run.Given, Given{Exercise: len(run.Given) + 1, Kind: RuleOut, Chose: []string{"x"}, Mark: Right, Points: 1, At: time.Unix(int64(n), 0)})
		if err := k.Save(); err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(n + 1)
	}
}

// However a writer is killed, every answer that it told to be kept is in the file, and the file is whole.
func TestKilledWritersLoseNothing(t *testing.T) {
	rounds := 40
	if testing.Short() {
		rounds = 8
	}
	if n, err := strconv.Atoi(os.Getenv("PATCHFIRST_KILL_ROUNDS")); err == nil {
		rounds = n
	}
	dir := t.TempDir()
	for round := range rounds {
		const each = 20 // rounds on one file, which grows
		path := filepath.Join(dir, strconv.Itoa(round/each), "results.yaml")
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), writerFile+"="+path)
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		told := 0
		lines := bufio.NewScanner(out)
		for n := 0; lines.Scan(); n++ {
			if told, err = strconv.Atoi(lines.Text()); err != nil {
				t.Fatalf("round %d: %s", round, lines.Text())
			}
			if n == round%7 { // the kill falls into one of the next steps of the writer
				_ = cmd.Process.Kill()
			}
		}
		_ = cmd.Wait()
		r, err := ReadResults(path)
		if err != nil {
			t.Fatalf("round %d: %v", round, err)
		}
		kept := 0
		for _, run := range r.Runs {
			kept += len(run.Given)
		}
		if kept < told {
			t.Fatalf("round %d: %d answers were told to be kept, and %d are", round, told, kept)
		}
	}
}

// Whatever was kept reads back as it was.
func TestResultsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		moment := func(label string) time.Time {
			return time.Unix(rapid.Int64Range(0, 4e9).Draw(t, label), 0).UTC()
		}
		word := rapid.StringMatching(`[a-z0-9_/-]{1,12}`)
		r := &Results{}
		for range rapid.IntRange(0, 3).Draw(t, "runs") {
			run := &Run{Lesson: word.Draw(t, "lesson"), Digest: word.Draw(t, "digest"), Began: moment("began"), Of: rapid.IntRange(0, 9).Draw(t, "of")}
			for i := range rapid.IntRange(0, 4).Draw(t, "answers") {
				run.Given = append(run.Given, Given{
					Exercise: i + 1, Kind: rapid.SampledFrom(Kinds).Draw(t, "kind"), Mark: rapid.SampledFrom(Marks).Draw(t, "mark"),
					Chose: rapid.SliceOfN(word, 1, 3).Draw(t, "chose"), Points: rapid.Float64Range(0, 1).Draw(t, "points"),
					Hints: rapid.IntRange(0, 3).Draw(t, "hints"), Shown: rapid.SliceOfN(word, 1, 2).Draw(t, "shown"), At: moment("at"),
				})
			}
			r.Runs = append(r.Runs, run)
		}
		text, err := r.Marshal()
		if err != nil {
			t.Fatal(err)
		}
		back, err := ParseResults("r.yaml", text)
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		again, err := back.Marshal()
		if err != nil || !bytes.Equal(text, again) || len(back.Runs) != len(r.Runs) {
			t.Fatalf("%v\n%s\n%s", err, text, again)
		}
		for i := range r.Runs {
			if !reflect.DeepEqual(r.Runs[i], back.Runs[i]) {
				t.Fatalf("%+v is read as %+v", r.Runs[i], back.Runs[i])
			}
		}
	})
}

func TestResultsTellMistakes(t *testing.T) {
	const head = "results: patchfirst/lesson-results/1\nruns:\n  - lesson: a\n    digest: d\n    began: 2026-06-01T08:00:00Z\n    of: 2\n    answers:\n"
	for _, tt := range []struct{ name, text, want string }{
		{"another form", "results: x\nruns: []\n", `r.yaml:1:10: "x" is not known for "results"`},
		{"no time", strings.Replace(head, "2026-06-01T08:00:00Z", "June", 1), `"June" is no date and time`},
		{"no count", strings.Replace(head, "of: 2", "of: two", 1), `r.yaml:6:9: "two" is no count`},
		{"an unknown mark", head + "      - {exercise: 1, kind: rule_out, mark: good, at: 2026-06-01T08:00:00Z}\n", `"good" is not known for "mark"`},
		{"too many points", head + "      - {exercise: 1, kind: rule_out, mark: right, points: 7, at: 2026-06-01T08:00:00Z}\n", "7 is no share of the points"},
		{"out of order", head + "      - {exercise: 2, kind: rule_out, mark: right, at: 2026-06-01T08:00:00Z}\n", "this is answer 1 of the run, and says exercise 2"},
	} {
		_, err := ParseResults("r.yaml", []byte(tt.text))
		if err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v", tt.name, err)
		}
	}
	if r, err := ParseResults("r.yaml", nil); err != nil || len(r.Runs) > 0 {
		t.Errorf("an empty file: %v", err)
	}
}

// A run is gone on with only if it is not done and the lesson still reads the same. Two programs do not write one file.
func TestResultsGoOn(t *testing.T) {
	path := filepath.Join(t.TempDir(), "r.yaml")
	k, err := Keep(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Keep(path); err == nil || !strings.Contains(err.Error(), "is open in another patchfirst") {
		t.Errorf("a second writer: %v", err)
	}
	l := &Lesson{Name: "a", Digest: "d", Exercises: make([]*Exercise, 2)}
	run := k.Begin(l, time.Unix(0, 0))
	if k.Open(l) != run {
		t.Error("a run that is not done is not gone on with")
	}
	if k.Open(&Lesson{Name: "a", Digest: "other", Exercises: l.Exercises}) != nil {
		t.Error("a run of another text is gone on with")
	}
	run.Given = make([]Given, 2)
	if k.Open(l) != nil {
		t.Error("a run that is done is gone on with")
	}
	if err := k.Close(); err != nil {
		t.Error(err)
	}
}

func FuzzParseResults(f *testing.F) {
	f.Add("results: patchfirst/lesson-results/1\nruns:\n  - lesson: a\n    digest: d\n    began: 2026-06-01T08:00:00Z\n    of: 2\n    answers:\n      - {exercise: 1, kind: rule_out, chose: [x], mark: right, points: 1, at: 2026-06-01T08:00:00Z}\n")
	for _, text := range []string{"", "-", "runs: [[]]", "results: x\nruns: {}", "runs: [{of: -1}]"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		r, err := ParseResults("x.yaml", []byte(text))
		if err != nil {
			return
		}
		back, err := r.Marshal()
		if err != nil {
			t.Fatal(err)
		}
		if _, err := ParseResults("x.yaml", back); err != nil && len(r.Runs) > 0 {
			t.Errorf("what was read is written so that it cannot be read: %v\n%s", err, back)
		}
	})
}
