package lesson

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"gopkg.in/yaml.v3"

	"patchfirst/interview/job"
	"patchfirst/rules/source"
)

// ResultsForm names the form of a results file; it changes when a field changes its meaning or goes away.
const ResultsForm = "patchfirst/lesson-results/1"

// Results is what a learner answered so far: a plain file on this machine and nowhere else.
type Results struct {
	Runs []*Run
}

// Run is one time through a lesson.
type Run struct {
	Lesson string
	Digest string // of the lesson's text then: answers to another text are not gone on with
	Began  time.Time
	Of     int // exercises that it has
	Given  []Given
}

// Given is an answer with how it was judged.
type Given struct {
	Exercise int // from 1
	Kind     Kind
	Chose    []string
	Mark     Mark
	Points   float64
	Hints    int      // that were asked for
	Shown    []string // rules that the exercise shows
	Lost     []string // of those, the ones that the answer went against or passed over
	At       time.Time
}

// Done reports whether every exercise was answered.
func (r *Run) Done() bool { return len(r.Given) >= r.Of }

// Open returns the last run of a lesson if it is not done and the lesson still reads the same, or nil.
func (r *Results) Open(l *Lesson) *Run {
	for _, run := range slices.Backward(r.Runs) {
		if run.Lesson == l.Name {
			if run.Done() || run.Digest != l.Digest || run.Of != len(l.Exercises) {
				return nil
			}
			return run
		}
	}
	return nil
}

// Begin adds a run of a lesson.
func (r *Results) Begin(l *Lesson, now time.Time) *Run {
	run := &Run{Lesson: l.Name, Digest: l.Digest, Began: now, Of: len(l.Exercises)}
	r.Runs = append(r.Runs, run)
	return run
}

// Keeper holds a results file, which no other program writes meanwhile. Each save replaces it whole.
type Keeper struct {
	*Results
	path    string
	release func() error
}

// Keep opens a results file, which need not exist yet. Its folder is made.
func Keep(path string) (*Keeper, error) {
	const private = 0o700
	if err := os.MkdirAll(filepath.Dir(path), private); err != nil {
		return nil, fmt.Errorf("results are kept in %s, and that folder cannot be made: %w. Name another file with --results", path, err)
	}
	release, err := job.Lock(path)
	if err != nil {
		return nil, err
	}
	r, err := ReadResults(path)
	if err != nil {
		return nil, errors.Join(err, release())
	}
	return &Keeper{r, path, release}, nil
}

// Save writes the file anew.
func (k *Keeper) Save() error {
	data, err := k.Marshal()
	if err != nil {
		return err
	}
	return job.Replace(k.path, data)
}

// Close gives the file back.
func (k *Keeper) Close() error { return k.release() }

// ReadResults reads a results file; one that does not exist has no results. Mistakes are returned as rules.Problems.
func ReadResults(path string) (*Results, error) {
	if _, err := os.Stat(path); errors.Is(err, os.ErrNotExist) {
		return &Results{}, nil
	}
	data, err := source.ReadFile(path, nil)
	if err != nil {
		return nil, err
	}
	return ParseResults(path, data)
}

// ParseResults reads the text of a results file.
func ParseResults(file string, data []byte) (*Results, error) {
	r := &Results{}
	d := source.Parse(file, data)
	if d.Root == nil {
		return r, d.Problems.Err()
	}
	o := d.Object(d.Root, "a results file", "results", "runs")
	if o == nil {
		return nil, d.Problems.Err()
	}
	o.Word("results", ResultsForm)
	for _, n := range d.Items(o.Get("runs"), "runs") {
		e := d.Object(n, "a run", "lesson", "digest", "began", "of", "answers")
		if e == nil {
			continue
		}
		run := &Run{Lesson: e.Need("lesson"), Digest: e.Text("digest"), Began: moment(e, "began"), Of: count(e, "of")}
		for _, n := range d.Items(e.Get("answers"), "answers") {
			run.given(d.Object(n, "an answer", "exercise", "kind", "chose", "mark", "points", "hints", "shown", "lost", "at"))
		}
		r.Runs = append(r.Runs, run)
	}
	if err := d.Problems.Err(); err != nil {
		return nil, err
	}
	return r, nil
}

