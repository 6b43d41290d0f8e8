package interview

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/huh"
	"github.com/charmbracelet/lipgloss"

	"patchfirst/explain"
)

// screen is the model of one form with what stands around it.
type screen struct {
	ask           *Ask
	field         *field
	accept        func() error
	note, help    string
	width, height int
	form          *huh.Form // nil while no option is left to show
	start         tea.Cmd
	top           int // the first line of the list that is shown
	above, below  bool
	searching     bool // keys go into search
	search        string
	wrong         string
	paged         string // shown instead of the form
	from          int    // its first line
	act           Act
	stopped, done bool
	answered      chan struct{} // closed when it is done
}

var bold = lipgloss.NewStyle().Bold(true)

func theme() *huh.Theme {
	t := huh.ThemeBase()
	t.Focused.SelectedOption = bold
	t.Focused.SelectedPrefix = lipgloss.NewStyle().SetString("[x] ")
	return t
}

// cursorMark begins the line of the list that the cursor is on, in the theme.
const cursorMark = "┃ > "

// build makes the form for the size of the screen and the words that are searched for.
func (m *screen) build() {
	var shown []Option
	lines := 1
	for _, o := range m.field.options {
		if m.search != "" && (o.ID == chooseOne || !strings.Contains(strings.ToLower(o.Label), strings.ToLower(m.search))) {
			continue
		}
		shown = append(shown, o)
		lines += len(m.field.lines(o.Label, m.width))
	}
	m.form, m.start = nil, nil
	if m.field.list() && len(shown) == 0 {
		return
	}
	const around = 2 // the form is drawn whole, since its own scrolling hides what stands above the cursor
	m.form = huh.NewForm(huh.NewGroup(m.field.make(shown, m.width))).
		WithTheme(theme()).WithShowHelp(false).WithShowErrors(false).WithWidth(m.width)
	m.start = m.form.Init()
	model, _ := m.form.Update(tea.WindowSizeMsg{Width: m.width, Height: lines + around})
	m.form = model.(*huh.Form)
}

// Init implements tea.Model.
func (m *screen) Init() tea.Cmd { return m.start }

// Update implements tea.Model.
func (m *screen) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		if msg.Width <= 0 || msg.Height <= 0 || msg.Width == m.width && msg.Height == m.height {
			return m, nil
		}
		m.width, m.height = msg.Width, msg.Height
		m.from = 0
		if m.ask.Kind == Page {
			return m, nil
		}
		m.build()
		return m, m.start
	case tea.KeyMsg:
		return m, m.key(msg)
	}
	return m, m.toForm(msg)
}

func (m *screen) toForm(msg tea.Msg) tea.Cmd {
	if m.form == nil {
		return nil
	}
	model, cmd := m.form.Update(msg)
	m.form = model.(*huh.Form)
	return cmd
}

func (m *screen) key(msg tea.KeyMsg) tea.Cmd {
	key := msg.String()
	if key == "ctrl+j" { // Enter, pressed before the terminal was taken over
		key, msg = "enter", tea.KeyMsg{Type: tea.KeyEnter}
	}
	words := m.ask.Kind == Line && !m.ask.Unknown // any letter may belong to the answer
	switch {
	case key == "ctrl+c":
		m.stopped, m.done = true, true
		return nil
	case m.ask.Kind == Page:
		m.turn(key)
		return nil
	case m.paged != "":
		m.scroll(key)
		return nil
	case key == "shift+tab" || key == "b" && !words && !m.searching:
		if m.ask.Back {
			m.act, m.done = Back, true
		} else {
			m.wrong = firstOne
		}
		return nil
	case m.searching || key == "esc" && m.search != "":
		return m.find(key, msg)
	case key == "/" && m.field.list():
		m.searching, m.wrong = true, ""
		return nil
	case key == "?" && m.ask.Why != nil:
		m.paged, m.from = m.ask.Why(), 0
		return nil
	case key == "enter" || key == "tab" && !m.field.list():
		m.choose()
		return nil
	case key == "tab":
		return nil
	}
	m.wrong = ""
	return m.toForm(msg)
}

