package show

import (
	"fmt"
	"io"
	"strings"

	"patchfirst/explain"
	"patchfirst/interview/lesson"
	"patchfirst/rules"
)

// List writes lessons with their level and how far the learner has come, in lines of at most width runes.
func List(out io.Writer, all []*lesson.Lesson, r *lesson.Results, width int) error {
	var b strings.Builder
	for _, level := range lesson.Levels {
		headed := false
		for _, l := range all {
			if l.Level != level {
				continue
			}
			if !headed {
				fmt.Fprintf(&b, "%s\n", capital(level))
				headed = true
			}
			var kinds []string
			for _, e := range l.Exercises {
				kinds = append(kinds, e.Kind.Words())
			}
			b.WriteString(explain.Wrap(explain.Clean(l.Case.Title), "  "+l.Name+": ", "    ", width))
			b.WriteString(explain.Wrap(strings.Join(kinds, "; "), "    ", "    ", width))
			if words := state(r, l); words != "" {
				b.WriteString(explain.Wrap(words, "    ", "    ", width))
			}
		}
	}
	_, err := io.WriteString(out, b.String())
	return err
}

// state says how far a learner is with a lesson; empty: not begun.
func state(r *lesson.Results, l *lesson.Lesson) string {
	var last *lesson.Run
	for _, run := range r.Runs {
		if run.Lesson == l.Name {
			last = run
		}
	}
	switch {
	case last == nil:
		return ""
	case !last.Done():
		return fmt.Sprintf("Begun: %d of %d answered.", len(last.Given), last.Of)
	}
	return fmt.Sprintf("Done: %s.", Score(last))
}

// Score sums a run up: how many answers were right, and what else there was.
func Score(run *lesson.Run) string {
	var parts []string
	for _, m := range lesson.Marks {
		n := 0
		for _, g := range run.Given {
			if g.Mark == m {
				n++
			}
		}
		if n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, strings.ToLower(m.Words())))
		}
	}
	return strings.Join(parts, ", ")
}

// Checks writes what a check found of lessons; with whole the rules that they teach, each by its name.
func Checks(out io.Writer, all []*lesson.Checked, whole bool, width int) error {
	var b strings.Builder
	for _, c := range all {
		says := fmt.Sprintf("%s (%.1f), %s taught, %s", c.Level, c.Hardness, count(len(c.Teaches), "rule"), count(len(c.Refusing), "refusal"))
		if len(c.Problems) > 0 {
			says = "NOT SOLVABLE"
		}
		b.WriteString(explain.Wrap(says, c.Lesson.Name+": ", "  ", width))
		for _, p := range c.Problems {
			for line := range strings.SplitSeq(explain.Clean(p), "\n") {
				b.WriteString("  " + strings.TrimSpace(line) + "\n")
			}
		}
		if whole && len(c.Teaches) > 0 {
			b.WriteString(explain.Wrap(strings.Join(c.Teaches, ", "), "  teaches: ", "    ", width))
		}
		if c.Lesson.Level != c.Level {
			b.WriteString(explain.Wrap(fmt.Sprintf("It is called %s, and seems %s.", c.Lesson.Level, c.Level), "  ", "  ", width))
		}
	}
	_, err := io.WriteString(out, b.String())
	return err
}

func count(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

// Cover writes which rules that rule something out are taught, and where.
func Cover(out io.Writer, all []*lesson.Covered, width int) error {
	var b strings.Builder
	lessons, made := 0, 0
	for _, c := range all {
		switch {
		case len(c.Lessons) > 0:
			lessons++
		case c.Made:
			made++
		}
	}
	for _, c := range all {
		if len(c.Lessons) > 0 {
			b.WriteString(explain.Wrap(strings.Join(c.Lessons, ", "), "  "+c.Rule.ID+": ", "    ", width))
		}
	}
	if made > 0 {
		b.WriteString("\nIn no lesson yet. lesson make --topic RULE makes one:\n")
	}
	for _, c := range all {
		if len(c.Lessons) == 0 && c.Made {
			b.WriteString("  " + c.Rule.ID + "\n")
		}
	}
	for _, c := range all {
		if !c.Taught() {
			b.WriteString(explain.Wrap(fmt.Sprintf("no exercise can be made of it (%s)", c.Rule.Pos), "NOT TAUGHT "+c.Rule.ID+": ", "  ", width))
		}
	}
	b.WriteString("\n")
	b.WriteString(explain.Wrap(fmt.Sprintf("Of %s that rule something out %d are taught by lessons and %d by exercises that can be made; %d are not taught.", count(len(all), "rule"), lessons, made, len(all)-lessons-made), "", "", width))
	_, err := io.WriteString(out, b.String())
	return err
}

// Curriculum writes what the lessons cover, what a learner got wrong by topic, and what to practise next.
func Curriculum(out io.Writer, c *lesson.Curriculum, width int) error {
	var b strings.Builder
	b.WriteString("What the lessons cover\n")
	for _, t := range c.Topics {
		says := fmt.Sprintf("%d of %s", t.Taught, count(t.Rules, "rule"))
		if t.Refusals > 0 {
			says += fmt.Sprintf("; %d of %s", t.Refusing, count(t.Refusals, "refusal"))
		}
		if t.Taught == 0 {
			says += "; no lesson yet"
		}
		b.WriteString(explain.Wrap(says, "  "+strings.ReplaceAll(t.Name, "_", " ")+": ", "    ", width))
	}
	b.WriteString(explain.Wrap(fmt.Sprintf("%d of %d", c.Warned, c.Cautions), "  cautions: ", "    ", width))
	var missing []string
	for _, n := range c.Missing {
		if n.Gravity == rules.Gravities[len(rules.Gravities)-1] {
			continue // the mildest are many, and stand in the advice
		}
		missing = append(missing, strings.ReplaceAll(n.ID, "_", " "))
	}
	if len(missing) > 0 {
		b.WriteString(explain.Wrap(strings.Join(missing, ", "), "  grave cautions in no lesson: ", "    ", width))
	}
	b.WriteString("\nWhat was answered, by topic\n")
	none := true
	for _, t := range c.Topics {
		var parts []string
		for _, m := range lesson.Marks {
			if n := t.Answers[m]; n > 0 {
				parts = append(parts, fmt.Sprintf("%d %s", n, strings.ToLower(m.Words())))
			}
		}
		if len(parts) == 0 {
			continue
		}
		none = false
		b.WriteString(explain.Wrap(strings.Join(parts, ", "), "  "+strings.ReplaceAll(t.Name, "_", " ")+": ", "    ", width))
		for _, id := range t.Lost {
			b.WriteString("    practise: " + id + "\n")
		}
	}
	if none {
		b.WriteString("  Nothing yet.\n")
	}
	b.WriteString("\nNext\n")
	for _, name := range c.Next {
		b.WriteString("  patchfirst lesson run " + name + "\n")
	}
	if len(c.Next) == 0 {
		b.WriteString(explain.Wrap("All lessons are done, and nothing is left to practise. lesson make makes more.", "  ", "  ", width))
	}
	_, err := io.WriteString(out, b.String())
	return err
}

// Ended sums up a run, and says where it is kept.
func Ended(run *lesson.Run, path string) string {
	if !run.Done() {
		return fmt.Sprintf("Stopped after %d of %d. The answers are in %s; the same command goes on.", len(run.Given), run.Of, path)
	}
	return fmt.Sprintf("Done: %s. The answers are in %s.", Score(run), path)
}
