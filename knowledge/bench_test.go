package knowledge_test

import (
	"math/rand/v2"
	"testing"

	"patchfirst/rules"
)

func BenchmarkDecideComplete(b *testing.B) {
	base := load(b)
	s, err := base.Compile(nil, 0)
	if err != nil {
		b.Fatal(err)
	}
	d := newDrawer(b, base, s)
	r := rand.New(rand.NewPCG(19, 23))
	drawn := make([][]uint8, 256)
	for i := range drawn {
		drawn[i] = d.draw(r).values
	}
	ranking, err := base.Ranking()
	if err != nil {
		b.Fatal(err)
	}
	i := 0
	for b.Loop() {
		if ranking.First(drawn[i%len(drawn)]) == nil {
			b.Fatal("no method")
		}
		i++
	}
}

// BenchmarkDecide decides a published case as it stands, with most questions blank.
func BenchmarkDecide(b *testing.B) {
	base := load(b)
	given := loadCases(b, base)[0].Given
	for b.Loop() {
		if _, contradiction, err := base.Decide(given); err != nil || contradiction != nil {
			b.Fatal(contradiction, err)
		}
	}
}

// BenchmarkOpen lists what is still worth asking when nothing is known.
func BenchmarkOpen(b *testing.B) {
	base := load(b)
	for b.Loop() {
		if _, contradiction, err := base.Open(nil); err != nil || contradiction != nil {
			b.Fatal(contradiction, err)
		}
	}
}

// BenchmarkCompile compiles the whole space.
func BenchmarkCompile(b *testing.B) {
	base := load(b)
	for b.Loop() {
		if _, err := base.Compile(nil, 0); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkDecideCases decides every published case.
func BenchmarkDecideCases(b *testing.B) {
	base := load(b)
	all := loadCases(b, base)
	for b.Loop() {
		for _, c := range all {
			if _, contradiction, err := base.Decide(c.Given); err != nil || contradiction != nil {
				b.Fatal(contradiction, err)
			}
		}
	}
}

// BenchmarkDecideSparse decides a part of which nothing but its site is known.
func BenchmarkDecideSparse(b *testing.B) {
	base := load(b)
	given := rules.Answers{"jurisdiction": {Values: []string{"uk"}}, "built": {Lo: 1890, Hi: 1890}, "use": {Values: []string{"dwelling"}}, "protected": {Values: []string{"old"}}, "children": {Values: []string{"yes"}}, "worker": {Values: []string{"householder"}}}
	for b.Loop() {
		if _, contradiction, err := base.Decide(given); err != nil || contradiction != nil {
			b.Fatal(contradiction, err)
		}
	}
}

// BenchmarkWhy finds the reason of every verdict of the published cases, in turn.
func BenchmarkWhy(b *testing.B) {
	base := load(b)
	reasoner, err := base.Reasoner()
	if err != nil {
		b.Fatal(err)
	}
	type question struct {
		given rules.Answers
		of    rules.Conclusion
	}
	var questions []question
	for _, c := range loadCases(b, base) {
		d, contradiction, err := base.Decide(c.Given)
		if err != nil || contradiction != nil {
			b.Fatal(contradiction, err)
		}
		for _, o := range d.Methods {
			if o.Verdict != rules.Possible {
				questions = append(questions, question{c.Given, reasoner.Verdict(o.Method, o.Verdict)})
			}
		}
	}
	i := 0
	for b.Loop() {
		q := questions[i%len(questions)]
		reasoner.Why(q.given, q.of)
		i++
	}
}

// BenchmarkNearest finds the nearest change for every method that a published case rules out, in turn.
func BenchmarkNearest(b *testing.B) {
	base := load(b)
	reasoner, err := base.Reasoner()
	if err != nil {
		b.Fatal(err)
	}
	type question struct {
		given rules.Answers
		m     *rules.Method
	}
	var questions []question
	for _, c := range loadCases(b, base) {
		d, contradiction, err := base.Decide(c.Given)
		if err != nil || contradiction != nil {
			b.Fatal(contradiction, err)
		}
		for _, o := range d.Methods {
			if !o.Verdict.Offered() {
				questions = append(questions, question{c.Given, o.Method})
			}
		}
	}
	i := 0
	for b.Loop() {
		q := questions[i%len(questions)]
		if _, err := reasoner.Nearest(q.given, q.m); err != nil {
			b.Fatal(err)
		}
		i++
	}
}
