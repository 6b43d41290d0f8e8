package main

import (
	"fmt"
	"os"
	"time"

	"golang.org/x/term"
)

// wipe clears the line of a terminal.
const wipe = "\r\033[K"

// progress tells a person at a terminal that work which takes over a second goes on. The function that it returns ends
// it and wipes the line.
func (c *cli) progress(doing string) (done func()) {
	f, ok := c.stderr.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return func() {}
	}
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		tick := time.NewTicker(time.Second)
		defer tick.Stop()
		for n := 1; ; n++ {
			select {
			case <-tick.C:
				fmt.Fprintf(f, "\r%s: %d s; Ctrl-C stops", doing, n)
			case <-stop:
				if n > 1 {
					fmt.Fprint(f, wipe)
				}
				return
			}
		}
	}()
	return func() { close(stop); <-stopped }
}
