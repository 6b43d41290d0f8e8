package main

import (
	"fmt"
	"os"
	"sync/atomic"
	"time"

	"golang.org/x/term"
)

// wipe clears the line of a terminal.
const wipe = "\r\033[K"

// progress tells a person at a terminal that work which takes over a second goes on, and how far it has come as far as say
// is told. The function done ends it and wipes the line, before anything is written.
func (c *cli) progress(doing string) (say func(string), done func()) {
	f, ok := c.stderr.(*os.File)
	if !ok || !term.IsTerminal(int(f.Fd())) {
		return func(string) {}, func() {}
	}
	var far atomic.Value
	far.Store("")
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		tick := time.NewTicker(time.Second)
		defer tick.Stop()
		for n := 1; ; n++ {
			select {
			case <-tick.C:
				fmt.Fprintf(f, wipe+"%s: %s%d s; Ctrl-C stops", doing, far.Load(), n)
			case <-stop:
				if n > 1 {
					fmt.Fprint(f, wipe)
				}
				return
			}
		}
	}()
	return func(text string) { far.Store(text + "; ") }, func() { close(stop); <-stopped }
}