func (r *Run) given(o *source.Object) {
	if o == nil {
		return
	}
	var kinds, marks []string
	for _, k := range Kinds {
		kinds = append(kinds, string(k))
	}
	for _, m := range Marks {
		marks = append(marks, string(m))
	}
	g := Given{Exercise: count(o, "exercise"), Kind: Kind(o.Word("kind", kinds...)), Chose: o.List("chose"), Mark: Mark(o.Word("mark", marks...)), Points: o.Number("points", 0), Shown: o.List("shown"), Lost: o.List("lost"), At: moment(o, "at")}
	if o.Get("hints") != nil {
		g.Hints = count(o, "hints")
	}
	if g.Points < 0 || g.Points > 1 {
		o.Doc.Fail(o.Get("points"), "Write a number from 0 to 1.", "%g is no share of the points", g.Points)
	}
	if g.Exercise != len(r.Given)+1 && g.Exercise > 0 {
		o.Doc.Fail(o.Place("exercise"), "Answers stand in the order of the exercises, each once.", "this is answer %d of the run, and says exercise %d", len(r.Given)+1, g.Exercise)
	}
	r.Given = append(r.Given, g)
}

func count(o *source.Object, key string) int {
	n, err := strconv.Atoi(o.Need(key))
	if o.Get(key) != nil && (err != nil || n < 0) {
		o.Doc.Fail(o.Get(key), "Write a whole number.", "%q is no count", o.Get(key).Value)
	}
	return max(n, 0)
}

func moment(o *source.Object, key string) time.Time {
	t, err := time.Parse(time.RFC3339, o.Need(key))
	if err != nil && o.Get(key) != nil {
		o.Doc.Fail(o.Get(key), "Write it such as 2026-06-01T09:30:00+01:00.", "%q is no date and time", o.Get(key).Value)
	}
	return t
}

// Marshal writes the results as YAML.
func (r *Results) Marshal() ([]byte, error) {
	type answer struct {
		Exercise int      `yaml:"exercise"`
		Kind     Kind     `yaml:"kind"`
		Chose    []string `yaml:"chose,flow"`
		Mark     Mark     `yaml:"mark"`
		Points   float64  `yaml:"points"`
		Hints    int      `yaml:"hints,omitempty"`
		Shown    []string `yaml:"shown,flow,omitempty"`
		Lost     []string `yaml:"lost,flow,omitempty"`
		At       string   `yaml:"at"`
	}
	type run struct {
		Lesson  string   `yaml:"lesson"`
		Digest  string   `yaml:"digest"`
		Began   string   `yaml:"began"`
		Of      int      `yaml:"of"`
		Answers []answer `yaml:"answers"`
	}
	file := struct {
		Results string `yaml:"results"`
		Runs    []run  `yaml:"runs"`
	}{Results: ResultsForm, Runs: []run{}}
	for _, one := range r.Runs {
		out := run{one.Lesson, one.Digest, one.Began.Format(time.RFC3339), one.Of, []answer{}}
		for _, g := range one.Given {
			out.Answers = append(out.Answers, answer{g.Exercise, g.Kind, g.Chose, g.Mark, g.Points, g.Hints, g.Shown, g.Lost, g.At.Format(time.RFC3339)})
		}
		file.Runs = append(file.Runs, out)
	}
	var b bytes.Buffer
	enc := yaml.NewEncoder(&b)
	enc.SetIndent(2)
	if err := enc.Encode(file); err != nil {
		return nil, err
	}
	return b.Bytes(), enc.Close()
}
