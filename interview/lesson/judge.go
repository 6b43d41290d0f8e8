package lesson

import (
	"slices"

	"patchfirst/rules"
)

// Mark is how an answer is judged.
type Mark string

// The marks, best first.
const (
	Right     Mark = "right"
	HalfRight Mark = "half_right"
	Wrong     Mark = "wrong"
	Stuck     Mark = "stuck"     // no answer was given
	Dangerous Mark = "dangerous" // someone or something would come to harm
)

// Marks lists them all, best first.
var Marks = []Mark{Right, HalfRight, Wrong, Stuck, Dangerous}

// Words says a mark to a learner.
func (m Mark) Words() string {
	return map[Mark]string{Right: "RIGHT", HalfRight: "PARTLY RIGHT", Wrong: "NOT RIGHT", Stuck: "NOT ANSWERED", Dangerous: "DANGEROUS"}[m]
}

// Judgement is what an answer is worth, and why.
type Judgement struct {
	Mark    Mark
	Points  float64   // from 0 to 1
	Dangers []*Option // chosen, or left out, or put in a dangerous place
	Missed  []*Option // of Some: right ones that were left out
	Extra   []*Option // of One and Some: wrong ones that were chosen
	Late    []*Option // of Order: those that came after one that they belong before
}

// Judge judges an answer: the ids of options, in the order of the learner where that matters. Ids that are no option, or
// are there twice, count for nothing. No ids at all is Stuck.
func (q *Question) Judge(chosen []string) *Judgement {
	var picked []*Option
	for _, id := range chosen {
		if o := q.Option(id); o != nil && !slices.Contains(picked, o) {
			picked = append(picked, o)
		}
	}
	j := &Judgement{Mark: Stuck}
	switch {
	case len(chosen) == 0:
		return j
	case len(picked) == 0:
		j.Mark = Wrong
		return j
	}
	switch q.Shape {
	case One:
		q.judgeOne(j, picked[0])
	case Some:
		q.judgeSome(j, picked)
	case Order:
		q.judgeOrder(j, picked)
	}
	switch {
	case len(j.Dangers) > 0:
		j.Mark, j.Points = Dangerous, 0
	case j.Points == 1:
		j.Mark = Right
	case j.Points > 0:
		j.Mark = HalfRight
	default:
		j.Mark = Wrong
	}
	return j
}

func (q *Question) judgeOne(j *Judgement, o *Option) {
	j.Points = o.Worth
	if !o.Right {
		j.Extra = append(j.Extra, o)
	}
	if o.Grave && !o.Right {
		j.Dangers = append(j.Dangers, o)
	}
}

// judgeSome gives a share of the points for each right option, and takes half a share for each wrong one: too much caution
// does less harm than too little. To see no right option at all of a danger is as dangerous as to miss a grave one.
func (q *Question) judgeSome(j *Judgement, picked []*Option) {
	right, hits := 0, 0
	for _, o := range q.Options {
		chosen := slices.Contains(picked, o)
		if o.Right {
			right++
		}
		switch {
		case o.Right && chosen:
			hits++
		case o.Right:
			j.Missed = append(j.Missed, o)
		case chosen:
			j.Extra = append(j.Extra, o)
		}
		if o.Grave && o.Right != chosen {
			j.Dangers = append(j.Dangers, o)
		}
	}
	if q.Kind == FindDanger && hits == 0 {
		j.Dangers = j.Missed
	}
	const tooMuch = 0.5
	j.Points = max(0, (float64(hits)-tooMuch*float64(len(j.Extra)))/float64(right))
}

// judgeOrder counts the pairs that are in order. Options of the same place may stand either way. What guards people
// before the work and comes after it has begun is dangerous; what was left out comes last.
func (q *Question) judgeOrder(j *Judgement, picked []*Option) {
	order := slices.Clone(picked)
	for _, o := range q.Options {
		if !slices.Contains(order, o) {
			order = append(order, o)
		}
	}
	apply := slices.Index(rules.WorkStages, "apply")
	pairs, good := 0, 0
	for i, before := range order {
		for _, after := range order[i+1:] {
			if before.Place == after.Place {
				continue
			}
			pairs++
			if before.Place < after.Place {
				good++
				continue
			}
			if !slices.Contains(j.Late, after) {
				j.Late = append(j.Late, after)
			}
			if after.Grave && before.Place >= apply && !slices.Contains(j.Dangers, after) {
				j.Dangers = append(j.Dangers, after)
			}
		}
	}
	j.Points = 1
	if pairs > 0 {
		j.Points = float64(good) / float64(pairs)
	}
	if len(picked) < len(q.Options) && j.Points == 1 {
		j.Points = allowed
	}
}

// Lost lists the rules that an answer went against, or passed over: what there is to practise.
func (q *Question) Lost(j *Judgement) (ids []string) {
	add := func(all []*Option) {
		for _, o := range all {
			for _, id := range o.Rules() {
				if !slices.Contains(ids, id) {
					ids = append(ids, id)
				}
			}
		}
	}
	if j.Mark == Right {
		return nil
	}
	for _, part := range [][]*Option{j.Dangers, j.Missed, j.Extra, j.Late} {
		add(part)
	}
	if j.Mark == Stuck {
		for _, o := range q.Options {
			if o.Right || q.Shape == Order {
				add([]*Option{o})
			}
		}
	}
	return ids
}

// Shows lists the rules that are told with the question.
func (q *Question) Shows() (ids []string) {
	for _, o := range q.Options {
		for _, id := range o.Rules() {
			if !slices.Contains(ids, id) && q.tells(id) {
				ids = append(ids, id)
			}
		}
	}
	return ids
}
