package takeoff

import (
	"math"
	"slices"
)

// Programme is the work laid out over days. Times are hours from the first morning, 24 to a day; work is done in the first
// hours of each day.
type Programme struct {
	Tasks  []Task
	Days   int     // calendar days from the first to the last
	OnSite int     // days on which someone works
	Day    float64 // working hours of a day
	Late   bool    // some paste lies longer than planned, because its time is over at night
}

// Rows of a programme, in the order of the work.
const (
	Protect = "Sheet and mask"
	PutOn   = "Put on"
	Acts    = "Acts, attended by nobody"
	TakeOff = "Take off and clean"
	Strip   = "Strip and clean"
	Besides = "On the road, at the bench, on watch"
	Dries   = "Dry"
	Weather = "Rain or cold"
	Prime   = "Prime"
	Cures   = "Primer dries"
)

// Rows lists them.
var Rows = []string{Protect, PutOn, Acts, TakeOff, Strip, Besides, Dries, Weather, Prime, Cures}

// Task is a stretch of one row.
type Task struct {
	Row        string
	Pass       int // from 1; 0: not of a pass
	Batch      int // from 1; 0: not of a batch
	Start, End float64
	Waits      bool // nobody works
}

const (
	dayHours = 24.
	grid     = 0.25 // hours: times are looked for on this grid
	slack    = 1e-9
	most     = 400 // batches that are laid out one by one
)

// schedule lays a plan out: each batch is put on as early as the crew is free, at such a time that it can be taken off in
// working hours when its time is over, and before it has lain too long. Other batches fill the wait.
func schedule(p plan) *Programme {
	c := &calendar{day: p.day}
	t := c.work(Protect, 0, p.protect/p.crew)
	t = c.work(Besides, t, p.other/p.crew)
	tasks := p.passes * p.batches
	switch {
	case p.wait == 0 || tasks > most:
		row := Strip
		t = c.work(row, t, (p.apply+p.takeOff)/p.crew)
		if p.wait > 0 {
			c.add(Task{Row: Acts, Start: t, End: t + p.wait, Waits: true})
			t += p.wait
		}
	default:
		t = c.pastes(p, t)
	}
	if p.weather > 0 {
		lost := math.Ceil(p.weather / 100 * math.Ceil(t/dayHours))
		c.add(Task{Row: Weather, Start: t, End: t + lost*dayHours, Waits: true})
		t += lost * dayHours
	}
	if p.drying > 0 {
		c.add(Task{Row: Dries, Start: t, End: t + p.drying*dayHours, Waits: true})
		t += p.drying * dayHours
	}
	t = c.work(Prime, t, p.prime/p.crew)
	c.add(Task{Row: Cures, Start: t, End: t + p.cure*dayHours, Waits: true})
	return c.programme()
}

// pastes lays out the passes of all batches.
func (c *calendar) pastes(p plan, from float64) (end float64) {
	n := float64(p.passes * p.batches)
	apply, take := p.apply/n/p.crew, p.takeOff/n/p.crew
	apply, take = math.Min(apply, p.day), math.Min(take, p.day)
	ready := make([]float64, p.batches)
	for b := range ready {
		ready[b] = from
	}
	end = from
	for pass := 1; pass <= p.passes; pass++ {
		earliest := 0. // batches are alike: none of a pass fits in before the one laid out last
		for b := range p.batches {
			start, off, late := c.fit(math.Max(ready[b], earliest), apply, p.wait, take, p.window)
			earliest = start
			c.late = c.late || late
			c.add(Task{PutOn, pass, b + 1, start, start + apply, false})
			c.add(Task{Acts, pass, b + 1, start + apply, off, true})
			c.add(Task{TakeOff, pass, b + 1, off, off + take, false})
			ready[b] = off + take
			end = math.Max(end, ready[b])
		}
	}
	return end
}

// calendar keeps when the crew is at work.
type calendar struct {
	day   float64
	tasks []Task
	busy  []Task // tasks of work, by start
	late  bool
}

func (c *calendar) add(t Task) {
	if t.End-t.Start < slack {
		return
	}
	c.tasks = append(c.tasks, t)
	if !t.Waits {
		at, _ := slices.BinarySearchFunc(c.busy, t.Start, func(b Task, start float64) int {
			switch {
			case b.Start < start:
				return -1
			case b.Start > start:
				return 1
			}
			return 0
		})
		c.busy = slices.Insert(c.busy, at, t)
	}
}

// work lays out hours of work from a time on, over as many days as they take, and returns their end.
func (c *calendar) work(row string, from, hours float64) float64 {
	t := from
	for hours > slack {
		t = c.next(t)
		free := math.Floor(t/dayHours+slack)*dayHours + c.day - t
		part := math.Min(hours, free)
		c.add(Task{Row: row, Start: t, End: t + part})
		t, hours = t+part, hours-part
	}
	return t
}

// next is the next time in working hours.
func (c *calendar) next(t float64) float64 {
	morning := math.Floor(t/dayHours+slack) * dayHours
	if t-morning >= c.day-slack {
		return morning + dayHours
	}
	return t
}

// fit finds the earliest times to put a batch on and to take it off.
func (c *calendar) fit(ready, apply, wait, take, window float64) (start, off float64, late bool) {
	const weeks = 14 * dayHours
	for start = c.next(ready); start < ready+weeks; start = c.next(start + grid) {
		if !c.free(start, apply) {
			continue
		}
		due := start + apply + wait
		for off = c.next(due); off <= due+window+slack; off = c.next(off + grid) {
			if c.free(off, take) && (off >= start+apply-slack) {
				return start, off, false
			}
		}
	}
	// It cannot come off in time: it lies until the crew is there.
	start = c.next(ready)
	for !c.free(start, apply) {
		start = c.next(start + grid)
	}
	off = c.next(start + apply + wait)
	for !c.free(off, take) {
		off = c.next(off + grid)
	}
	return start, off, true
}

// free tells whether the crew is free and in working hours for a stretch.
func (c *calendar) free(start, hours float64) bool {
	end := start + hours
	if end > math.Floor(start/dayHours+slack)*dayHours+c.day+slack {
		return false
	}
	for i := len(c.busy) - 1; i >= 0; i-- {
		b := c.busy[i]
		if b.Start < end-slack && b.End > start+slack {
			return false
		}
		if b.End < start-dayHours {
			break
		}
	}
	return true
}

func (c *calendar) programme() *Programme {
	p := &Programme{Tasks: c.tasks, Day: c.day, Late: c.late}
	days := map[int]bool{}
	for _, t := range c.tasks {
		p.Days = max(p.Days, int(math.Ceil(t.End/dayHours-slack)))
		if !t.Waits {
			days[int(t.Start/dayHours+slack)] = true
		}
	}
	p.OnSite = len(days)
	return p
}
