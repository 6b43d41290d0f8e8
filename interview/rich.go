package interview

import (
	"context"
	_ "early"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/huh"
	"github.com/charmbracelet/lipgloss"
	"golang.org/x/term"

	"patchfirst/explain"
)

// Rich asks on a terminal, one form a question. The form only shows and moves the choice; the keys that answer, go back,
// explain and stop are taken before the form sees them, so that nothing is answered but by Enter on a choice that the
// person made, and a list is never taller or wider than the screen:
//
//	Is it inside or outside?          title
//	front door: the place             heading and help
//	> Choose one                      the form; the first line is no answer
//	  inside
//	  outside
//	  not known
//
//	Press Enter on one of them.       what is wrong, or the whole of a label that was cut
//	enter choose, / search, ? why, shift+tab back, ctrl+c stop
type Rich struct {
	in     io.Reader
	out    io.Writer
	size   func() (width, height int)
	show   func(context.Context, *screen) error // runs a screen until it is done
	notice string                               // what was said since the last form: a high form moves it off the screen, so the form shows it too
}

// NewRich returns a prompter that draws on a terminal.
func NewRich(in, out *os.File) *Rich {
	p := &Rich{in: in, out: out}
	p.size = func() (int, int) {
		w, h, err := term.GetSize(int(out.Fd()))
		if err != nil || w <= 0 || h <= 0 {
			return 80, 24
		}
		return w, h
	}
	p.show = func(ctx context.Context, m *screen) error {
		_, err := tea.NewProgram(m, tea.WithContext(ctx), tea.WithInput(p.in), tea.WithOutput(p.out), tea.WithoutSignalHandler()).Run()
		return err
	}
	return p
}

// Say implements Prompter.
func (p *Rich) Say(text string) {
	p.notice = strings.TrimSpace(p.notice + " " + text)
	p.print(text)
}

func (p *Rich) print(text string) {
	width, _ := p.size()
	for line := range strings.SplitSeq(strings.TrimRight(text, "\n"), "\n") {
		fmt.Fprint(p.out, explain.Wrap(explain.Clean(line), "", "", width-1))
	}
}

// Noted implements Prompter.
func (p *Rich) Noted(a *Ask, words string) { p.print(a.Text + " " + words) }

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
		case a.Kind == Line:
			r, err = p.line(ctx, a)
		case a.Kind == One:
			r, err = p.one(ctx, a)
		case a.Order != "":
			r, err = p.inOrder(ctx, a)
		default:
			r, err = p.many(ctx, a, a.Text)
		}
		if !errors.Is(err, errAgain) {
			return r, err
		}
	}
}

// errAgain is going back inside a question of several forms: it begins anew.
var errAgain = errors.New("again")

func (p *Rich) one(ctx context.Context, a *Ask) (Reply, error) {
	options := append([]Option{{chooseOne, "Choose one"}}, a.Options...)
	if a.List {
		options = append(options, Option{unknownID, notKnown})
	}
	if a.Or {
		options = append(options, Option{severalID, cannotTell})
	}
	chosen := chooseOne
	if a.Before != nil && len(a.Before.Values) == 1 {
		chosen = a.Before.Values[0]
	}
	act, err := p.run(ctx, a, "", selectOf(a.Text, options, &chosen), func() error {
		switch chosen {
		case chooseOne:
			return errors.New("Move to one of them with the arrow keys, then press Enter.")
		case unknownID, severalID:
			return nil
		}
		return a.check(Reply{Values: []string{chosen}})
	})
	switch {
	case err != nil || act == Back:
		return Reply{Act: act}, err
	case chosen == unknownID:
		return Reply{Act: NotKnown}, nil
	case chosen == severalID:
		r, err := p.many(ctx, &Ask{Text: a.Text, Heading: a.Heading, Kind: Many, Options: a.Options, Help: "Mark all that it may be.", Back: true, Why: a.Why, Check: func(r Reply) error {
			if len(r.Values) < 2 {
				return errors.New("Mark at least two.")
			}
			return a.check(r)
		}}, a.Text)
		if r.Act == Back {
			err = errAgain
		}
		return r, err
	}
	return Reply{Values: []string{chosen}}, nil
}

