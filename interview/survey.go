// Package interview asks about a site and its parts, and keeps the answers in a job file. What is asked next is a pure
// function of the base and the answers (Next); how it is asked is behind the Prompter interface; the session between
// the two knows going back, checking and changing.
package interview

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"golang.org/x/term"

	"patchfirst/explain"
	"patchfirst/interview/job"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

// Options say how a survey is made.
type Options struct {
	Path           string   // of the job file
	Set            []string // answers given beforehand, as fact=value
	Element        string   // the part that they are about; it is made if it does not exist
	Answers        string   // a job file whose answers are taken over
	Plain, NoInput bool
	Knowledge      string // the folder that the base was read from, to name it in messages
	Stdin          *os.File
	Stderr         io.Writer // questions and messages
}

// command returns what to type for a command on the same job with the same base.
func (o *Options) command(name string) string {
	words := []string{"patchfirst", name}
	if o.Knowledge != "" {
		words = append(words, "--knowledge", quoted(o.Knowledge))
	}
	if o.Plain && name == "survey" {
		words = append(words, "--plain")
	}
	return strings.Join(append(words, quoted(o.Path)), " ")
}

// SaveError says that answers could not be written. They are lost only if the program ends.
type SaveError struct{ Err error }

func (e *SaveError) Error() string { return e.Err.Error() }

// Unwrap returns what went wrong.
func (e *SaveError) Unwrap() error { return e.Err }

// Unfinished is the end of a survey before its end. It tells where the answers are and how to go on.
type Unfinished struct {
	Path  string
	Saved bool
	Cause error  // ErrStopped or ErrInputEnded
	GoOn  string // the command that goes on
}

func (e *Unfinished) Error() string {
	if !e.Saved {
		return fmt.Sprintf("%v before the first answer: nothing was kept", e.Cause)
	}
	return fmt.Sprintf("%v: the answers so far are in %s\nGo on with:\n  %s", e.Cause, e.Path, e.GoOn)
}

// Unwrap returns the cause.
func (e *Unfinished) Unwrap() error { return e.Cause }

// Run makes a survey: it applies the answers given beforehand, then asks what is open.
func Run(ctx context.Context, b *rules.Base, o Options) error {
	if o.Path == "-" {
		return errors.New("a survey keeps its answers in a file: name one")
	}
	if info, err := os.Stat(o.Path); err == nil && info.IsDir() {
		return fmt.Errorf("%s is a folder: name a file in it", o.Path)
	}
	store, err := job.Open(b, o.Path)
	if err != nil {
		return err
	}
	defer store.Close()
	j, existed := job.New(), store.Exists()
	if existed {
		if j, err = store.Load(); err != nil {
			return err
		}
	}
	err = survey(ctx, b, o, store, j, existed)
	if errors.Is(err, ErrStopped) || errors.Is(err, ErrInputEnded) {
		return &Unfinished{o.Path, store.Exists(), err, o.command("survey")}
	}
	return err
}

func survey(ctx context.Context, b *rules.Base, o Options, store *job.Store, j *job.Job, existed bool) error {
	given := len(o.Set) > 0 || o.Answers != ""
	if err := apply(b, j, o); err != nil {
		return err
	}
	var p Prompter
	asks := !o.NoInput
	switch {
	case !asks:
	case !o.Plain && richTerminal(o.Stdin, o.Stderr):
		p = NewRich(o.Stdin, o.Stderr.(*os.File))
	default:
		terminal := term.IsTerminal(int(o.Stdin.Fd()))
		plain := NewPlain(o.Stdin, o.Stderr, plainWidth(o.Stderr), !terminal)
		if given && !terminal {
			empty, err := plain.Empty(ctx)
			if err != nil {
				return err
			}
			asks = !empty
		}
		p = plain
	}
	if !asks {
		if !given {
			return missing(b, j, o.Path)
		}
		if j.Title == "" {
			name := filepath.Base(o.Path)
			j.Title = strings.TrimSuffix(name, filepath.Ext(name))
		}
	}
	if given && (j.Title != "" || !asks) {
		if err := store.Save(j); err != nil {
			return &SaveError{err}
		}
	}
	if !asks {
		return nil
	}
	if existed {
		p.Say(fmt.Sprintf("Going on with %s: it has %s. Only what is open is asked.", explain.Clean(j.Title), count(j)))
	}
	s := newSession(b, j, p, store.Save)
	if len(o.Set) > 0 {
		s.now.asked[strings.TrimSpace(o.Element)] = true // what was set beforehand is looked over once
	}
	defer p.Close()
	if err := s.run(ctx); err != nil {
		return err
	}
	p.Close()
	p.Say(fmt.Sprintf("Saved in %s. For the advice:\n  %s", o.Path, o.command("advise")))
	return nil
}

