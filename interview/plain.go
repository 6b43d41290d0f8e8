package interview

import (
	"bufio"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"patchfirst/explain"
	"patchfirst/rules"
)

// Plain asks line by line: for screen readers, for scripts, and where there is no terminal. It writes whole lines, moves
// no cursor and redraws nothing. One buffered reader reads all the input, so answers that are piped in at once are all
// read.
type Plain struct {
	Keys  string // what may be typed, told before the first question
	in    *bufio.Reader
	out   io.Writer
	width int
	echo  bool // repeat what is read, since no terminal does
	told  bool // the keys were explained
}

// NewPlain returns a line prompter. echo repeats each answer in the output, as a terminal does by itself.
func NewPlain(in io.Reader, out io.Writer, width int, echo bool) *Plain {
	return &Plain{Keys: keysHelp, in: bufio.NewReaderSize(in, longestLine), out: out, width: width, echo: echo}
}

// longestLine is more than any answer needs: a longer line is no answer.
const longestLine = 16 << 10

const keysHelp = "Answer with a number or a word from the list; where it is one of several and you cannot tell which, with all of them and commas between. Instead of an answer: ? tells why it is asked and how to find out, b goes back, u means not known, q stops. Every answer is saved at once."

// Say implements Prompter.
func (p *Plain) Say(text string) {
	fmt.Fprint(p.out, Wrap(text, p.width))
}

// Close implements Prompter.
func (p *Plain) Close() {}

// Noted implements Prompter.
func (p *Plain) Noted(_ *Ask, words string) { p.write("Noted: "+words, "", "  ") }

func (p *Plain) write(text, first, rest string) {
	fmt.Fprint(p.out, explain.Wrap(explain.Clean(text), first, rest, p.width))
}

// Ask implements Prompter.
func (p *Plain) Ask(ctx context.Context, a *Ask) (Reply, error) {
	if !p.told {
		p.told = true
		p.Say(p.Keys)
	}
	if a.Kind == Page {
		return p.page(ctx, a)
	}
	p.show(a)
	for {
		fmt.Fprint(p.out, "Answer: ")
		line, err := p.read(ctx)
		if err != nil {
			fmt.Fprintln(p.out)
			return Reply{}, err
		}
		if p.echo {
			fmt.Fprintln(p.out, explain.Clean(line))
		}
		if strings.TrimSpace(line) == "?" && a.Why != nil {
			p.Say(a.Why())
			p.write(a.Text, "", "")
			continue
		}
		r, err := a.parse(line)
		if err == nil {
			err = a.check(r)
		}
		if err == errStop {
			return Reply{}, ErrStopped
		}
		if err == nil {
			return r, nil
		}
		p.Say(err.Error())
	}
}

// page writes a text. Where a person reads along it waits for Enter; input that is piped in holds answers only.
func (p *Plain) page(ctx context.Context, a *Ask) (Reply, error) {
	fmt.Fprintln(p.out)
	p.write(a.heading(), "", "")
	p.Say(strings.Trim(a.Text, "\n"))
	for !p.echo {
		fmt.Fprintf(p.out, "Enter %s: ", cmp.Or(a.Help, goesOn))
		line, err := p.read(ctx)
		switch key := strings.ToLower(strings.TrimSpace(line)); {
		case err != nil:
			fmt.Fprintln(p.out)
			return Reply{}, err
		case key == "":
			return Reply{}, nil
		case key == "b" && a.Back:
			return Reply{Act: Back}, nil
		case key == "q":
			return Reply{}, ErrStopped
		}
		p.Say("Press Enter to go on, or type q to stop.")
	}
	return Reply{}, nil
}

func (p *Plain) show(a *Ask) {
	fmt.Fprintln(p.out)
	const long = 12
	p.write(a.heading(), "", "")
	if page := a.Number == 0 && a.Kind == One; !page || len(a.Options) <= long {
		p.Say(a.Text)
	}
	options := a.Options
	if a.List {
		options = append(slices.Clone(options), Option{"", notKnown})
	}
	digits := len(strconv.Itoa(len(options)))
	if a.Kind == Many && !a.Whole {
		p.write(noneOfThese, fmt.Sprintf("%*d ", digits, 0), "")
	}
	for i, o := range options {
		p.write(o.Label, fmt.Sprintf("%*d ", digits, i+1), strings.Repeat(" ", digits+1))
	}
	if len(options) > long {
		p.write(a.Text, "", "") // it may have moved off the screen
	}
	if a.Help != "" {
		p.write(a.Help, "", "")
	}
	if a.Unknown && !a.List {
		p.write("If it is not known, answer u.", "", "")
	}
	if a.Before != nil {
		p.write("Before: "+a.Words+". Answer = to keep that.", "", "")
	}
}