// choose answers with what is chosen, if that is an answer.
func (m *screen) choose() {
	if m.form == nil || !m.field.read() {
		return
	}
	if err := m.accept(); err != nil {
		m.wrong = err.Error()
		return
	}
	m.done = true
}

// find takes a key while words are searched for in the list.
func (m *screen) find(key string, msg tea.KeyMsg) tea.Cmd {
	before := m.search
	m.wrong = ""
	switch {
	case key == "esc":
		m.searching, m.search = false, ""
	case key == "enter" && m.field.several:
		m.searching = false // to mark some of what was found
	case key == "enter":
		m.choose()
	case key == "backspace" && m.search != "":
		runes := []rune(m.search)
		m.search = string(runes[:len(runes)-1])
	case msg.Type == tea.KeyRunes || msg.Type == tea.KeySpace:
		m.search += explain.Clean(string(msg.Runes))
	default:
		return m.toForm(msg)
	}
	if m.search == before {
		return nil
	}
	m.build()
	return m.start
}

// turn takes a key on a page of its own: it scrolls, and what lies beyond the end is the next page.
func (m *screen) turn(key string) {
	const page = " "
	lines := len(m.wrap(m.paged))
	room, _ := m.pageRoom(lines)
	end := m.from >= lines-room
	switch {
	case key == "enter" || key == "right" || key == page && end || key == "pgdown" && end:
		m.act, m.done = Answered, true
	case m.ask.Back && (key == "b" || key == "left" || key == "shift+tab"):
		m.act, m.done = Back, true
	case key == "up" || key == "down" || key == "pgup" || key == "pgdown" || key == page:
		m.scroll(key)
	}
}

// scroll moves through a text that is longer than the screen; other keys end it.
func (m *screen) scroll(key string) {
	page := max(1, m.height-1)
	switch key {
	case "up":
		m.from--
	case "down":
		m.from++
	case "pgup":
		m.from -= page
	case "pgdown", " ":
		m.from += page
	default:
		m.paged, m.from = "", 0
	}
}

// wrap breaks a text into lines of the screen. What is set in stays so, and items of lists hang.
func (m *screen) wrap(text string) (lines []string) {
	for line := range strings.SplitSeq(text, "\n") {
		first, rest, words := hung(line)
		if len(first) > m.width/2 {
			first, rest = "", ""
		}
		for i, l := range wrapped(words, m.width-len(first)) {
			if i > 0 {
				first = rest
			}
			lines = append(lines, strings.TrimRight(first+l, " "))
		}
	}
	return lines
}

// wrapped breaks a line of text so that a column is to spare.
func wrapped(text string, width int) []string {
	var lines []string
	for line := range strings.SplitSeq(strings.TrimSuffix(explain.Wrap(explain.Clean(text), "", "", width-1), "\n"), "\n") {
		for runes := []rune(line); ; runes = runes[width-1:] { // a word may be longer than a line
			if len(runes) < width || width < 2 {
				lines = append(lines, string(runes))
				break
			}
			lines = append(lines, string(runes[:width-1]))
		}
	}
	return lines
}

// cut shortens a text to a width.
func cut(text string, width int) string {
	if utf8.RuneCountInString(text) <= width {
		return text
	}
	return string([]rune(text)[:max(1, width-1)]) + "…"
}

// head is what stands above the form.
func (m *screen) head() (lines []string) {
	const low = 16 // a screen with fewer lines has the heading cut
	for _, l := range m.wrap(m.ask.Text) {
		lines = append(lines, bold.Render(l))
	}
	if m.height < low {
		lines = append(lines, cut(m.note, m.width-1))
	} else {
		lines = append(lines, m.wrap(m.note)...)
	}
	if m.help != "" {
		lines = append(lines, m.wrap(m.help)...)
	}
	switch {
	case m.searching:
		lines = append(lines, cut("Search: "+m.search+"_", m.width-1))
	case m.search != "":
		lines = append(lines, cut("Found: "+m.search, m.width-1))
	}
	return lines
}