// many asks for any number of options, whose order does not matter.
func (p *Rich) many(ctx context.Context, a *Ask, title string) (Reply, error) {
	options := slices.Clone(a.Options)
	if a.Unknown {
		options = append(options, Option{noneID, noneOfThese}, Option{moreID, othersThere})
	}
	if a.List {
		options = append(options, Option{unknownID, notKnown})
	}
	var chosen []string
	if a.Before != nil {
		chosen = slices.Clone(a.Before.Values)
		if a.Before.MoreAfter {
			chosen = append(chosen, moreID)
		}
		if len(chosen) == 0 {
			chosen = []string{noneID}
		}
	}
	reply := func() Reply {
		var r Reply
		for _, id := range chosen {
			switch id {
			case moreID:
				r.MoreAfter = true
			case noneID, unknownID:
			default:
				r.Values = append(r.Values, id)
			}
		}
		return r
	}
	act, err := p.run(ctx, a, "", multiSelectOf(title, options, &chosen), func() error {
		for _, alone := range []Option{{noneID, noneOfThese}, {unknownID, notKnown}} {
			if slices.Contains(chosen, alone.ID) && len(chosen) > 1 {
				return fmt.Errorf("%q stands alone: take its mark off, or the others.", alone.Label)
			}
		}
		if len(chosen) == 0 {
			return errors.New("Mark what fits with the space bar, then press Enter.")
		}
		return a.check(reply())
	})
	if err != nil || act == Back {
		return Reply{Act: act}, err
	}
	if slices.Contains(chosen, unknownID) {
		return Reply{Act: NotKnown}, nil
	}
	return reply(), nil
}

// inOrder asks for a list whose order matters, one after the other.
func (p *Rich) inOrder(ctx context.Context, a *Ask) (Reply, error) {
	var r Reply
	for {
		options := append([]Option{{chooseOne, "Choose one"}}, a.Options...)
		help := fmt.Sprintf("Now the first, %s.", a.Order)
		if len(r.Values) == 0 {
			options = append(options, Option{noneID, noneOfThese})
			if a.Before != nil {
				options = slices.Insert(options, 1, Option{keepID, "as before: " + a.Words})
			}
			if a.List {
				options = append(options, Option{unknownID, notKnown})
			}
		} else {
			var labels []string
			for _, v := range r.Values {
				labels = append(labels, label(a.Options, v))
			}
			help = fmt.Sprintf("So far, %s: %s. What comes next?", a.Order, strings.Join(labels, ", then "))
			options = slices.Insert(options, 1, Option{endID, "nothing more: that is all of them"}, Option{moreID, othersThere + ", not known"})
		}
		chosen := chooseOne
		act, err := p.run(ctx, a, help, selectOf(a.Text, options, &chosen), func() error {
			next := r
			switch chosen {
			case chooseOne:
				return errors.New("Move to one of them with the arrow keys, then press Enter.")
			case noneID, unknownID, keepID, endID, moreID:
			default:
				next.Values = append(slices.Clone(r.Values), chosen)
			}
			return a.check(next)
		})
		switch {
		case err != nil:
			return r, err
		case act == Back && len(r.Values) == 0:
			return Reply{Act: Back}, nil
		case act == Back:
			r.Values = r.Values[:len(r.Values)-1]
			continue
		}
		switch chosen {
		case keepID:
			return Reply{Act: Keep}, nil
		case unknownID:
			return Reply{Act: NotKnown}, nil
		case noneID, endID:
			return r, nil
		case moreID:
			r.MoreAfter = true
			return r, nil
		}
		r.Values = append(r.Values, chosen)
	}
}

func label(options []Option, id string) string {
	for _, o := range options {
		if o.ID == id {
			return o.Label
		}
	}
	return id
}

func (p *Rich) line(ctx context.Context, a *Ask) (Reply, error) {
	text := ""
	if a.Before != nil {
		text = a.Before.Line
	}
	unknown := func() bool { return a.Unknown && strings.EqualFold(strings.TrimSpace(text), "u") }
	help := a.Help
	if a.Unknown {
		help += " Type u if it is not known."
	}
	act, err := p.run(ctx, a, help, inputOf(a.Text, &text), func() error {
		switch {
		case unknown():
			return nil
		case strings.TrimSpace(text) == "":
			return errors.New("Type an answer, then press Enter.")
		}
		return a.check(Reply{Line: text})
	})
	switch {
	case err != nil || act == Back:
		return Reply{Act: act}, err
	case unknown():
		return Reply{Act: NotKnown}, nil
	}
	return Reply{Line: text}, nil
}

// field makes a form field for a screen of some size. hovered is the whole label under the cursor; typing says that
// keys go into a text.
type field struct {
	make func(note string, width int) huh.Field
	// read takes the choice over from the form on Enter; false leaves Enter to the form.
	read    func() bool
	hovered func() string
	typing  func() bool
	keys    string
	frame   int // width that a label loses to its border, cursor and box
	lines   int // options in the list
}

// cut shortens a label to a width: one that wraps would confuse the list's scrolling.
func cut(text string, width int) string {
	text = explain.Clean(text)
	if utf8.RuneCountInString(text) <= width {
		return text
	}
	return string([]rune(text)[:max(1, width-1)]) + "…"
}

// What a line of a list loses to its border, cursor and box, and a column to spare.
const selectFrame, multiFrame = 5, 9

