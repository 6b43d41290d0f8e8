package takeoff

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// A paste that acts for 20 h, put on at the first morning after an hour of sheeting, by one person in days of 7 h: on from 1
// to 2 h, due at 22 h, which is night; off on the second morning from 24 to 27 h; dry for two days; primed on the fourth, and left to dry for a day.
func TestScheduleOnPaper(t *testing.T) {
	p := schedule(plan{protect: 1, apply: 1, takeOff: 3, wait: 20, prime: 1, drying: 2, cure: 1, crew: 1, day: 7, window: 12,
		passes: 1, batches: 1})
	want := []Task{{Protect, 0, 0, 0, 1, false}, {PutOn, 1, 1, 1, 2, false}, {Acts, 1, 1, 2, 24, true},
		{TakeOff, 1, 1, 24, 27, false}, {Dries, 0, 0, 27, 75, true}, {Prime, 0, 0, 75, 76, false}, {Cures, 0, 0, 76, 100, true}}
	if len(p.Tasks) != len(want) {
		t.Fatalf("%+v", p.Tasks)
	}
	for i, task := range p.Tasks {
		if task != want[i] {
			t.Errorf("task %d is %+v, not %+v", i, task, want[i])
		}
	}
	if p.Days != 5 || p.OnSite != 3 || p.Late {
		t.Errorf("%d days, %d on site, late %v", p.Days, p.OnSite, p.Late)
	}
}

// Two batches of a gel that acts for half an hour: while one acts the other is put on.
func TestBatchesFillTheWait(t *testing.T) {
	p := schedule(plan{apply: 1, takeOff: 1, wait: 0.5, crew: 1, day: 8, window: 0.5, passes: 1, batches: 2})
	if p.Days != 1 || p.Tasks[0].Start != 0 || p.Tasks[3].Start != 0.5 {
		t.Errorf("%+v", p.Tasks)
	}
}

// Work lies in working hours and does not overlap, all of it is done, and each batch acts at least its time.
func TestScheduleProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hours := func(name string, most float64) float64 { return rapid.Float64Range(0, most).Draw(t, name) }
		in := plan{protect: hours("protect", 20), apply: hours("apply", 30), takeOff: hours("take off", 30),
			other: hours("other", 10), wait: hours("wait", 72), prime: hours("prime", 10),
			drying: hours("drying", 20), weather: hours("weather",
				50), crew: float64(rapid.IntRange(1, 4).Draw(t, "crew")), day: rapid.Float64Range(4, 12).Draw(t, "day"),
			window: rapid.Float64Range(0.25, 24).Draw(t, "window"), passes: rapid.IntRange(1, 6).Draw(t,
				"passes"), batches: rapid.IntRange(1, 8).Draw(t, "batches")}
		p := schedule(in)
		var work []Task
		done := 0.
		put := map[[2]int]Task{}
		for _, task := range p.Tasks {
			if task.End < task.Start {
				t.Fatalf("%+v ends before it starts", task)
			}
			if task.Row == PutOn {
				put[[2]int{task.Pass, task.Batch}] = task
			}
			if on, ok := put[[2]int{task.Pass, task.Batch}]; ok && task.Row == TakeOff && task.Start < on.End+in.wait-1e-6 {
				t.Fatalf("%+v comes off before its time, on at %v", task, on.End)
			}
			if task.Waits {
				continue
			}
			if of := math.Mod(task.Start+1e-9, 24); task.Start < 0 || of+task.End-task.Start > in.day+1e-6 {
				t.Fatalf("%+v is outside the day of %g h", task, in.day)
			}
			done += task.End - task.Start
			work = append(work, task)
		}
		for i, a := range work {
			for _, b := range work[i+1:] {
				if a.Start < b.End-1e-6 && b.Start < a.End-1e-6 {
					t.Fatalf("%+v and %+v are at once", a, b)
				}
			}
		}
		n := float64(in.passes * in.batches)
		all := in.protect + in.other + in.prime + n*in.crew*(math.Min(in.apply/n/in.crew,
			in.day)+math.Min(in.takeOff/n/in.crew, in.day))
		if in.wait == 0 {
			all = in.protect + in.other + in.prime + in.apply + in.takeOff
		}
		if math.Abs(done*in.crew-all) > 1e-6*(1+all) {
			t.Fatalf("%g h are done of %g", done*in.crew, all)
		}
	})
}
