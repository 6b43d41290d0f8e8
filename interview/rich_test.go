package interview

import (
	"context"
	"errors"
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
)

func TestRichKeys(t *testing.T) {
	b := loadSmall(t)
	start := []string{"H", "enter"}
	for _, tt := range []struct {
		name string
		keys []string
		want string // stands in the file
		not  string
	}{
		{"enter alone answers nothing", []string{"enter", "enter", "enter"}, "site: {}", "land"},
		{"the first line is no answer", []string{"down", "up", "enter"}, "site: {}", "land"},
		{"down and enter", []string{"down", "enter"}, "land: north", "zz"},
		{"back and another", []string{"down", "enter", "back", "down", "enter"}, "land: south", "north"},
		{"b goes back", []string{"down", "enter", "b", "down", "enter"}, "land: south", "north"},
		{"b in a number goes back", []string{"down", "enter", "b", "down", "enter"}, "land: south", "north"},
		{"Enter from before the terminal was taken over", []string{"down", "ctrl+j"}, "land: north", "zz"},
		{"back and the same again", []string{"down", "enter", "back", "enter"}, "land: north", "zz"},
		{"back over several", []string{"down", "enter", "1900", "enter", "back", "back", "down", "enter", "down", "enter"}, "toll: free", "built"},
		{"? explains and changes nothing", []string{"?", "x", "down", "?", "x", "enter"}, "land: north", "zz"},
		{"? in a number explains", []string{"down", "enter", "19", "?", "x", "11", "enter"}, "built: 1911", "zz"},
		{"u is not known", []string{"down", "enter", "u", "enter", "down", "enter"}, "built: '?'", "zz"},
		{"a wrong number stays", []string{"down", "enter", "1", "enter", "900", "enter"}, "built: 1900", "zz"},
		{"search", []string{"/", "sou", "enter"}, "land: south", "zz"},
		{"a search that finds nothing", []string{"/", "sou", "zz", "enter", "enter"}, "site: {}", "land"},
		{"esc ends a search at once", []string{"/", "zz", "esc", "down", "enter"}, "land: north", "zz"},
		{"backspace in a search", []string{"/", "soz", "backspace", "enter"}, "land: south", "zz"},
		{"several that are marked already", []string{"down", "down", "down", "down", "down", "enter", "space", "enter", "down", "space", "enter", "back", "enter", "enter"}, "land: [north, south]", "zz"},
		{"one of several", []string{"down", "down", "down", "down", "down", "enter", "space", "enter", "down", "space", "enter"}, "land: [north, south]", "zz"},
		{"back out of several", []string{"down", "down", "down", "down", "down", "enter", "space", "back", "down", "enter"}, "land: north", "zz"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			sc := &script{}
			saved, err := sc.run(b, keyboard(append(append(start, tt.keys...), "ctrl+c"), 80, 24))
			if !errors.Is(err, ErrStopped) {
				t.Errorf("ends with %v", err)
			}
			wantContains(t, saved, tt.want)
			if strings.Contains(saved, tt.not) {
				t.Errorf("there is %q in:\n%s", tt.not, saved)
			}
		})
	}
}

// A name may begin with any letter.
func TestRichNamesAreTyped(t *testing.T) {
	b := loadSmall(t)
	sc := &script{}
	saved, _ := sc.run(b, keyboard([]string{"b", "/", "?", "enter", "ctrl+c"}, 80, 24))
	wantContains(t, saved, "job: b/?")
}

// Marks stay while the list is narrowed to what is searched for.
func TestRichMarksOutliveASearch(t *testing.T) {
	p := keyboard([]string{"space", "/", "wa", "enter", "space", "esc", "enter"}, 40, 12)
	a := &Ask{Kind: Many, Text: "What?", Options: []Option{{"a", "oil"}, {"b", "wax"}, {"c", "tar"}}}
	r, err := p.Ask(context.Background(), a)
	if err != nil || !slices.Equal(r.Values, []string{"a", "b"}) {
		t.Errorf("%v %v", r, err)
	}
}

func TestRichShows(t *testing.T) {
	b := loadSmall(t)
	for _, tt := range []struct {
		name string
		keys []string
		want []string
		not  string
	}{
		{"progress", []string{"H", "enter"}, []string{"Question 2, about 3 more may matter", "b back", "What is the job called? H\n\nWhich land?"}, "shift+tab"},
		{"the way back from a name", []string{"x"}, []string{"Question 1. the job"}, "b back"},
		{"no match", []string{"H", "enter", "/", "qq"}, []string{`Nothing in the list holds "qq".`, "esc whole list"}, "┃"},
		{"an answer that was taken back is not in the trail", []string{"H", "enter", "down", "enter", "b"}, []string{"job called? H"}, "Which land? the north"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			var last *screen
			p := keyboard(append(tt.keys, "ctrl+c"), 80, 24)
			show := p.show
			p.show = func(ctx context.Context, m *screen) error { last = m; return show(ctx, m) }
			_, _ = (&script{}).run(b, p)
			wantContains(t, last.View(), tt.want...)
			if strings.Contains(last.View(), tt.not) {
				t.Errorf("there is %q in:\n%s", tt.not, last.View())
			}
		})
	}
}

// A long explanation starts at its first line, can be read to its last, and any other key goes back.
func TestRichScrollsAnExplanation(t *testing.T) {
	chosen := ""
	m := &screen{ask: &Ask{Text: "What is it?", Kind: One, Why: func() string { return "Why: first\n" + strings.Repeat("more\n", 20) + "last" }}, field: selectOf([]Option{{"a", "oil"}}, &chosen), width: 40, height: 12}
	m.build()
	m.Update(keyMsg("?"))
	wantContains(t, m.View(), "Why: first")
	for range 30 {
		m.Update(keyMsg("down"))
	}
	wantContains(t, m.View(), "last")
	m.Update(keyMsg("up"))
	if strings.Contains(m.View(), "last") {
		t.Errorf("up does not scroll:\n%s", m.View())
	}
	m.Update(keyMsg("x"))
	wantContains(t, m.View(), "What is it?")
}