// read returns the next line. It reads beside the caller, since nothing else ends a read that waits for the keyboard
// when the person presses Ctrl-C.
func (p *Plain) read(ctx context.Context) (string, error) {
	type result struct {
		line string
		err  error
	}
	if ctx.Err() != nil {
		return "", ErrStopped
	}
	done := make(chan result, 1)
	go func() {
		line, tooLong, err := p.in.ReadLine()
		text := string(line)
		for whole := tooLong; tooLong && err == nil; {
			if _, tooLong, err = p.in.ReadLine(); whole {
				text = strings.Repeat("x", longestLine) // no answer to anything
			}
		}
		done <- result{text, err}
	}()
	select {
	case <-ctx.Done():
		return "", ErrStopped
	case r := <-done:
		switch {
		case ctx.Err() != nil:
			return "", ErrStopped
		case r.err == io.EOF:
			return "", ErrInputEnded
		}
		return r.line, r.err
	}
}

// Empty waits for the first input and reports whether there is none at all.
func (p *Plain) Empty(ctx context.Context) (bool, error) {
	done := make(chan error, 1)
	go func() {
		_, err := p.in.Peek(1)
		done <- err
	}()
	select {
	case <-ctx.Done():
		return false, ErrStopped
	case err := <-done:
		return err != nil, nil
	}
}

// parse reads a typed line as an answer. The error says what to type instead.
func (a *Ask) parse(line string) (Reply, error) {
	line = strings.TrimSpace(strings.ReplaceAll(line, "\t", " "))
	switch key := strings.ToLower(line); {
	case key == "":
		return Reply{}, fmt.Errorf("Nothing is taken for an answer by itself: type one, or q to stop.")
	case key == "q":
		return Reply{}, errStop
	case key == "b" && a.Back:
		return Reply{Act: Back}, nil
	case key == "b":
		return Reply{}, errors.New(firstOne)
	case key == "?":
		return Reply{}, fmt.Errorf("%s %s", a.Text, a.Help)
	case key == "u" && a.Unknown:
		return Reply{Act: NotKnown}, nil
	case key == "=" && a.Before != nil:
		return Reply{Act: Keep}, nil
	case key == "=" && a.has(pageDone):
		return Reply{Values: []string{pageDone}}, nil
	case key == "=":
		return Reply{}, errors.New("There is no earlier answer to keep.")
	case key == "u" && a.has(pageDone):
		return Reply{}, errors.New("Type the number of an answer to change it; u is taken there. = says that all is right.")
	case key == "u" && a.Kind != Line:
		return Reply{}, errors.New("u answers questions about the building: type a number from the list.")
	}
	switch a.Kind {
	case Many:
		return a.parseMany(line)
	case One:
		return a.parseOne(line)
	}
	return Reply{Line: line}, nil
}

var errStop = fmt.Errorf("stop")

func (a *Ask) parseOne(line string) (Reply, error) {
	id, unknown, err := a.option(line)
	switch {
	case unknown:
		return Reply{Act: NotKnown}, nil
	case err == nil:
		return Reply{Values: []string{id}}, nil
	case !a.Or || len(words(line)) < 2:
		return Reply{}, err
	}
	var r Reply
	for _, w := range words(line) {
		id, unknown, err := a.option(w)
		if err != nil {
			return r, err
		}
		if unknown {
			return r, fmt.Errorf("%q stands alone.", notKnown)
		}
		r.Values = append(r.Values, id)
	}
	return r, nil
}

