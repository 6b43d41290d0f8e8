package interview

import (
	"slices"
	"strings"

	"github.com/charmbracelet/huh"
)

// field is what a screen shows under its title: a list to choose from, or a line to type.
type field struct {
	options []Option // of a list
	keys    []string // how to answer
	several bool     // of a list: more than one may be marked
	frame   int      // width that a label loses to its border, cursor and box
	// make draws some of the options, or the line. What was chosen or typed until then is kept.
	make func(options []Option, width int) huh.Field
	// read takes over what is chosen; false is nothing.
	read    func() bool
	hovered func() string // the id of the option under the cursor
}

func (f *field) list() bool { return f.options != nil }

// What a line of a list loses to its border, cursor and box, and a column to spare.
const selectFrame, multiFrame = 5, 9

// lines breaks a label into the lines that the list shows it in.
func (f *field) lines(label string, width int) []string {
	return wrapped(label, max(width-f.frame+1, 1))
}

func (f *field) formOptions(options []Option, width int) []huh.Option[string] {
	all := make([]huh.Option[string], len(options))
	for i, o := range options {
		all[i] = huh.NewOption(strings.Join(f.lines(o.Label, width), "\n"), o.ID)
	}
	return all
}

func selectOf(options []Option, chosen *string) *field {
	var s *huh.Select[string]
	f := &field{options: options, keys: []string{"enter choose", "/ search"}, frame: selectFrame}
	f.hovered = func() string {
		if s == nil {
			return *chosen
		}
		id, _ := s.Hovered()
		return id
	}
	f.make = func(options []Option, width int) huh.Field {
		at := f.hovered()
		s = huh.NewSelect[string]().Options(f.formOptions(options, width)...).Value(&at)
		return s
	}
	f.read = func() bool {
		id, ok := s.Hovered()
		*chosen = id
		return ok
	}
	return f
}

func multiSelectOf(options []Option, chosen *[]string) *field {
	var m *huh.MultiSelect[string]
	var shown []Option
	f := &field{options: options, several: true, keys: []string{"space marks", "enter when all are marked", "/ search"}, frame: multiFrame}
	// The form knows only the options that it shows: the marks of the others are kept beside it.
	f.read = func() bool {
		if m == nil {
			return true
		}
		marked := m.GetValue().([]string)
		hidden := slices.DeleteFunc(slices.Clone(*chosen), func(id string) bool {
			return slices.ContainsFunc(shown, func(o Option) bool { return o.ID == id })
		})
		var all []string
		for _, o := range options {
			if slices.Contains(marked, o.ID) || slices.Contains(hidden, o.ID) {
				all = append(all, o.ID)
			}
		}
		*chosen = all
		return true
	}
	f.make = func(options []Option, width int) huh.Field {
		f.read()
		shown = options
		var marked []string
		for _, o := range options {
			if slices.Contains(*chosen, o.ID) {
				marked = append(marked, o.ID)
			}
		}
		m = huh.NewMultiSelect[string]().Options(f.formOptions(options, width)...).Value(&marked)
		return m
	}
	f.hovered = func() string {
		id, _ := m.Hovered()
		return id
	}
	return f
}

func inputOf(text *string) *field {
	return &field{
		make:    func([]Option, int) huh.Field { return huh.NewInput().Value(text) },
		read:    func() bool { return true },
		hovered: func() string { return "" },
		keys:    []string{"enter answer"},
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
