package interview

import (
	"context"
	"errors"
	"os"

	tea "github.com/charmbracelet/bubbletea"
)

// stage holds the terminal for a whole sitting and shows one screen after the other on it. It is one program of the
// drawing library: a program for each question would give the terminal back between them, where keys are echoed and read
// line by line.
type stage struct {
	now     *screen
	ahead   []tea.KeyMsg // keys that came while no question was shown
	program *tea.Program
	in, out *os.File
	ended   chan struct{} // closed when the program has given the terminal back
	failed  error         // why; to be read after that
}

func newStage(in, out *os.File) *stage { return &stage{in: in, out: out} }

// show shows a screen until it is done.
func (s *stage) show(ctx context.Context, m *screen) error {
	if s.program == nil {
		s.program = tea.NewProgram(s, tea.WithContext(ctx), tea.WithInput(s.in), tea.WithOutput(s.out), tea.WithAltScreen(), tea.WithoutSignalHandler())
		s.ended = make(chan struct{})
		go func() {
			defer close(s.ended)
			_, s.failed = s.program.Run()
		}()
	}
	m.answered = make(chan struct{})
	s.program.Send(showing{m})
	select {
	case <-m.answered:
		return nil
	case <-s.ended:
		if s.failed == nil {
			return errors.New("it was closed")
		}
		return s.failed
	}
}

// close gives the terminal back as it was.
func (s *stage) close() {
	if s.program != nil {
		s.program.Quit()
		<-s.ended
	}
}

// showing is the message that a screen is to be shown.
type showing struct{ *screen }

// Init implements tea.Model.
func (s *stage) Init() tea.Cmd { return nil }

// Update implements tea.Model.
func (s *stage) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	var cmds []tea.Cmd
	pass := func(msg tea.Msg) {
		_, cmd := s.now.Update(msg)
		cmds = append(cmds, cmd)
		if s.now.done {
			close(s.now.answered)
		}
	}
	waiting := s.now == nil || s.now.done
	switch msg := msg.(type) {
	case showing:
		s.now = msg.screen
		cmds = append(cmds, s.now.start)
		for len(s.ahead) > 0 && !s.now.done {
			key := s.ahead[0]
			s.ahead = s.ahead[1:]
			pass(key)
		}
	case tea.KeyMsg:
		if waiting {
			s.ahead = append(s.ahead, msg)
		} else {
			pass(msg)
		}
	default:
		if !waiting {
			pass(msg)
		}
	}
	return s, tea.Batch(cmds...)
}

// View implements tea.Model. An answered screen stays until the next one comes.
func (s *stage) View() string {
	if s.now == nil {
		return ""
	}
	return s.now.View()
}
