// Package early keeps the drawing library from asking the terminal for its background colour when the program starts:
// the question writes escape codes to standard output and waits five seconds where no answer comes, even for commands
// that draw nothing. The library asks in an init function, and Go initialises packages in the order of their paths, so
// this is a module of its own whose path stands before the library's.
package early

import "github.com/charmbracelet/lipgloss"

func init() { lipgloss.SetHasDarkBackground(true) }
