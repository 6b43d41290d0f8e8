package lesson

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/rules"
)

// hints are steps towards the answer, each giving away more than the one before: what to look at, what it is not, and
// how far that leaves it.
func (s *School) hints(q *Question) (hints []string) {
	if q.Shape == Order {
		return q.orderHints()
	}
	if names := s.bearing(q); len(names) > 0 {
		hints = append(hints, "Look at: "+strings.Join(names, ", ")+".")
	}
	var wrong []*Option
	right := 0
	for _, o := range q.Options {
		if o.Right {
			right++
		} else {
			wrong = append(wrong, o)
		}
	}
	if q.Shape == Some {
		hints = append(hints, fmt.Sprintf("How many belong to the answer: %d.", right))
	}
	for i, o := range wrong {
		if i == len(wrong)-1 || i == 2 {
			break
		}
		hints = append(hints, "It is not: "+o.Label)
	}
	return hints
}

func (q *Question) orderHints() []string {
	sorted := slices.Clone(q.Options)
	slices.SortStableFunc(sorted, func(a, b *Option) int { return a.Place - b.Place })
	return []string{"First come the people, then the neighbours of the work, then the paste.", "First: " + sorted[0].Label, "Last: " + sorted[len(sorted)-1].Label}
}

// bearing names the questions that the rules behind the right and the dangerous options read.
func (s *School) bearing(q *Question) (names []string) {
	if q.Kind == MissingQuestion {
		return nil
	}
	const most = 4
	for _, f := range s.Base.Facts {
		if _, told := q.Answers[f.ID]; !told || !f.Asked() {
			continue
		}
		for _, o := range q.Options {
			for _, r := range s.Base.Rules {
				if (o.Right || o.Grave) && slices.Contains(o.Rules(), r.ID) && s.reads(r, f) && !slices.Contains(names, f.Words()) && len(names) < most {
					names = append(names, f.Words())
				}
			}
		}
	}
	return names
}

// reads reports whether a rule reads a question, itself or through the findings that it reads.
func (s *School) reads(r *rules.Rule, f *rules.Fact) bool {
	seen := map[string]bool{}
	var look func(*rules.Rule) bool
	look = func(r *rules.Rule) bool {
		for subject := range subjects(r.When) {
			if subject == f.ID {
				return true
			}
			if s.Base.Finding(subject) == nil || seen[subject] {
				continue
			}
			seen[subject] = true
			for _, raiser := range s.Base.Rules {
				if _, ok := raiser.Raises[subject]; ok && look(raiser) {
					return true
				}
			}
		}
		return false
	}
	return look(r)
}