// Keys that come between two screens are for the next one.
func TestStageKeepsKeysForTheNextScreen(t *testing.T) {
	one := func() (*screen, *string) {
		chosen := ""
		m := &screen{ask: &Ask{Text: "What?", Kind: One}, field: selectOf([]Option{{"", "Choose one"}, {"a", "oil"}, {"b", "wax"}}, &chosen), width: 40, height: 12, answered: make(chan struct{})}
		m.accept = func() error { return nil }
		m.build()
		return m, &chosen
	}
	s := &stage{}
	first, a := one()
	for _, msg := range []tea.Msg{keyMsg("down"), showing{first}, keyMsg("enter"), keyMsg("down"), keyMsg("down"), keyMsg("enter"), keyMsg("x")} {
		s.Update(msg)
	}
	second, b := one()
	s.Update(showing{second})
	if *a != "a" || *b != "b" || !first.done || !second.done || len(s.ahead) != 1 {
		t.Errorf("chosen are %q and %q, left are %v", *a, *b, s.ahead)
	}
}

// However low and narrow the screen, the title, the line under the cursor and the keys are all on it.
func TestRichFitsTheScreen(t *testing.T) {
	options := []Option{{chooseOne, "Choose one"}}
	for range 40 {
		options = append(options, Option{"x" + strings.Repeat("y", len(options)), "an option with a label that is longer than the screen is wide " + strings.Repeat("z", len(options))})
	}
	for _, size := range [][2]int{{80, 24}, {40, 12}, {30, 10}, {200, 60}} {
		chosen := ""
		m := &screen{ask: &Ask{Text: "What is it?", Kind: One, Back: true}, field: selectOf(options, &chosen), note: "heading", width: size[0], height: size[1]}
		m.build()
		for i := range 45 {
			m.Update(keyMsg("down"))
			lines := strings.Split(m.View(), "\n")
			cursors := 0
			for _, l := range lines {
				if strings.HasPrefix(l, cursorMark) {
					cursors++
				}
				if n := len([]rune(strings.TrimRight(l, " "))); n > size[0] {
					t.Errorf("%v: a line of %d: %q", size, n, l)
				}
			}
			if len(lines) > size[1] || cursors != 1 || !strings.Contains(lines[0], "What is it?") || !strings.Contains(m.View(), "ctrl+c stop") {
				t.Fatalf("%v, step %d:\n%s", size, i, m.View())
			}
		}
	}
}

// A page of its own says what can be pressed, scrolls to its end and goes on or back; it fits the narrowest screen.
func TestRichPages(t *testing.T) {
	a := &Ask{Kind: Page, Heading: "head", Text: "first\n" + strings.Repeat("  - more words that are longer than the screen is wide\n", 12) + "last", Help: "reveals it", Back: true}
	for _, tt := range []struct {
		name string
		keys []string
		act  Act
	}{
		{"enter", []string{"enter"}, Answered},
		{"right", []string{"right"}, Answered},
		{"space to the end and beyond", []string{"space", "space", "space", "space", "space", "space"}, Answered},
		{"scrolled and on", []string{"down", "down", "up", "x", "?", "enter"}, Answered},
		{"back", []string{"space", "b"}, Back},
	} {
		r, err := keyboard(tt.keys, 40, 12).Ask(context.Background(), a)
		if err != nil || r.Act != tt.act {
			t.Errorf("%s: %v %v", tt.name, r.Act, err)
		}
	}
	if _, err := keyboard([]string{"ctrl+c"}, 40, 12).Ask(context.Background(), a); !errors.Is(err, ErrStopped) {
		t.Errorf("ctrl+c: %v", err)
	}
	for _, size := range [][2]int{{80, 24}, {40, 12}, {30, 8}} {
		m := &screen{ask: a, paged: a.Text, width: size[0], height: size[1]}
		lines := strings.Split(m.View(), "\n")
		for _, l := range lines {
			if len([]rune(l)) > size[0] {
				t.Errorf("%v: a line of %d: %q", size, len([]rune(l)), l)
			}
		}
		if len(lines) > size[1] || !strings.Contains(m.View(), "enter reveals it") || !strings.Contains(m.View(), "first") {
			t.Errorf("%v:\n%s", size, m.View())
		}
	}
}

// An order takes each option once, and ends by itself with the last.
func TestRichWholeOrder(t *testing.T) {
	ask := func(keys ...string) (Reply, error) {
		a := &Ask{Kind: Many, Text: "In which order?", Order: "first to last", Whole: true, Unknown: true, List: true, Back: true, Options: []Option{{"a", "oil"}, {"b", "wax"}, {"c", "tar"}}}
		return keyboard(append(keys, "ctrl+c"), 40, 12).Ask(context.Background(), a)
	}
	if r, err := ask("down", "down", "enter", "down", "enter", "down", "enter"); err != nil || !slices.Equal(r.Values, []string{"b", "a", "c"}) {
		t.Errorf("%v %v", r, err)
	}
	if r, err := ask("down", "enter", "b", "down", "down", "enter", "down", "enter", "down", "enter"); err != nil || !slices.Equal(r.Values, []string{"b", "a", "c"}) {
		t.Errorf("after going back: %v %v", r, err)
	}
	if r, err := ask("down", "down", "down", "down", "enter"); err != nil || r.Act != NotKnown {
		t.Errorf("not known: %v %v", r, err)
	}
}
