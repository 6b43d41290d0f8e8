// Package show puts the sums of a take-off on paper: in words, as a table of methods side by side, as drawings, as a list of
// what to buy, and as data.
package show

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"patchfirst/explain"
	"patchfirst/interview/job"
	"patchfirst/interview/takeoff"
	"patchfirst/rules"
)

// Book is a job whose parts are decided, ready for sums.
type Book struct {
	Advice *explain.Advice
	Width  int
	US     bool // customary US units instead of metric ones
	Cases  []*takeoff.Case
}

// Open reads what is told for the sums and the logs of a job, and decides its parts. Mistakes are returned together, before
// the time that deciding takes; path is the name of the job file in them.
func Open(b *rules.Base, j *job.Job, path string, width int) (*Book, error) {
	book := &Book{Width: width}
	var wrong []error
	for _, e := range j.Elements {
		c, err := takeoff.NewCase(b, path, j, e)
		book.Cases, wrong = append(book.Cases, c), append(wrong, err)
	}
	err := once(wrong)
	if err != nil {
		return nil, err
	}
	if book.Advice, err = explain.Advise(b, j); err != nil {
		return nil, err
	}
	for i, p := range book.Advice.Parts {
		book.Cases[i].Decide(p.Answers, p.Decision)
		wrong = append(wrong, book.Cases[i].Check(path))
	}
	return book, once(wrong)
}

// once joins errors, each message once: what is wrong for the site is wrong for every part.
func once(all []error) error {
	var left rules.Problems
	var others []error
	seen := map[string]bool{}
	for _, err := range flat(all) {
		var problems rules.Problems
		if !errors.As(err, &problems) {
			others = append(others, err)
			continue
		}
		for _, p := range problems {
			if !seen[p.Error()] {
				seen[p.Error()] = true
				left = append(left, p)
			}
		}
	}
	return errors.Join(append(others, left.Err())...)
}

// flat takes joined errors apart.
func flat(all []error) (parts []error) {
	for _, err := range all {
		switch joined, ok := err.(interface{ Unwrap() []error }); {
		case ok:
			parts = append(parts, flat(joined.Unwrap())...)
		case err != nil:
			parts = append(parts, err)
		}
	}
	return parts
}

// Method finds the method whose sums are asked for: that of an id, or the first choice.
func (b *Book) Method(c *takeoff.Case, id string) (*rules.Method, error) {
	if id == "" {
		return c.Decision.First.Method, nil
	}
	m := c.Base.Method(id)
	if m == nil {
		var known []string
		for _, m := range c.Base.Methods {
			known = append(known, m.ID)
		}
		near := rules.DidYouMean(id, known)
		if near == "" {
			near = "Known: " + strings.Join(known, ", ") + "."
		}
		return nil, fmt.Errorf("there is no method %q. %s", id, near)
	}
	return m, nil
}

// Sums does the sums of a part by a method; see Method.
func (b *Book) Sums(c *takeoff.Case, method string) (*takeoff.Sums, error) {
	m, err := b.Method(c, method)
	if err != nil {
		return nil, err
	}
	return c.Sum(m)
}

// Text writes the sums of every part.
func (b *Book) Text(out io.Writer, method string) error {
	p := b.page()
	for i, c := range b.Cases {
		s, err := b.Sums(c, method)
		if err != nil {
			return err
		}
		of := "cost"
		if s.Line(of) == nil {
			of = "hours"
		}
		matters, err := s.Matters(of)
		if err != nil {
			return err
		}
		if i > 0 {
			p.Line("")
		}
		p.sums(s, matters)
	}
	p.Line("")
	p.Para("", "%s", Estimate)
	_, err := io.WriteString(out, p.String())
	return err
}

// Estimate is what every take-off says about itself.
const Estimate = "All of this is an estimate for planning, with the ranges of what was told and of planning ranges. A timed test patch settles most of them. " +
	"Any figure can be asked for with --working and its name."

// Working writes how a figure was made, and the figures it was made from.
func (b *Book) Working(out io.Writer, method, figure string) error {
	p := b.page()
	for i, c := range b.Cases {
		s, err := b.Sums(c, method)
		if err != nil {
			return err
		}
		if s.Line(figure) == nil {
			var known []string
			for _, l := range s.Lines {
				known = append(known, l.ID)
			}
			near := ""
			if id, ok := rules.Nearest(figure, known); ok {
				near = fmt.Sprintf("Did you mean %q? ", id)
			}
			return fmt.Errorf("the sums of %s by %s have no figure %q. %sThey have: %s", c.Element.Name, s.Method.ID,
				figure, near, strings.Join(known, ", "))
		}
		if i > 0 {
			p.Line("")
		}
		p.working(s, figure)
	}
	_, err := io.WriteString(out, p.String())
	return err
}

// Units reads the name of a system of units; true is the customary US one.
func Units(name string) (us bool, err error) {
	switch name {
	case "metric":
		return false, nil
	case "us":
		return true, nil
	}
	return false, fmt.Errorf("there are no units %q: write metric or us", name)
}
