package show

import (
	"crypto/sha256"
	_ "embed" // the pages
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"strings"

	"patchfirst/explain"
	"patchfirst/interview/lesson"
)

//go:embed handout.html
var handoutHTML string

//go:embed handout.css
var handoutCSS string

// sheet is a lesson as it is printed.
type sheet struct {
	Style     template.CSS
	Policy    string
	Title     string
	Name      string
	Level     string
	Trainer   bool
	Base      string
	Story     string
	Known     []string
	Exercises []printed
	Teaches   []string
	Sources   []string
	Limits    string
}

// printed is an exercise as it is printed. Reveal is for the trainer.
type printed struct {
	Number  int
	Kind    string
	Text    string
	Task    string
	Found   []string
	Facts   []string
	Options []choice
	Hints   []string
	Reveal  []Section
}

// choice is an option with its box. Mark is what belongs into the box, for the trainer. Options of an order have letters
// for names, since numbers go into their boxes.
type choice struct {
	Name, Label, Mark string
	Right             bool
}

func choices(q *lesson.Question, trainer bool) (all []choice) {
	for i, o := range q.Options {
		c := choice{Name: fmt.Sprint(i + 1), Label: o.Label, Right: o.Right && trainer}
		if q.Shape == lesson.Order {
			c.Name = string(rune('a' + i))
		}
		switch {
		case !trainer:
		case q.Shape == lesson.Order:
			before := 1
			for _, other := range q.Options {
				if other.Place < o.Place {
					before++
				}
			}
			c.Mark = fmt.Sprint(before)
		case o.Right:
			c.Mark = "X"
		}
		all = append(all, c)
	}
	return all
}

var handout = template.Must(template.New("handout").Funcs(template.FuncMap{
	"trim": strings.TrimSpace,
	"deep": func(line string) int { return min(3, (len(line)-len(strings.TrimLeft(line, " ")))/2) },
}).Parse(handoutHTML))

// Handout writes a lesson as a page to print: the learner's copy with room to answer, or the trainer's with the answers,
// reasons and sources. It needs nothing but itself: no script, no network.
func Handout(out io.Writer, s *lesson.School, l *lesson.Lesson, trainer bool) error {
	sum := sha256.Sum256([]byte(handoutCSS))
	sh := &sheet{
		Style: template.CSS(handoutCSS), Policy: "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'",
		Title: explain.Clean(l.Case.Title), Name: l.Name, Level: l.Level, Trainer: trainer, Base: s.Base.Version + " (" + s.Base.Digest + ")",
		Story: explain.Clean(l.Story), Known: Known(s.Base, l.Answers(0)), Limits: explain.Limits,
	}
	p := &page{base: s.Base}
	for i := range l.Exercises {
		q, err := s.Pose(l, i)
		if err != nil {
			return err
		}
		one := printed{Number: i + 1, Kind: q.Kind.Words(), Text: q.Text, Facts: trimmed(q.Facts)}
		one.Task = map[lesson.Shape]string{lesson.One: "Tick one.", lesson.Some: "Tick all that fit.", lesson.Order: "Number them in order."}[q.Shape]
		if i > 0 {
			one.Found = Known(s.Base, l.Exercises[i-1].Then)
		}
		one.Options = choices(q, trainer)
		if trainer {
			p.sections = nil
			if err := p.reveal(q, nil); err != nil {
				return err
			}
			one.Hints, one.Reveal = q.Hints, p.sections
		}
		sh.Exercises = append(sh.Exercises, one)
	}
	if trainer {
		sh.Teaches = l.Teaches
		for i, id := range p.cited {
			sh.Sources = append(sh.Sources, fmt.Sprintf("[%d] %s", i+1, explain.Source(s.Base, id)))
		}
	}
	return handout.Execute(out, sh)
}

func trimmed(lines []string) []string {
	all := make([]string, len(lines))
	for i, l := range lines {
		all[i] = strings.TrimSpace(l)
	}
	return all
}
