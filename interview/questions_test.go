package interview

import (
	"os"
	"testing"

	"patchfirst/interview/job"
	"patchfirst/knowledge"
	"patchfirst/rules"
	"patchfirst/rules/cases"
)

// asked surveys a part whose answers are known beforehand and counts the questions: what is not in them is not known.
func asked(b *testing.B, base *rules.Base, answers rules.Answers) (count int) {
	b.Helper()
	j, e := job.New(), job.NewElement("part")
	j.Elements = append(j.Elements, e)
	for _, part := range []*job.Element{nil, e} {
		own, notKnown := j.Site, j.NotKnown
		if part != nil {
			own, notKnown = e.Answers, e.NotKnown
		}
		for {
			f, c, err := Next(base, j, part)
			if err != nil || c != nil {
				b.Fatal(err, c)
			}
			if f == nil {
				break
			}
			count++
			if a, ok := answers[f.ID]; ok {
				own[f.ID] = a
			} else {
				notKnown[f.ID] = true
			}
		}
	}
	return count
}

// BenchmarkQuestions reports how many questions a survey of one part asks, of how many, over the parts of the example
// and every tenth published case.
func BenchmarkQuestions(b *testing.B) {
	base, err := knowledge.Load("")
	if err != nil {
		b.Fatal(err)
	}
	j, err := job.ReadFile(base, "../testdata/jobs/gannet-ness.yaml", nil)
	if err != nil {
		b.Fatal(err)
	}
	var example, published []rules.Answers
	for _, e := range j.Elements {
		example = append(example, j.Answers(e))
	}
	all, err := cases.ReadFS(base, os.DirFS("../testdata/cases"), "testdata/cases")
	if err != nil {
		b.Fatal(err)
	}
	const every = 10
	for i := 0; i < len(all); i += every {
		published = append(published, all[i].Given)
	}
	questions := 0
	for _, f := range base.Facts {
		if f.Asked() {
			questions++
		}
	}
	for _, set := range []struct {
		name  string
		parts []rules.Answers
	}{{"example", example}, {"published", published}} {
		b.Run(set.name, func(b *testing.B) {
			total := 0
			for b.Loop() {
				total = 0
				for _, answers := range set.parts {
					total += asked(b, base, answers)
				}
			}
			b.ReportMetric(float64(total)/float64(len(set.parts)), "questions/part")
			b.ReportMetric(float64(questions), "of")
		})
	}
}
