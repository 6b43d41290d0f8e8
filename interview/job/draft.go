package job

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"patchfirst/rules/source"
)

// Draft is an entry that is not in the log yet, as it was typed: the text of each key. Empty texts are left out.
type Draft map[string]string

// words are the keys whose values are words, whatever they look like: they are written in quotes where YAML needs them.
var words = []string{"by", "because", "note", "patch", "batch", "where", "harm", "what", "done", "who", "instrument", "with", "product"}

// node writes the draft as an entry: first what all entries have, then the keys of its kind, then what is left over.
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
	order := slices.Concat([]string{"kind", "at", "by", "corrects", "because"}, kinds[strings.TrimSpace(d["kind"])])
	var rest []string
	for key := range d {
		if !slices.Contains(order, key) && key != "note" && key != "sure" {
			rest = append(rest, key)
		}
	}
	slices.Sort(rest)
	for _, key := range slices.Concat(order, rest, []string{"note", "sure"}) {
		if text := strings.TrimSpace(d[key]); text != "" {
			add(key, text, !slices.Contains(words, key) && isBare(text))
		}
	}
	return n
}

// isBare reports whether a text is a number, a moment, or true or false, and so stands without quotes.
func isBare(text string) bool {
	_, err := strconv.ParseFloat(text, 64)
	return err == nil || text == "true" || text == "false" || strings.Trim(text, "0123456789-+:.TZ") == ""
}

// newEntry stands for the file name in mistakes of a draft.
const newEntry = "the new entry"

// Question is something about an entry that only its writer can settle. An entry marked sure is not asked about.
type Question struct {
	Entry int    `json:"entry"`
	Ask   string `json:"ask"`
}

// DoubtError is a draft that may be right and needs its writer to say so: then it is given again with sure: true.
type DoubtError struct{ Questions []Question }

func (e *DoubtError) Error() string {
	var asks []string
	for _, q := range e.Questions {
		asks = append(asks, q.Ask)
	}
	return "not recorded yet: " + strings.Join(asks, "\n") + "\nIf it is right, give it again with --sure. Otherwise give it corrected."
}

// Check reads the log of a part, a new entry at its end. It notes mistakes in the document, and returns what is possible
// and yet unlikely about any entry.
type Check func(d *source.Document, log *yaml.Node) []Question

// Add checks a draft against the log of the part and appends it. It returns the entry's number. Mistakes are
// rules.Problems; what is possible and yet unlikely is a DoubtError; after either the log is as it was.
func Add(file string, e *Element, draft Draft, check Check) (id int, err error) {
	id = e.NextEntry()
	node := draft.node(id)
	log := &yaml.Node{Kind: yaml.SequenceNode}
	if e.Log != nil {
		log.Content = slices.Clone(e.Log.Content)
	}
	log.Content = append(log.Content, node)
	doc := &source.Document{File: file}
	questions := check(doc, log)
	for i, p := range doc.Problems {
		if p.Pos.Line == 0 {
			doc.Problems[i].Pos.File = newEntry
		}
	}
	if err := doc.Problems.Err(); err != nil {
		return 0, err
	}
	doubts := slices.DeleteFunc(questions, func(q Question) bool { return q.Entry != id })
	if len(doubts) > 0 {
		return 0, &DoubtError{doubts}
	}
	e.Append(node)
	return id, nil
}

// CheckField checks the text of one key of a draft by itself, as a person types it. The error says what to type instead.
func CheckField(key, text string, read func(*source.Object)) error {
	d := &source.Document{File: newEntry}
	read(d.Object(Draft{key: text}.node(1), newEntry))
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
