package ask

import (
	"context"
	"fmt"

	"patchfirst/interview"
	"patchfirst/interview/lesson"
	"patchfirst/interview/lesson/show"
)

// Teach shows a lesson to a room, one page a step: the situation, each question with its options, and what the engine
// says of it. Nothing is judged or kept.
func Teach(ctx context.Context, p interview.Prompter, s *lesson.School, l *lesson.Lesson) error {
	pages, err := pages(s, l)
	if err != nil {
		return err
	}
	for i := 0; i < len(pages); {
		page := pages[i]
		page.Heading = fmt.Sprintf("[%d of %d] %s", i+1, len(pages), page.Heading)
		page.Kind, page.Back = interview.Page, i > 0
		r, err := p.Ask(ctx, &page)
		if err != nil {
			return err
		}
		if r.Act == interview.Back {
			i--
		} else {
			i++
		}
	}
	return nil
}

func pages(s *lesson.School, l *lesson.Lesson) ([]interview.Ask, error) {
	var all []interview.Ask
	for i := range l.Exercises {
		q, err := s.Pose(l, i)
		if err != nil {
			return nil, err
		}
		reveal, err := show.Reveal(s.Base, q, nil)
		if err != nil {
			return nil, err
		}
		if i == 0 || len(l.Exercises[i-1].Then) > 0 {
			all = append(all, interview.Ask{Heading: l.Case.Title, Text: show.Situation(s.Base, l, i)})
		}
		head := heading(l, i, q)
		all = append(all, interview.Ask{Heading: head, Text: show.Put(q), Help: "reveals it"}, interview.Ask{Heading: "Revealed. " + head, Text: reveal})
	}
	return all, nil
}