func formOptions(options []Option, width int) []huh.Option[string] {
	all := make([]huh.Option[string], len(options))
	for i, o := range options {
		all[i] = huh.NewOption(cut(o.Label, width), o.ID)
	}
	return all
}

func selectOf(title string, options []Option, chosen *string) *field {
	var s *huh.Select[string]
	f := &field{keys: "enter choose, / search", frame: selectFrame, lines: len(options)}
	f.make = func(note string, width int) huh.Field {
		s = huh.NewSelect[string]().Title(explain.Clean(title)).Description(note).Options(formOptions(options, width-selectFrame)...).Value(chosen)
		return s
	}
	f.read = func() bool {
		id, ok := s.Hovered()
		*chosen = id
		return ok
	}
	f.hovered = func() string {
		id, _ := s.Hovered()
		return label(options, id)
	}
	f.typing = func() bool { return s.GetFiltering() }
	return f
}

func multiSelectOf(title string, options []Option, chosen *[]string) *field {
	var m *huh.MultiSelect[string]
	f := &field{keys: "space marks, enter when all are marked, / search", frame: multiFrame, lines: len(options)}
	f.make = func(note string, width int) huh.Field {
		m = huh.NewMultiSelect[string]().Title(explain.Clean(title)).Description(note).Options(formOptions(options, width-multiFrame)...).Value(chosen)
		return m
	}
	f.read = func() bool { return !m.GetFiltering() }
	f.hovered = func() string {
		id, _ := m.Hovered()
		return label(options, id)
	}
	f.typing = func() bool { return m.GetFiltering() }
	return f
}

func inputOf(title string, text *string) *field {
	return &field{
		make: func(note string, width int) huh.Field {
			return huh.NewInput().Title(explain.Clean(title)).Description(note).Value(text)
		},
		read:    func() bool { return true },
		hovered: func() string { return "" },
		typing:  func() bool { return false },
		keys:    "enter answer",
	}
}

// run shows one form until the person answers with something that accept takes, goes back or stops.
func (p *Rich) run(ctx context.Context, a *Ask, help string, f *field, accept func() error) (Act, error) {
	if ctx.Err() != nil {
		return Answered, ErrStopped
	}
	note := a.Heading
	if a.Number > 0 {
		note = fmt.Sprintf("Question %d. %s", a.Number, note)
	}
	if help == "" && a.Kind != Line {
		help = richHelp(a)
	}
	m := &screen{ask: a, field: f, accept: accept, note: explain.Clean(note), help: explain.Clean(help)}
	m.width, m.height = p.size()
	const around = 8
	if f.lines+around > m.height {
		m.wrong = p.notice
	}
	p.notice = ""
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

func richHelp(a *Ask) string {
	if a.Kind != Many {
		return a.Help
	}
	if a.Most > 0 && a.Most < len(a.Options) {
		return fmt.Sprintf("Mark all that fit, at most %d.", a.Most)
	}
	return "Mark all that fit."
}

// screen is the model of one form with what stands around it.
type screen struct {
	ask           *Ask
	field         *field
	accept        func() error
	note, help    string
	width, height int
	form          *huh.Form
	start         tea.Cmd
	top           int // the first line of the list that is shown
	above, below  bool
	wrong         string
	why           []string // shown instead of the form
	from          int      // its first line
	act           Act
	stopped, done bool
}

// smallest is the height under which the heading gives way to the list.
const smallest = 16

// build makes the form for the size of the screen.
func (m *screen) build() {
	note := m.note
	switch {
	case m.help != "" && m.height < smallest:
		note = m.help
	case m.help != "":
		note += "\n" + m.help
	}
	const frame = 2
	var lines []string
	for line := range strings.SplitSeq(note, "\n") {
		lines = append(lines, wrapped(line, m.width-frame)...)
	}
	note = strings.Join(lines, "\n")
	keys := huh.NewDefaultKeyMap()
	m.form = huh.NewForm(huh.NewGroup(m.field.make(note, m.width))).
		WithTheme(theme()).WithKeyMap(keys).WithShowHelp(false).WithShowErrors(false).WithWidth(m.width)
	m.start = m.form.Init()
	model, _ := m.form.Update(tea.WindowSizeMsg{Width: m.width, Height: m.field.lines + boundless})
	m.form = model.(*huh.Form)
}

// boundless is more lines than what stands above a list can have.
const boundless = 100

// window cuts the list of the form down to the lines that are left over on the screen. The form is drawn whole, since
// its own scrolling hides what stands above the cursor, and the title when the screen is low.
func (m *screen) window(footer int) string {
	const least = 2
	lines := strings.Split(strings.TrimRight(m.form.View(), "\n"), "\n")
	head := max(0, len(lines)-m.field.lines)
	room := max(least, m.height-1-head-footer)
	if m.field.lines <= room {
		m.above, m.below = false, false
		return strings.Join(lines, "\n")
	}
	list := lines[head:]
	at := max(0, slices.IndexFunc(list, func(l string) bool { return strings.HasPrefix(l, cursorMark) }))
	m.top = max(at-room+1, min(m.top, at, len(list)-room), 0)
	m.above, m.below = m.top > 0, m.top+room < len(list) && strings.Trim(list[m.top+room], "┃ ") != ""
	return strings.Join(slices.Concat(lines[:head], list[m.top:m.top+room]), "\n")
}

// cursorMark begins the line of the list that the cursor is on, in the theme.
const cursorMark = "┃ > "

func theme() *huh.Theme {
	t := huh.ThemeBase()
	bold := lipgloss.NewStyle().Bold(true)
	t.Focused.Title, t.Focused.SelectedOption = bold, bold
	t.Focused.SelectedPrefix = lipgloss.NewStyle().SetString("[x] ")
	return t
}

func (m *screen) Init() tea.Cmd { return m.start }

func (m *screen) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		if msg.Width <= 0 || msg.Height <= 0 || msg.Width == m.width && msg.Height == m.height {
			return m, nil
		}
		m.width, m.height = msg.Width, msg.Height
		if m.why != nil {
			m.explain()
		}
		m.build()
		return m, tea.Sequence(tea.ClearScreen, m.start)
	case tea.KeyMsg:
		return m.key(msg)
	}
	model, cmd := m.form.Update(msg)
	m.form = model.(*huh.Form)
	return m, cmd
}

