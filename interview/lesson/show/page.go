// Package show puts lessons into words: situations, questions, what the engine says of an answer, lists and reports, and
// handouts to print. Text for a prompter has one line a paragraph, set in by spaces; the prompter breaks it.
package show

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/explain"
	"patchfirst/interview/lesson"
	"patchfirst/rules"
)

// Section is a heading with lines under it, each a paragraph; leading spaces set it in.
type Section struct {
	Head  string
	Lines []string
}

// page gathers sections and the sources that they name.
type page struct {
	base     *rules.Base
	sections []Section
	cited    []string
}

func (p *page) line(format string, args ...any) {
	if len(p.sections) == 0 {
		p.sections = append(p.sections, Section{})
	}
	last := &p.sections[len(p.sections)-1]
	last.Lines = append(last.Lines, explain.Clean(fmt.Sprintf(format, args...)))
}

func (p *page) head(s string) { p.sections = append(p.sections, Section{Head: s}) }

// String is the page as text, an empty line before each heading.
func (p *page) String() string {
	var b strings.Builder
	for _, s := range p.sections {
		if s.Head != "" {
			b.WriteString("\n" + s.Head + "\n")
		}
		for _, line := range s.Lines {
			b.WriteString(line + "\n")
		}
	}
	return b.String()
}

// cite returns the numbers of sources, numbering new ones.
func (p *page) cite(sources []string) string {
	var numbers []string
	for _, s := range sources {
		i := slices.Index(p.cited, s)
		if i < 0 {
			i = len(p.cited)
			p.cited = append(p.cited, s)
		}
		numbers = append(numbers, fmt.Sprint(i+1))
	}
	if len(numbers) == 0 {
		return ""
	}
	return " [" + strings.Join(numbers, ",") + "]"
}

func (p *page) sources() {
	if len(p.cited) > 0 {
		p.head("Sources")
	}
	for i, id := range p.cited {
		p.line("  [%d] %s", i+1, explain.Source(p.base, id))
	}
}

// Known lists what is told of a situation, in the order of the base.
func Known(b *rules.Base, answers rules.Answers) (lines []string) {
	for _, f := range b.Facts {
		if a, ok := answers[f.ID]; ok && f.Asked() {
			lines = append(lines, fmt.Sprintf("%s: %s", f.Words(), explain.Answer(f, a)))
		}
	}
	return lines
}

// Situation tells the story of a lesson and what is known when an exercise is put.
func Situation(b *rules.Base, l *lesson.Lesson, exercise int) string {
	p := &page{base: b}
	p.line("%s", strings.Join(strings.Fields(l.Story), " "))
	if exercise > 0 {
		if found := Known(b, l.Exercises[exercise-1].Then); len(found) > 0 {
			p.head("Found out now")
			for _, line := range found {
				p.line("  * %s", line)
			}
		}
	}
	p.head("What is known")
	for _, line := range Known(b, l.Answers(exercise)) {
		p.line("  - %s", line)
	}
	p.line("  What is not here, nobody has said yet.")
	return p.String()
}

// Added tells what a question shows beside the situation: a record, readings, a second situation; empty: nothing.
func Added(q *lesson.Question) string {
	if len(q.Facts) == 0 {
		return ""
	}
	p := &page{}
	p.head(map[lesson.Kind]string{lesson.ReadPatches: "The record", lesson.ReadPH: "The readings", lesson.WhatChanged: "What changed"}[q.Kind])
	for _, f := range q.Facts {
		p.line("  %s", f)
	}
	return p.String()
}

// Put writes a question with its options, numbered, for a room to answer.
func Put(q *lesson.Question) string {
	p := &page{}
	p.line("%s", q.Text)
	for _, f := range q.Facts {
		p.line("  %s", f)
	}
	p.line("")
	for i, o := range q.Options {
		p.line("  %d  %s", i+1, o.Label)
	}
	switch q.Shape {
	case lesson.Some:
		p.line("\nName all that fit.")
	case lesson.Order:
		p.line("\nPut all of them in order.")
	}
	return p.String()
}
