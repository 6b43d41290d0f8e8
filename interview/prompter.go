package interview

import (
	"context"
	"errors"
	"fmt"
)

// What can end a survey before its end. What was answered until then is in the job file.
var (
	ErrStopped    = errors.New("stopped")
	ErrInputEnded = errors.New("the input ended before the survey did")
)

// Prompter puts questions to a person. It is a small interface of our own, so that the survey knows nothing of the
// terminal. Every implementation asks again until an answer passes Ask.Check, and takes nothing for an answer that the
// person did not give.
type Prompter interface {
	// Ask returns ErrStopped or ErrInputEnded if there is no answer to come.
	Ask(ctx context.Context, a *Ask) (Reply, error)
	// Noted repeats an answer in words.
	Noted(a *Ask, words string)
	// Say tells something that needs no answer. Lines that begin with spaces are to be typed, and are left whole.
	Say(text string)
	// Close ends the questions, and gives the terminal back. Say may still be used.
	Close()
}

// Kind is the kind of answer that is asked for.
type Kind int

// The kinds of answer.
const (
	One  Kind = iota // one of the options
	Many             // any number of the options
	Line             // a line of text
	Page             // none: a text to be read
)

// Ask is one question as it is put to a person.
type Ask struct {
	Number  int    // of the question in the job, from 1; 0 for what is no new question
	Open    int    // questions that may still matter to this part, this one among them; 0 where that is not known
	Heading string // what it is about
	Text    string
	Help    string // how to answer; of a Page what Enter does
	Kind    Kind
	Options []Option
	Or      bool // of One: several options may be named, "one of these, cannot tell which"
	Most    int  // of Many: how many; 0 is no limit
	Order   string
	Whole   bool     // of Many with an Order: all options are to be put in order
	Unknown bool     // "not known" is an answer
	List    bool     // of Unknown: it stands in the list
	Before  *Reply   // an earlier answer
	Words   string   // the earlier answer in words
	Back    bool     // there is something to go back to
	Trail   []string // what was answered before in this sitting
	Why     func() string
	WhyName string // what ? gives; empty: why it is asked
	Check   func(Reply) error
}

// Option is one of the answers to choose from.
type Option struct{ ID, Label string }

// Act is what the person did.
type Act int

// The acts of a person.
const (
	Answered Act = iota
	NotKnown
	Keep // the earlier answer
	Back
)

// Reply is what the person did, and the answer if it is one.
type Reply struct {
	Act                   Act
	Values                []string // ids of options, in the order of the person
	MoreBefore, MoreAfter bool     // of Many: "and perhaps others", before the first or after the last
	Line                  string
}

// Sentences of every front.
const (
	notKnown    = "not known"
	noneOfThese = "none of these"
	goesOn      = "goes on"
	firstOne    = "This is the first question: there is nothing to go back to."
)

// heading is the heading with the progress. How many questions are left depends on the answers, so it is no promise.
func (a *Ask) heading() string {
	switch {
	case a.Number == 0:
		return a.Heading
	case a.Open == 0:
		return fmt.Sprintf("Question %d. %s", a.Number, a.Heading)
	case a.Open == 1:
		return fmt.Sprintf("Question %d, perhaps the last here. %s", a.Number, a.Heading)
	}
	return fmt.Sprintf("Question %d, about %d more may matter. %s", a.Number, a.Open-1, a.Heading)
}

func (a *Ask) check(r Reply) error {
	if a.Check == nil || r.Act != Answered {
		return nil
	}
	return a.Check(r)
}
