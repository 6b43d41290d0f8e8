// Package show puts a site diary on paper: as a table, as a timeline, and what may be done now and what must wait.
package show

import (
	"errors"
	"fmt"
	"io"
	"time"

	"patchfirst/explain"
	"patchfirst/interview/diary"
	"patchfirst/interview/job"
	"patchfirst/interview/paper"
	"patchfirst/interview/patches"
	"patchfirst/rules"
)

// Book is a job with the diaries of its parts, as they stood at a time.
type Book struct {
	Base    *rules.Base
	Title   string
	Figures *patches.Figures
	Width   int
	Now     time.Time
	Parts   []Part
}

// Part is one part of the job with its diary.
type Part struct {
	Name   string
	Report *diary.Report
}

// Open reads the logs of a job, decides its parts, and judges their diaries as of a time. Mistakes in the logs are
// returned together, before the time that deciding takes; path is the name of the job file in them.
func Open(b *rules.Base, j *job.Job, path string, now time.Time, width int) (*Book, error) {
	var wrong []error
	for _, e := range j.Elements {
		_, err := diary.Read(b, path, e.Log)
		wrong = append(wrong, err)
	}
	if err := errors.Join(wrong...); err != nil {
		return nil, err
	}
	figures, err := patches.LoadFigures(b)
	if err != nil {
		return nil, err
	}
	advice, err := explain.AdviseByRules(b, j)
	if err != nil {
		return nil, err
	}
	book := &Book{Base: b, Title: j.Title, Figures: figures, Width: width, Now: now}
	for _, p := range advice.Parts {
		log := diary.AsOf(p.Element.Log, now, 0)
		d, err := diary.Read(b, path, log)
		if err != nil {
			return nil, fmt.Errorf("as of %s: %w", now.Format(time.RFC3339), err)
		}
		site := diary.Site{Base: b, Figures: figures, Answers: p.Answers, Decision: p.Decision, Now: now}
		book.Parts = append(book.Parts, Part{p.Element.Name, diary.Judge(d, log, site)})
	}
	return book, nil
}

// Text writes the diary of every part.
func (b *Book) Text(out io.Writer) error {
	for _, part := range b.Parts {
		w := &writer{Paper: &paper.Paper{Base: b.Base, More: b.Figures.Sources, Width: b.Width}, now: b.Now}
		w.part(part)
		if _, err := io.WriteString(out, w.String()+"\n"); err != nil {
			return err
		}
	}
	_, err := io.WriteString(out, explain.Wrap(explain.Limits, "", "", b.Width))
	return err
}

// JSON writes the diaries as data.
func (b *Book) JSON(out io.Writer) error {
	type part struct {
		Name string `json:"name"`
		diary.Data
	}
	parts := []part{}
	for _, p := range b.Parts {
		parts = append(parts, part{p.Name, p.Report.Data(b.Now)})
	}
	return paper.Data(out, diary.Schema, b.Title, parts)
}

// SVG draws the timeline of the only part.
func (b *Book) SVG(out io.Writer) error {
	if len(b.Parts) != 1 {
		return fmt.Errorf("a drawing shows one part, and the job has %d: name one with --element", len(b.Parts))
	}
	return SVG(out, b.Parts[0].Name, b.Parts[0].Report, b.Now)
}

// writer writes about a diary on paper.
type writer struct {
	*paper.Paper
	now  time.Time
	said []string // about actions, so far
}

func (w *writer) part(p Part) {
	w.Title("Site diary: "+p.Name, "-")
	w.report(p.Report)
	w.timeline(p.Report.Diary)
	w.series(p.Report.Diary)
	w.table(p.Report.Diary)
	w.corrected(p.Report.Diary)
	w.Sources()
}