func (m *screen) key(msg tea.KeyMsg) (tea.Model, tea.Cmd) {
	key := msg.String()
	switch {
	case key == "ctrl+c":
		m.stopped, m.done = true, true
		return m, tea.Quit
	case m.why != nil:
		if m.from += m.page(); m.from >= len(m.why) {
			m.why = nil
		}
		return m, nil
	case key == "shift+tab" && m.ask.Back:
		m.act, m.done = Back, true
		return m, tea.Quit
	case key == "shift+tab":
		m.wrong = firstOne
		return m, nil
	case key == "?" && m.ask.Why != nil && !m.field.typing():
		m.explain()
		return m, nil
	case (key == "enter" || key == "tab") && m.field.read():
		if err := m.accept(); err != nil {
			m.wrong = err.Error()
			return m, nil
		}
		m.done = true
		return m, tea.Quit
	case key == "tab" || key == "enter" && !m.field.typing():
		return m, nil
	}
	m.wrong = ""
	model, cmd := m.form.Update(msg)
	m.form = model.(*huh.Form)
	return m, cmd
}

func (m *screen) explain() {
	m.why, m.from = nil, 0
	for line := range strings.SplitSeq(m.ask.Why(), "\n") {
		m.why = append(m.why, wrapped(line, m.width)...)
	}
}

// page is how many lines of an explanation are shown at once.
func (m *screen) page() int { return max(1, m.height-2) }

func wrapped(text string, width int) []string {
	return strings.Split(strings.TrimSuffix(explain.Wrap(explain.Clean(text), "", "", width-1), "\n"), "\n")
}

func (m *screen) footer() []string {
	var lines []string
	if m.wrong != "" {
		lines = append(lines, wrapped(m.wrong, m.width)...)
	} else if whole := m.field.hovered(); utf8.RuneCountInString(whole) > m.width-m.field.frame {
		const most = 2
		label := wrapped(whole, m.width)
		if len(label) > most {
			label = append(label[:most-1], cut(strings.Join(label[most-1:], " "), m.width-1))
		}
		lines = append(lines, label...)
	}
	keys := m.field.keys
	switch {
	case m.above && m.below:
		keys = "more above and below; " + keys
	case m.above:
		keys = "more above; " + keys
	case m.below:
		keys = "more below; " + keys
	}
	if m.ask.Why != nil {
		keys += ", ? why"
	}
	if m.ask.Back {
		keys += ", shift+tab back"
	}
	return append(lines, wrapped(keys+", ctrl+c stop", m.width)...)
}

func (m *screen) View() string {
	if m.done {
		return ""
	}
	if m.why != nil {
		end := min(len(m.why), m.from+m.page())
		more := "Any key goes back to the question."
		if end < len(m.why) {
			more = "Any key shows more."
		}
		return strings.Join(append(slices.Clone(m.why[m.from:end]), more), "\n")
	}
	// The footer says whether there is more of the list, which depends on its own height.
	list := m.window(len(m.footer()))
	for range 2 {
		list = m.window(len(m.footer()))
	}
	return list + "\n" + strings.Join(m.footer(), "\n")
}