func (a *Ask) parseMany(line string) (Reply, error) {
	ws := []string{line}
	if _, _, err := a.option(line); err != nil {
		ws = words(line)
	}
	if len(ws) == 0 {
		return Reply{}, fmt.Errorf("Type the numbers with commas between them, or 0 for none.")
	}
	var r Reply
	none := false
	for i, w := range ws {
		switch {
		case w == "0" || strings.EqualFold(w, "none") && !a.has("none"):
			none = true
			continue
		case w == "?" && i == 0 && len(ws) > 1 && a.Order != "":
			r.MoreBefore = true
			continue
		case w == "?":
			r.MoreAfter = true
			continue
		}
		id, unknown, err := a.option(w)
		switch {
		case err != nil:
			return r, err
		case unknown && len(ws) == 1:
			return Reply{Act: NotKnown}, nil
		case unknown:
			return r, fmt.Errorf("%q stands alone. Write ? after the others if there may be more.", notKnown)
		}
		r.Values = append(r.Values, id)
	}
	if none && len(ws) > 1 {
		return r, fmt.Errorf("0 stands alone: it means none of these.")
	}
	return r, nil
}

// words splits a line at its commas, or at its spaces if all of it is numbers.
func words(line string) []string {
	parts := strings.Split(line, ",")
	if len(parts) == 1 {
		fields := strings.Fields(line)
		if !slices.ContainsFunc(fields, func(f string) bool { _, err := strconv.Atoi(f); return err != nil && f != "?" }) {
			parts = fields
		}
	}
	var ws []string
	for _, w := range parts {
		if w = strings.TrimSpace(w); w != "" {
			ws = append(ws, w)
		}
	}
	return ws
}

func (a *Ask) has(id string) bool {
	return slices.ContainsFunc(a.Options, func(o Option) bool { return o.ID == id })
}

// option finds the option that a word means: by its number, its id or its label.
func (a *Ask) option(word string) (id string, unknown bool, err error) {
	last := len(a.Options)
	if a.List {
		last++
	}
	if n, err := strconv.Atoi(word); err == nil {
		switch {
		case n >= 1 && n <= len(a.Options):
			return a.Options[n-1].ID, false, nil
		case n == last:
			return "", true, nil
		}
		first := 1
		if a.Kind == Many {
			first = 0
		}
		return "", false, fmt.Errorf("There is no %d in the list: its numbers go from %d to %d.", n, first, last)
	}
	if a.Unknown && strings.EqualFold(word, notKnown) {
		return "", true, nil
	}
	plain := func(s string) string { return strings.ToLower(strings.ReplaceAll(s, "_", " ")) }
	w := plain(word)
	var known, like, whole []string
	yesNo := len(a.Options) == 2 && a.has("yes") && a.has("no")
	for i, o := range a.Options {
		if w == plain(o.ID) || w == plain(o.Label) || yesNo && w == o.ID[:1] {
			return o.ID, false, nil
		}
		known = append(known, plain(o.ID), plain(o.Label))
		if len(w) > 1 && strings.Contains(plain(o.Label), w) {
			like = append(like, fmt.Sprintf("%d %s", i+1, o.Label))
			if saysAll(w, plain(o.Label)) {
				whole = append(whole, o.ID)
			}
		}
	}
	if len(whole) == 1 && len(like) == 1 {
		return whole[0], false, nil
	}
	const few = 6
	if len(like) == 0 {
		if near, ok := rules.Nearest(w, known); ok {
			i := slices.Index(known, near) / 2
			like = append(like, fmt.Sprintf("%d %s", i+1, a.Options[i].Label))
		}
	}
	switch {
	case len(like) > few:
		return "", false, fmt.Errorf("%q could be %d things of the list: type the number.", word, len(like))
	case len(like) > 0:
		return "", false, fmt.Errorf("%q is not in the list. Did you mean %s?", word, strings.Join(like, ", or "))
	}
	return "", false, fmt.Errorf("%q is not in the list. Type a number from it.", word)
}

// saysAll reports whether some words stand for a whole label: they are words of it, and what they leave out turns
// nothing round. "lead" is not enough for "no lead found".
func saysAll(words, label string) bool {
	field := func(s string) string {
		return " " + strings.Join(strings.FieldsFunc(s, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), " ") + " "
	}
	before, after, found := strings.Cut(field(label), field(words))
	if !found {
		return false
	}
	for _, w := range strings.Fields(before + " " + after) {
		switch w {
		case "no", "not", "none", "nothing", "never", "without", "nobody":
			return false
		}
	}
	return true
}