// apply puts the answers given beforehand into the job, and refuses those that cannot stand together.
func apply(b *rules.Base, j *job.Job, o Options) error {
	if o.Answers != "" {
		if o.Answers == "-" {
			return errors.New("--answers takes a file: standard input is for answers to questions")
		}
		more, err := job.ReadFile(b, o.Answers, nil)
		if err != nil {
			return err
		}
		j.Merge(more)
	}
	var e *job.Element
	if name := strings.TrimSpace(o.Element); name != "" {
		if e = j.Element(name); e == nil {
			if err := newName(j, name); err != nil {
				return fmt.Errorf("--element %q: %w", name, err)
			}
			e = job.NewElement(name)
			j.Elements = append(j.Elements, e)
		}
	}
	var problems []error
	for _, assignment := range o.Set {
		into := e
		id, _, _ := strings.Cut(assignment, "=")
		if f := b.Fact(strings.TrimSpace(id)); f != nil && f.Scope == "site" && !j.Told(f) {
			into = nil // what holds of the building is told once; a part that differs may say so afterwards
		}
		problems = append(problems, j.Set(b, into, assignment))
	}
	if err := errors.Join(problems...); err != nil {
		return err
	}
	if len(o.Set) == 0 && o.Answers == "" {
		return nil
	}
	for _, e := range append([]*job.Element{nil}, j.Elements...) {
		answers, name := j.Site, "the building"
		if e != nil {
			answers, name = j.Answers(e), e.Name
		}
		_, c, err := b.Open(knowledge.WithFigures(b, answers))
		switch {
		case err != nil:
			return err
		case c != nil:
			return &explain.PartError{Name: name, Err: c}
		}
	}
	return nil
}

// missing names the first question that is not answered, as the error of a survey that may not ask.
func missing(b *rules.Base, j *job.Job, path string) error {
	set := func(f *rules.Fact, flags string) error {
		return fmt.Errorf("%q is not answered, and --no-input allows no question: %s\nAnswer it with:\n  patchfirst survey %s --no-input %s--set %s=...", f.ID, f.Ask, quoted(path), flags, f.ID)
	}
	for _, e := range append([]*job.Element{nil}, j.Elements...) {
		f, c, err := Next(b, j, e)
		switch {
		case err != nil:
			return err
		case c != nil:
			return c
		case f != nil && e == nil:
			return set(f, "")
		case f != nil:
			return set(f, fmt.Sprintf("--element %s ", quoted(e.Name)))
		}
	}
	if len(j.Elements) > 0 {
		return nil
	}
	for _, f := range b.Facts {
		if f.Scope == element && f.Asked() {
			return set(f, "--element NAME ")
		}
	}
	return nil
}

// count says how much a job holds already.
func count(j *job.Job) string {
	answers := len(j.Site)
	for _, e := range j.Elements {
		answers += len(e.Answers)
	}
	plural := func(n int, word string) string {
		if n == 1 {
			return "1 " + word
		}
		return fmt.Sprintf("%d %ss", n, word)
	}
	return plural(len(j.Elements), "part") + " and " + plural(answers, "answer")
}

// quoted writes an argument as it is typed in a shell.
func quoted(arg string) string {
	safe := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("/._-+,", r)
	}
	if arg != "" && strings.IndexFunc(arg, func(r rune) bool { return !safe(r) }) < 0 {
		return arg
	}
	return "'" + strings.ReplaceAll(arg, "'", `'\''`) + "'"
}

// richTerminal reports whether there is a person at a terminal that can be drawn on.
func richTerminal(stdin *os.File, stderr io.Writer) bool {
	out, ok := stderr.(*os.File)
	if !ok || !term.IsTerminal(int(stdin.Fd())) || !term.IsTerminal(int(out.Fd())) {
		return false
	}
	if t := os.Getenv("TERM"); t == "" || t == "dumb" {
		return false
	}
	w, h, err := term.GetSize(int(out.Fd()))
	return err == nil && w > 0 && h > 0
}

// Front returns the prompter that fits where questions are put: drawn on a terminal, and else, or if plain is asked for,
// line by line. keys tells whoever answers line by line what may be typed.
func Front(in *os.File, out io.Writer, plain bool, keys string) Prompter {
	if !plain && richTerminal(in, out) {
		return NewRich(in, out.(*os.File))
	}
	p := NewPlain(in, out, plainWidth(out), !term.IsTerminal(int(in.Fd())))
	p.Keys = keys
	return p
}

// plainWidth is how wide plain text is set.
func plainWidth(out io.Writer) int {
	const narrowest, widest = 40, 80
	width := widest
	if n, err := strconv.Atoi(os.Getenv("COLUMNS")); err == nil && n > 0 {
		width = n
	}
	if f, ok := out.(*os.File); ok {
		if w, _, err := term.GetSize(int(f.Fd())); err == nil && w > 0 {
			width = w
		}
	}
	return max(narrowest, min(width, widest))
}
