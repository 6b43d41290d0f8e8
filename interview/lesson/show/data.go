package show

import (
	"encoding/json"
	"io"

	"patchfirst/interview/lesson"
	"patchfirst/rules"
)

// Schema names the form of what is told of lessons as data; it changes when a field changes its meaning or goes away.
const Schema = "patchfirst/lessons/1"

// data holds one of Lessons, Cover and Curriculum.
type data struct {
	Schema     string          `json:"schema"`
	Base       dataBase        `json:"base"`
	Lessons    []dataLesson    `json:"lessons,omitempty"`
	Cover      []dataCovered   `json:"cover,omitempty"`
	Curriculum *dataCurriculum `json:"curriculum,omitempty"`
}

type dataBase struct {
	Version string `json:"version"`
	Digest  string `json:"digest"`
}

type dataLesson struct {
	Name     string   `json:"name"`
	Title    string   `json:"title"`
	Place    string   `json:"place"`
	Level    string   `json:"level"`
	Seems    string   `json:"seems"`
	Hardness float64  `json:"hardness"`
	Asks     []string `json:"asks"`
	Solvable bool     `json:"solvable"`
	Problems []string `json:"problems"`
	Teaches  []string `json:"teaches"`
	Refusing []string `json:"refusing"`
	Cautions []string `json:"cautions"`
}

type dataCovered struct {
	Rule    string   `json:"rule"`
	Place   string   `json:"place"`
	Lessons []string `json:"lessons"`
	Made    bool     `json:"can_be_made"`
}

type dataCurriculum struct {
	Topics   []dataTopic `json:"topics"`
	Cautions int         `json:"cautions"`
	Warned   int         `json:"cautions_shown"`
	Missing  []string    `json:"cautions_missing"`
	Next     []string    `json:"next"`
}

type dataTopic struct {
	Name     string         `json:"name"`
	Rules    int            `json:"rules"`
	Taught   int            `json:"taught"`
	Refusals int            `json:"refusals"`
	Refusing int            `json:"refusals_taught"`
	Lessons  []string       `json:"lessons"`
	Answers  map[string]int `json:"answers"`
	Practise []string       `json:"practise"`
}

func (d *data) write(out io.Writer, b *rules.Base) error {
	d.Schema, d.Base = Schema, dataBase{b.Version, b.Digest}
	enc := json.NewEncoder(out)
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(d)
}

// ChecksJSON writes as data what a check found of lessons.
func ChecksJSON(out io.Writer, b *rules.Base, all []*lesson.Checked) error {
	d := &data{}
	for _, c := range all {
		asks := []string{}
		for _, e := range c.Lesson.Exercises {
			asks = append(asks, string(e.Kind))
		}
		d.Lessons = append(d.Lessons, dataLesson{
			c.Lesson.Name, c.Lesson.Case.Title, c.Lesson.Pos.String(), c.Lesson.Level, c.Level, c.Hardness, asks,
			len(c.Problems) == 0, whole(c.Problems), whole(c.Teaches), whole(c.Refusing), whole(c.Cautions),
		})
	}
	return d.write(out, b)
}

// CoverJSON writes as data where rules are taught.
func CoverJSON(out io.Writer, b *rules.Base, all []*lesson.Covered) error {
	d := &data{}
	for _, c := range all {
		d.Cover = append(d.Cover, dataCovered{c.Rule.ID, c.Rule.Pos.String(), whole(c.Lessons), c.Made})
	}
	return d.write(out, b)
}

// CurriculumJSON writes as data what the lessons cover and what a learner has to practise.
func CurriculumJSON(out io.Writer, b *rules.Base, c *lesson.Curriculum) error {
	d := &data{Curriculum: &dataCurriculum{Topics: []dataTopic{}, Cautions: c.Cautions, Warned: c.Warned, Missing: []string{}, Next: whole(c.Next)}}
	for _, n := range c.Missing {
		d.Curriculum.Missing = append(d.Curriculum.Missing, n.ID)
	}
	for _, t := range c.Topics {
		answers := map[string]int{}
		for m, n := range t.Answers {
			answers[string(m)] = n
		}
		d.Curriculum.Topics = append(d.Curriculum.Topics, dataTopic{t.Name, t.Rules, t.Taught, t.Refusals, t.Refusing, whole(t.Lessons), answers, whole(t.Lost)})
	}
	return d.write(out, b)
}

// whole makes a nil list an empty one, so that JSON shows [].
func whole(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}
