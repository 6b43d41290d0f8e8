package takeoff

import (
	"errors"
	"slices"
	"strings"

	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/knowledge/figures"
	"patchfirst/rules"
)

// Case is a part whose sums are asked for.
type Case struct {
	Base     *rules.Base
	Element  *job.Element
	Answers  rules.Answers
	Decision *rules.Decision
	Given    *Given
	Plans    *patches.Figures
	Reading  *patches.Reading // nil: there is no record of patches

	record *patches.Record
	read   map[string]figures.Quantity // coefficients that were read before
}

// NewCase reads what is told for the sums of a part, and the record of its patches. Mistakes are returned together; file is
// the name of the job file in them. The sums can be done once the part is decided; see Decide.
func NewCase(b *rules.Base, file string, j *job.Job, e *job.Element) (*Case, error) {
	c := &Case{Base: b, Element: e}
	var wrong [3]error
	c.Given, wrong[0] = ReadGiven(b, file, j, e)
	c.Plans, wrong[1] = patches.LoadFigures(b)
	c.record, wrong[2] = patches.ReadRecord(b, file, e.Log)
	return c, errors.Join(wrong[:]...)
}

// Decide takes the answers about the part and what was decided on them, and reads what its patches showed.
func (c *Case) Decide(answers rules.Answers, d *rules.Decision) {
	c.Answers, c.Decision = answers, d
	if len(c.record.Patches) == 0 {
		return
	}
	site := patches.Site{Decision: d}
	if layers, ok := answers["layers"]; ok {
		site.Layers = layers.Hi
	}
	c.Reading = patches.Read(c.Plans, c.Base, c.record, answers, site)
}

// Sum does the sums of a method.
func (c *Case) Sum(m *rules.Method) (*Sums, error) { return c.sum(m, false, nil) }

// at does the sums with every input at its point, save those that are pinned.
func (c *Case) at(m *rules.Method, pins map[string]float64) (*Sums, error) {
	return c.sum(m, true, pins)
}

// parsed reads a coefficient, each only once: comparing asks for the same ones thousands of times.
func (c *Case) parsed(text string, d figures.Dimension) (figures.Quantity, error) {
	key := string(d) + " " + text
	if q, ok := c.read[key]; ok {
		return q, nil
	}
	q, err := figures.ParseQuantity(text, d)
	if err == nil {
		if c.read == nil {
			c.read = map[string]figures.Quantity{}
		}
		c.read[key] = q
	}
	return q, err
}

// sources names sources in a few words.
func (c *Case) sources(ids []string) string {
	words := make([]string, len(ids))
	for i, id := range ids {
		words[i] = id
		for _, src := range slices.Concat(c.Base.Sources, c.Plans.Sources) {
			if src.ID == id {
				words[i] = src.Body + ", " + src.Where
			}
		}
	}
	return strings.Join(words, "; ")
}
