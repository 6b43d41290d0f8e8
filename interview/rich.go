package interview

import (
	"context"
	_ "early"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"

	"patchfirst/explain"
)

// Rich asks on a terminal, which it holds from the first question to Close: keys are never echoed, and those typed ahead
// of a question are taken when it comes. Each question is a form that only shows and moves the choice; the keys that
// answer, go back, explain and stop are taken before the form sees them, so that nothing is answered but by Enter on a
// choice that the person made, and a list is never taller or wider than the screen:
//
//	What is the part? a door          earlier answers, where there is room
//
//	Is it inside or outside?          title
//	Question 4, about 9 more ...      heading and help
//	> Choose one                      the form; the first line is no answer
//	  inside
//	  outside
//	  not known
//	Press Enter on one of them.       what is wrong
//	enter choose, / search, ? why, b back, ctrl+c stop
type Rich struct {
	out    io.Writer
	size   func() (width, height int)
	show   func(context.Context, *screen) error // shows a screen until it is done
	close  func()
	notice string // what was said since the last screen, to be shown on the next
}

// NewRich returns a prompter that draws on a terminal.
func NewRich(in, out *os.File) *Rich {
	p := &Rich{out: out}
	p.size = func() (int, int) {
		w, h, err := term.GetSize(int(out.Fd()))
		if err != nil || w <= 0 || h <= 0 {
			return 80, 24
		}
		return w, h
	}
	s := newStage(in, out)
	p.show, p.close = s.show, s.close
	return p
}

// Close implements Prompter.
func (p *Rich) Close() {
	p.close()
	if p.notice != "" {
		p.print(p.notice)
	}
	p.notice, p.show = "", nil
}

// Say implements Prompter.
func (p *Rich) Say(text string) {
	if p.show == nil {
		p.print(text)
		return
	}
	p.notice = strings.TrimSpace(p.notice + "\n" + text)
}

func (p *Rich) print(text string) {
	width, _ := p.size()
	fmt.Fprint(p.out, Wrap(text, width-1))
}

// Noted implements Prompter. The answers stand above the next question, until the person goes back to them.
func (p *Rich) Noted(*Ask, string) {}

// Options of the form that are no answers by themselves.
const (
	chooseOne   = ""
	unknownID   = "\x00unknown"
	severalID   = "\x00several"
	noneID      = "\x00none"
	moreID      = "\x00more"
	endID       = "\x00end"
	keepID      = "\x00keep"
	cannotTell  = "one of several, cannot tell which"
	othersThere = "and perhaps others"
)

// Ask implements Prompter.
func (p *Rich) Ask(ctx context.Context, a *Ask) (Reply, error) {
	for {
		var r Reply
		var err error
		switch {
		case a.Kind == Page:
			r, err = p.page(ctx, a)
		case a.Kind == Line:
			r, err = p.line(ctx, a)
		case a.Kind == One:
			r, err = p.one(ctx, a)
		case a.Order != "":
			r, err = p.inOrder(ctx, a)
		default:
			r, err = p.many(ctx, a)
		}
		if !errors.Is(err, errAgain) {
			return r, err
		}
	}
}

// errAgain is going back inside a question of several forms: it begins anew.
var errAgain = errors.New("again")

// run shows one form until the person answers with something that accept takes, goes back or stops.
func (p *Rich) run(ctx context.Context, a *Ask, help string, f *field, accept func() error) (Act, error) {
	if ctx.Err() != nil {
		return Answered, ErrStopped
	}
	if help == "" && a.Kind != Line {
		help = richHelp(a)
	}
	m := &screen{ask: a, field: f, accept: accept, note: explain.Clean(a.heading()), help: explain.Clean(help)}
	m.width, m.height = p.size()
	if p.notice != "" {
		const most = 3 // parts of the screen that a notice may take; a longer one has the screen for itself
		if lines := m.wrap(p.notice); len(lines) > m.height/most {
			m.paged = p.notice
		} else {
			m.wrong = p.notice
		}
		p.notice = ""
	}
	m.build()
	err := p.show(ctx, m)
	switch {
	case m.stopped || ctx.Err() != nil:
		return Answered, ErrStopped
	case err != nil:
		return Answered, fmt.Errorf("the terminal cannot be drawn on: %w\nAsk line by line with --plain", err)
	}
	return m.act, nil
}

// page shows a text on the whole screen until the person goes on.
func (p *Rich) page(ctx context.Context, a *Ask) (Reply, error) {
	if ctx.Err() != nil {
		return Reply{}, ErrStopped
	}
	m := &screen{ask: a, paged: a.heading() + "\n\n" + strings.Trim(a.Text, "\n")}
	m.width, m.height = p.size()
	err := p.show(ctx, m)
	switch {
	case m.stopped || ctx.Err() != nil:
		return Reply{}, ErrStopped
	case err != nil:
		return Reply{}, fmt.Errorf("the terminal cannot be drawn on: %w\nAsk line by line with --plain", err)
	}
	return Reply{Act: m.act}, nil
}

func richHelp(a *Ask) string {
	if a.Kind != Many {
		return a.Help
	}
	if a.Most > 0 && a.Most < len(a.Options) {
		return fmt.Sprintf("Mark all that fit, at most %d.", a.Most)
	}
	return "Mark all that fit."
}
