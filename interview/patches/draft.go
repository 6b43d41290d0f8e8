package patches

import (
	"fmt"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"patchfirst/interview/job"
	"patchfirst/rules"
	"patchfirst/rules/source"
)

// Draft is an entry that is not in the log yet, as it was typed: the text of each key. Empty texts are left out.
type Draft map[string]string

// draftKeys are the keys of a draft in the order in which they are written.
var draftKeys = []string{"kind", "at", "by", "corrects", "because", "patch", "method", "thickness", "area", "where", "layers_left", "lifts", "harm", "ph", "surface_temp", "passes", "off", "note", "sure"}

// bare are the keys whose values are written without quotes.
var bare = []string{"at", "corrects", "layers_left", "ph", "passes", "off", "sure"}

func (d Draft) node(id int) *yaml.Node {
	n := &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map"}
	add := func(key, value string, plain bool) {
		k, v := &yaml.Node{}, &yaml.Node{Kind: yaml.ScalarNode, Value: value}
		k.SetString(key)
		if !plain {
			v.SetString(value)
		}
		n.Content = append(n.Content, k, v)
	}
	add("id", fmt.Sprint(id), true)
	for _, key := range draftKeys {
		if text := strings.TrimSpace(d[key]); text != "" {
			add(key, text, slices.Contains(bare, key) && !strings.ContainsAny(text, "#\n:{}[]\"'&*!|>%@`,") || key == "at" && isMoment(text))
		}
	}
	return n
}

func isMoment(text string) bool {
	return strings.Trim(text, "0123456789-+:.TZ") == ""
}

// newEntry stands for the file name in mistakes of a draft.
const newEntry = "the new entry"

// DoubtError is a draft that may be right and needs its writer to say so: then it is given again with sure: true.
type DoubtError struct{ Questions []Question }

func (e *DoubtError) Error() string {
	var asks []string
	for _, q := range e.Questions {
		asks = append(asks, q.Ask)
	}
	return "not recorded yet: " + strings.Join(asks, "\n") + "\nIf it is right, give it again with --sure. Otherwise give it corrected."
}

// Add checks a draft against the record of the part and appends it to its log. It returns the entry's number. Mistakes
// are rules.Problems; what is possible and yet unlikely is a DoubtError; after either the log is as it was.
func Add(b *rules.Base, file string, e *job.Element, draft Draft, s Site) (id int, err error) {
	id = e.NextEntry()
	node := draft.node(id)
	log := &yaml.Node{Kind: yaml.SequenceNode}
	if e.Log != nil {
		log.Content = slices.Clone(e.Log.Content)
	}
	log.Content = append(log.Content, node)
	doc := &source.Document{File: file}
	r := readRecord(b, doc, log)
	for i, p := range doc.Problems {
		if p.Pos.Line == 0 {
			doc.Problems[i].Pos.File = newEntry
		}
	}
	if err := doc.Problems.Err(); err != nil {
		return 0, err
	}
	doubts := slices.DeleteFunc(r.Questions(s), func(q Question) bool { return q.Entry != id })
	if len(doubts) > 0 {
		return 0, &DoubtError{doubts}
	}
	e.Append(node)
	return id, nil
}

// CheckField checks the text of one key of a draft by itself, as a person types it. The error says what to type instead.
func CheckField(key, text string) error {
	scales := map[string]scale{"layers_left": coats, "ph": acidity, "surface_temp": celsius, "thickness": millimetres, "passes": passes}
	d := &source.Document{File: newEntry}
	o := d.Object(Draft{key: text}.node(1), newEntry)
	if s, ok := scales[key]; ok {
		measure(o, key, s)
	}
	if key == "harm" {
		harm(o)
	}
	if len(d.Problems) == 0 {
		return nil
	}
	p := d.Problems[0]
	return fmt.Errorf("%s. %s", p.Summary, p.Fix)
}

// Set gives a key its text; a dash in the key stands for an underscore, and an empty text sets nothing.
func (d Draft) Set(key, text string) {
	if text != "" {
		d[strings.ReplaceAll(key, "-", "_")] = text
	}
}

// Mark sets a key to true.
func (d Draft) Mark(key string, yes bool) {
	if yes {
		d[key] = "true"
	}
}
