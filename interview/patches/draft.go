package patches

import (
	"gopkg.in/yaml.v3"

	"patchfirst/interview/job"
	"patchfirst/rules"
	"patchfirst/rules/source"
)

// Add checks a draft against the record of the part and appends it to its log; see job.Add.
func Add(b *rules.Base, file string, e *job.Element, draft job.Draft, s Site) (id int, err error) {
	return job.Add(file, e, draft, check(b, s))
}

func check(b *rules.Base, s Site) job.Check {
	return func(d *source.Document, log *yaml.Node) []job.Question { return RecordIn(b, d, log).Questions(s) }
}

// CheckField checks the text of one key of a draft by itself, as a person types it. The error says what to type instead.
func CheckField(key, text string) error {
	scales := map[string]job.Scale{"layers_left": job.Coats, "ph": job.Acidity, "surface_temp": job.Celsius, "thickness": job.Millimetres, "passes": job.Passes}
	return job.CheckField(key, text, func(o *source.Object) {
		if s, ok := scales[key]; ok {
			s.Measure(o, key)
		}
		switch key {
		case "harm":
			job.Harm(o)
		case "at":
			job.Moment(o, key)
		}
	})
}