// footer is what stands below the form.
func (m *screen) footer() (lines []string) {
	wrong := m.wrong
	if m.form == nil && wrong == "" {
		wrong = fmt.Sprintf("Nothing in the list holds %q.", m.search)
	}
	if wrong != "" {
		lines = m.wrap(wrong)
	}
	var keys []string
	switch {
	case m.above && m.below:
		keys = append(keys, "more above and below")
	case m.above:
		keys = append(keys, "more above")
	case m.below:
		keys = append(keys, "more below")
	}
	back := "b back"
	if m.ask.Kind == Line && !m.ask.Unknown || m.searching {
		back = "shift+tab back"
	}
	switch {
	case m.searching && m.field.several:
		keys = append(keys, "type a word", "enter to what is found", "esc whole list")
	case m.searching:
		keys = append(keys, "type a word", "enter choose", "esc whole list")
	case m.search != "":
		keys = append(append(keys, m.field.keys...), "esc whole list")
	default:
		keys = append(keys, m.field.keys...)
	}
	if m.ask.Why != nil && !m.searching {
		keys = append(keys, "? "+cmp.Or(m.ask.WhyName, "why"))
	}
	if m.ask.Back {
		keys = append(keys, back)
	}
	return append(lines, together(append(keys, "ctrl+c stop"), m.width-1)...)
}

// together joins phrases with commas in lines of a width, and breaks no phrase.
func together(phrases []string, width int) []string {
	lines := []string{phrases[0]}
	for _, p := range phrases[1:] {
		last := &lines[len(lines)-1]
		if longer := *last + ", " + p; utf8.RuneCountInString(longer) <= width {
			*last = longer
			continue
		}
		*last += ","
		lines = append(lines, p)
	}
	return lines
}

// window cuts the list down to the lines that are left over on the screen, around the cursor.
func (m *screen) window(room int) []string {
	m.above, m.below = false, false
	if m.form == nil {
		return nil
	}
	lines := strings.Split(strings.TrimRight(m.form.View(), "\n"), "\n")
	for len(lines) > 1 && strings.Trim(lines[len(lines)-1], "┃ ") == "" {
		lines = lines[:len(lines)-1]
	}
	if len(lines) <= room {
		return lines
	}
	at := max(0, slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, cursorMark) }))
	end := at + min(room, len(m.field.lines(label(m.field.options, m.field.hovered()), m.width)))
	m.top = max(end-room, min(m.top, at, len(lines)-room), 0)
	m.above, m.below = m.top > 0, m.top+room < len(lines)
	return lines[m.top : m.top+room]
}

// View implements tea.Model.
func (m *screen) View() string {
	if m.paged != "" {
		return strings.Join(m.page(), "\n")
	}
	const least = 2
	head := m.head()
	// The footer says whether there is more of the list, which depends on its own height.
	var list []string
	for range 3 {
		list = m.window(max(least, m.height-len(head)-len(m.footer())))
	}
	all := slices.Concat(head, list, m.footer())
	return strings.Join(append(m.trail(m.height-len(all)), all...), "\n")
}

// trail shows the last answers in the room that is left.
func (m *screen) trail(room int) []string {
	const most, gap = 6, 1
	var lines []string
	for _, t := range m.ask.Trail {
		lines = append(lines, m.wrap(t)...)
	}
	n := min(most, room-gap, len(lines))
	if n <= 0 {
		return nil
	}
	return append(slices.Clone(lines[len(lines)-n:]), "")
}

// page shows a part of a long text.
func (m *screen) page() []string {
	lines := m.wrap(m.paged)
	room, keys := m.pageRoom(len(lines))
	m.from = max(0, min(m.from, len(lines)-room))
	return append(slices.Clone(lines[m.from:min(len(lines), m.from+room)]), keys...)
}

// pageRoom returns how many lines of a long text fit above what can be pressed, and that.
func (m *screen) pageRoom(lines int) (room int, keys []string) {
	long := lines > m.height-1
	switch {
	case m.ask.Kind == Page:
		words := []string{"enter " + cmp.Or(m.ask.Help, goesOn)}
		if long {
			words = append(words, "space scrolls")
		}
		if m.ask.Back {
			words = append(words, "b back")
		}
		keys = together(append(words, "ctrl+c stop"), m.width-1)
	case long:
		keys = []string{cut("Up, down, space: scroll; other keys: back", m.width-1)}
	default:
		keys = []string{cut("Any key goes back to the question.", m.width-1)}
	}
	return max(1, m.height-len(keys)), keys
}
