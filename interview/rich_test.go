package interview

import (
	"errors"
	"strings"
	"testing"
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
		{"back and the same again", []string{"down", "enter", "back", "enter"}, "land: north", "zz"},
		{"back over several", []string{"down", "enter", "1900", "enter", "back", "back", "down", "enter", "down", "enter"}, "toll: free", "built"},
		{"? explains and changes nothing", []string{"?", "x", "down", "?", "x", "enter"}, "land: north", "zz"},
		{"? in a number explains", []string{"down", "enter", "19", "?", "x", "11", "enter"}, "built: 1911", "zz"},
		{"u is not known", []string{"down", "enter", "u", "enter", "down", "enter"}, "built: '?'", "zz"},
		{"a wrong number stays", []string{"down", "enter", "1", "enter", "900", "enter"}, "built: 1900", "zz"},
		{"search", []string{"/", "sou", "enter"}, "land: south", "zz"},
		{"a search that finds nothing", []string{"/", "sou", "zz", "enter", "enter"}, "site: {}", "land"},
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
