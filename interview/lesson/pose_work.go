package lesson

import (
	"cmp"
	"fmt"
	"hash/fnv"
	"slices"

	"patchfirst/explain"
	"patchfirst/rules"
)

// shuffled puts things into an order that looks like chance and is the same for the same seed. It goes by their names, so
// that one more of them leaves the order of the others as it is.
func shuffled[T any](all []T, seed string, name func(T) string) []T {
	key := func(v T) uint64 {
		h := fnv.New64a()
		h.Write([]byte(seed + "\x00" + name(v)))
		// The last bytes of this hash hardly reach its first bits, so it is mixed once more.
		const odd, shift = 0x9e3779b97f4a7c15, 32
		sum := h.Sum64() * odd
		return (sum ^ sum>>shift) * odd
	}
	mixed := slices.Clone(all)
	slices.SortStableFunc(mixed, func(a, b T) int { return cmp.Compare(key(a), key(b)) })
	return mixed
}

func ruleName(r *rules.Rule) string     { return r.ID }
func factName(f *rules.Fact) string     { return f.ID }
func noteName(n *rules.Note) string     { return string(n.Kind) + n.ID }
func methodName(m *rules.Method) string { return m.ID }
func optionName(o *Option) string       { return o.ID }
func itself(s string) string            { return s }

// missingQuestion asks which of the questions that are not answered matters most: those that could change the first
// choice, or where there is none, those that could lift a refusal, or else any that is open. Where a method is in question
// those matter most that its refusal hangs on.
func (s *School) missingQuestion(q *Question, e *Exercise) error {
	var hangs []string
	m := s.Base.Method(e.Method)
	if m != nil {
		hangs = q.outcome(m).Until
		if len(hangs) == 0 {
			return q.cannot(e, "Name a method that is ruled out until more is known.", "no answer that is missing could lift the refusal: %s", q.outcome(m).Why())
		}
	}
	if q.Text == "" {
		q.Text = "What would you find out first?"
		if m != nil {
			q.Text = fmt.Sprintf("Someone would like to use this: %s. What would you find out first?", m.Label)
		}
	}
	worth := explain.Next(s.Base, q.Decision)
	class := func(w explain.Worth) int {
		switch {
		case slices.Contains(hangs, w.Fact):
			return 3
		case w.Decisive:
			return 2
		case len(w.Lifts) > 0:
			return 1
		}
		return 0
	}
	ids := e.Options
	if len(ids) == 0 {
		ids = s.blanks(q, worth)
	}
	best := 0
	for _, w := range worth {
		if slices.Contains(ids, w.Fact) {
			best = max(best, class(w))
		}
	}
	for _, id := range ids {
		f := s.Base.Fact(id)
		o := &Option{ID: id, Label: f.Ask, Says: "no answer to it changes anything here"}
		if _, told := q.Answers[id]; told {
			o.Says = "that is known already"
		}
		for _, w := range worth {
			if w.Fact != id {
				continue
			}
			o.Worth, o.Says = allowed, "it could change cautions, steps or what else is open"
			if class(w) == best {
				o.Worth, o.Right = 1, true
			}
			switch class(w) {
			case 3:
				o.Says = "the refusal of this method hangs on it"
			case 2:
				o.Says = "it could change the first choice"
			case 1:
				o.Says = "it could lift a refusal"
			}
			o.Why = s.hanging(q, f)
		}
		q.Options = append(q.Options, o)
	}
	return nil
}

// blanks offers a question that matters most, some that matter less, and some that do not matter.
func (s *School) blanks(q *Question, worth []explain.Worth) (ids []string) {
	const most, matter = 5, 2
	for _, w := range worth[:min(matter, len(worth))] {
		ids = append(ids, w.Fact)
	}
	for _, f := range shuffled(s.Base.Facts, q.seed, factName) {
		if _, told := q.Answers[f.ID]; f.Asked() && !told && len(ids) < most && !slices.Contains(q.Decision.Open, f.ID) {
			ids = append(ids, f.ID)
		}
	}
	return shuffled(ids, q.seed+" order", itself)
}

// hanging lists rules that are open until a question is answered, those that rule something out first.
func (s *School) hanging(q *Question, f *rules.Fact) []explain.Said {
	var refusing, others []*rules.Rule
	for _, r := range s.Base.Rules {
		switch {
		case !subjects(r.When)[f.ID] || q.Decision.Never(r) || q.Decision.Always(r):
		case r.Gives[rules.RuledOut] != 0:
			refusing = append(refusing, r)
		case len(r.Gives) > 0:
			others = append(others, r)
		}
	}
	return said(append(refusing, others...))
}

func (s *School) orderSteps(q *Question, e *Exercise) error {
	q.Shape = Order
	if q.Text == "" {
		q.Text = "In which order is this done?"
	}
	first := q.Decision.First
	ids := e.Options
	if len(ids) == 0 {
		ids = s.steps(q)
	}
	stages := rules.WorkStages
	apply := slices.Index(stages, "apply")
	for _, id := range ids {
		i := slices.IndexFunc(first.Notes, func(a rules.Attached) bool { return a.Note.Kind == rules.Step && a.Note.ID == id })
		if i < 0 {
			return q.cannot(e, "Name steps that advise gives for the first choice.", "%q is no step of the first choice, %s", id, first.Method.ID)
		}
		a := first.Notes[i]
		place := slices.Index(stages, a.Note.Stage)
		q.Options = append(q.Options, &Option{
			ID: id, Label: a.Note.Say, Place: place, Grave: place < apply, Why: said([]*rules.Rule{a.Rule}), Says: fmt.Sprintf("belongs to: %s", a.Note.Stage),
		})
	}
	q.Options = shuffled(q.Options, q.seed+" order", optionName)
	return nil
}

// steps offers one sure step of each of several stages.
func (s *School) steps(q *Question) (ids []string) {
	const most = 5
	for _, stage := range []string{"apply", "protect", "before", "neutralise", "dry", "test", "clean", "prime"} {
		for _, a := range q.Decision.First.Notes {
			if a.Note.Kind == rules.Step && a.Sure && a.Note.Stage == stage && len(ids) < most {
				ids = append(ids, a.Note.ID)
				break
			}
		}
	}
	return ids
}
