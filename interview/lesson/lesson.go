// Package lesson teaches decisions. A lesson is a case file with a story and exercises. What is right in an exercise
// stands in no file: it is asked of the engine, so that a lesson can never teach what the rules do not say. An answer is
// a choice, a set or an order, and is judged as such; nothing is judged by wording.
package lesson

import (
	"maps"

	"gopkg.in/yaml.v3"

	"patchfirst/explain"
	"patchfirst/interview/patches"
	"patchfirst/knowledge/figures"
	"patchfirst/rules"
	"patchfirst/rules/cases"
)

// Kind is the kind of an exercise.
type Kind string

// The kinds of exercise.
const (
	ChooseMethod    Kind = "choose_method"    // which method would you try first?
	RuleOut         Kind = "rule_out"         // which of these may not be used here?
	MissingQuestion Kind = "missing_question" // which answer matters most now?
	FindDanger      Kind = "find_danger"      // what is the danger here, or of this method?
	OrderSteps      Kind = "order_steps"      // in which order are these done?
	ReadPatches     Kind = "read_patches"     // what do the test patches say, and what comes next?
	ReadPH          Kind = "read_ph"          // may it be primed?
	WhatChanged     Kind = "what_changed"     // why did the advice flip between two situations?
)

// Kinds lists all kinds of exercise.
var Kinds = []Kind{ChooseMethod, RuleOut, MissingQuestion, FindDanger, OrderSteps, ReadPatches, ReadPH, WhatChanged}

// Words says what is done in an exercise of the kind.
func (k Kind) Words() string {
	return map[Kind]string{
		ChooseMethod: "choose the method", RuleOut: "rule out the wrong ones", MissingQuestion: "spot the missing question", FindDanger: "find the danger",
		OrderSteps: "order the steps", ReadPatches: "read a patch record", ReadPH: "read a pH log", WhatChanged: "what changed, and why",
	}[k]
}

// Levels are how hard a lesson is, easiest first.
var Levels = []string{"easy", "middle", "hard"}

// Lesson is a case with a story and exercises.
type Lesson struct {
	Name      string // to run it by
	Level     string // one of Levels, as its writer says
	Story     string
	Teaches   []string // rules that its exercises must show
	Case      cases.Case
	Exercises []*Exercise
	Digest    string // of its text in the file
	Pos       rules.Pos
}

// Exercise is one question of a lesson.
type Exercise struct {
	Kind    Kind
	Text    string   // the question in the writer's words; empty: in those of the program
	Options []string // ids of what is to choose from; none: the engine offers some
	Method  string   // of FindDanger, MissingQuestion and WhatChanged: the method in question; empty: none, and of the last the first choice
	To      rules.Answers
	Then    rules.Answers // what is found out after it
	Log     *yaml.Node    // of ReadPatches, as in a job file
	PH      *PHLog        // of ReadPH
	Hints   []string      // the first hints; more come from the engine
	Pos     rules.Pos
}

// PHLog is what was read of a surface after alkali, in the order of time.
type PHLog struct {
	Instrument figures.PHInstrument
	Acid       bool // a neutraliser was used, so the surface may also be too low
	Readings   []PHReading
}

// PHReading is one reading of the surface beside one of an untouched spot of the same material.
type PHReading struct {
	Dry              bool // the surface had dried, and was wetted with distilled water to be read
	Surface, Control figures.PH
	Where            string
}

// Answers is what is known when an exercise is put: what was told, and what earlier exercises found out.
func (l *Lesson) Answers(exercise int) rules.Answers {
	known := maps.Clone(l.Case.Given)
	for _, e := range l.Exercises[:exercise] {
		maps.Copy(known, e.Then)
	}
	return known
}

// School poses the exercises of lessons by one base. It is not for use by several goroutines at once.
type School struct {
	Base     *rules.Base
	figures  *patches.Figures
	reasoner *rules.Reasoner
	maker    *maker // made when first needed
	last     told
}

// told is the situation that was decided last: the exercises of a lesson mostly share one.
type told struct {
	title   string
	answers rules.Answers
	x       *explain.Explainer
}

// Open makes a school.
func Open(b *rules.Base) (*School, error) {
	f, err := patches.LoadFigures(b)
	if err != nil {
		return nil, err
	}
	r, err := b.Reasoner()
	if err != nil {
		return nil, err
	}
	return &School{Base: b, figures: f, reasoner: r}, nil
}
