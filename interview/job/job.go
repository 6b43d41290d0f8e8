// Package job keeps a job: one YAML file with what was answered about a site and its parts, and the log of each part.
package job

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"patchfirst/rules"
	"patchfirst/rules/source"
)

// Job is a site with its parts.
type Job struct {
	Title    string
	Site     rules.Answers
	NotKnown map[string]bool // facts about the site that were asked and are not known
	Takeoff  *yaml.Node      // what is told for the sums, for every part; kept as it was written; nil if there is none
	Elements []*Element
}

// Element is a part of the building. Its answers win over those of the site.
type Element struct {
	Name     string
	Answers  rules.Answers
	NotKnown map[string]bool // facts that were asked about the element and are not known
	Takeoff  *yaml.Node      // what is told for the sums of this part; kept as it was written; nil if there is none
	Log      *yaml.Node      // kept as it was written; nil if there is none
}

// Told returns what is told of the part for the sums under a key, or nil if that is not one figure.
func (e *Element) Told(key string) *yaml.Node {
	if e.Takeoff == nil || e.Takeoff.Kind != yaml.MappingNode {
		return nil
	}
	for i := 0; i+1 < len(e.Takeoff.Content); i += 2 {
		if v := e.Takeoff.Content[i+1]; e.Takeoff.Content[i].Value == key && v.Kind == yaml.ScalarNode {
			return v
		}
	}
	return nil
}

// New returns a job without a title or answers.
func New() *Job { return &Job{Site: rules.Answers{}, NotKnown: map[string]bool{}} }

// NewElement returns a part of which nothing is known.
func NewElement(name string) *Element {
	return &Element{Name: name, Answers: rules.Answers{}, NotKnown: map[string]bool{}}
}

// Answers returns all that is known of an element.
func (j *Job) Answers(e *Element) rules.Answers {
	all := rules.Answers{}
	for id, a := range j.Site {
		if !e.NotKnown[id] {
			all[id] = a
		}
	}
	for id, a := range e.Answers {
		all[id] = a
	}
	return all
}

// Element returns the part of a name, or nil.
func (j *Job) Element(name string) *Element {
	for _, e := range j.Elements {
		if e.Name == name {
			return e
		}
	}
	return nil
}

// Like returns the part whose name differs at most in its spaces and capitals, or nil: two such parts would be taken for
// one.
func (j *Job) Like(name string) *Element {
	plain := func(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }
	for _, e := range j.Elements {
		if plain(e.Name) == plain(name) {
			return e
		}
	}
	return nil
}

// ReadFile reads a job; the path "-" is standard input.
func ReadFile(b *rules.Base, path string, stdin io.Reader) (*Job, error) {
	data, err := source.ReadFile(path, stdin)
	if err != nil {
		return nil, err
	}
	if path == "-" {
		path = "standard input"
	}
	return Parse(b, path, data)
}

// Parse reads the text of a job. All mistakes are returned together, as rules.Problems.
func Parse(b *rules.Base, file string, data []byte) (*Job, error) {
	d := source.Parse(file, data)
	if d.Root == nil {
		if len(d.Problems) == 0 {
			return nil, rules.Problems{{Pos: rules.Pos{File: file}, Summary: "the file is empty", Fix: "Write job: a title, site: {...} and elements: [...]; testdata/jobs holds an example."}}
		}
		return nil, d.Problems.Err()
	}
	o := d.Object(d.Root, "a job", "job", "site", "elements")
	if o == nil {
		return nil, d.Problems.Err()
	}
	j := &Job{Title: o.Need("job")}
	site := o.Get("site")
	if site != nil && site.Kind == yaml.MappingNode {
		site, j.Takeoff = without(site, "takeoff")
	}
	j.Site, j.NotKnown = source.Answers(b, d, site, "site")
	for _, n := range d.Items(o.Get("elements"), "elements") {
		j.readElement(b, d, n)
	}
	return j, d.Problems.Err()
}

func (j *Job) readElement(b *rules.Base, d *source.Document, n *yaml.Node) {
	if n.Kind != yaml.MappingNode {
		d.Fail(n, "Write - name: ..., then its answers.", "an element is a list of answers")
		return
	}
	e := NewElement("")
	rest := &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map", Line: n.Line, Column: n.Column}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		switch key.Value {
		case "name":
			e.Name = strings.TrimSpace(value.Value)
		case "takeoff":
			e.Takeoff = value
		case "log":
			if value.Kind != yaml.SequenceNode {
				d.Fail(value, "Leave it out, or write log: [].", "the log is a list of entries")
			}
			e.Log = value
		default:
			rest.Content = append(rest.Content, key, value)
		}
	}
	switch {
	case e.Name == "":
		d.Fail(n, "Add name: ...", "the element has no name")
	case j.Element(e.Name) != nil:
		d.Fail(n, "Give it a name of its own.", "there is already an element named %q", e.Name)
	case j.Like(e.Name) != nil:
		d.Fail(n, "Give it a name of its own.", "there is already an element named %q, much like %q", j.Like(e.Name).Name, e.Name)
	}
	e.Answers, e.NotKnown = source.Answers(b, d, rest)
	j.Elements = append(j.Elements, e)
}

// without returns a mapping without a key, and the value that the key had.
func without(n *yaml.Node, key string) (rest, value *yaml.Node) {
	rest = &yaml.Node{Kind: n.Kind, Tag: n.Tag, Line: n.Line, Column: n.Column}
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key && value == nil {
			value = n.Content[i+1]
			continue
		}
		rest.Content = append(rest.Content, n.Content[i], n.Content[i+1])
	}
	return rest, value
}

// Marshal writes a job as YAML, facts in the order of the base.
func (j *Job) Marshal(b *rules.Base) ([]byte, error) {
	root := mapping()
	put(root, "job", text(j.Title))
	site := answers(b, j.Site, j.NotKnown)
	if j.Takeoff != nil {
		put(site, "takeoff", j.Takeoff)
	}
	put(root, "site", site)
	elements := &yaml.Node{Kind: yaml.SequenceNode}
	for _, e := range j.Elements {
		n := answers(b, e.Answers, e.NotKnown)
		n.Content = slices.Insert(n.Content, 0, text("name"), text(e.Name))
		if e.Takeoff != nil {
			put(n, "takeoff", e.Takeoff)
		}
		if e.Log != nil {
			put(n, "log", e.Log)
		}
		elements.Content = append(elements.Content, n)
	}
	put(root, "elements", elements)
	var buf bytes.Buffer
	enc := yaml.NewEncoder(&buf)
	enc.SetIndent(2)
	if err := enc.Encode(root); err != nil {
		return nil, err
	}
	return buf.Bytes(), enc.Close()
}

func mapping() *yaml.Node { return &yaml.Node{Kind: yaml.MappingNode} }

func text(s string) *yaml.Node {
	n := &yaml.Node{}
	n.SetString(s)
	return n
}

func put(m *yaml.Node, key string, value *yaml.Node) {
	m.Content = append(m.Content, text(key), value)
}

// Node writes answers as YAML, facts in the order of the base.
func Node(b *rules.Base, all rules.Answers) *yaml.Node { return answers(b, all, nil) }

func answers(b *rules.Base, all rules.Answers, notKnown map[string]bool) *yaml.Node {
	m := mapping()
	for _, f := range b.Facts {
		if a, ok := all[f.ID]; ok && f.Asked() {
			put(m, f.ID, answer(f, a))
		} else if notKnown[f.ID] {
			put(m, f.ID, text(source.More))
		}
	}
	return m
}

func answer(f *rules.Fact, a rules.Answer) *yaml.Node {
	switch {
	case f.Kind == rules.Number && a.Lo == a.Hi:
		return &yaml.Node{Kind: yaml.ScalarNode, Value: plain(a.Lo)}
	case f.Kind == rules.Number:
		return text(plain(a.Lo) + ".." + plain(a.Hi))
	case f.Kind == rules.Choice && len(a.Values) == 1:
		return text(a.Values[0])
	}
	list := &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle}
	add := func(v string) { list.Content = append(list.Content, text(v)) }
	if a.MoreBefore {
		add(source.More)
	}
	for _, v := range a.Values {
		add(v)
	}
	if a.MoreAfter {
		add(source.More)
	}
	return list
}

func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Set reads an assignment such as substrate=oak or coatings=[alkyd, oil_paint] and puts the answer where it belongs:
// into the site, or into the element. The answer ? says that it is not known.
func (j *Job) Set(b *rules.Base, e *Element, assignment string) error {
	id, value, ok := strings.Cut(assignment, "=")
	id = strings.TrimSpace(id)
	if !ok {
		return fmt.Errorf("%q sets nothing: write fact=value", assignment)
	}
	f := b.Fact(id)
	if f == nil || !f.Asked() {
		if id == "job" {
			return errors.New("the title of the job is not set so: the survey asks for it, and without questions it is the name of the file")
		}
		return fmt.Errorf("there is no question %q. %s", id, b.DidYouMean(id))
	}
	into, notKnown := j.Site, j.NotKnown
	if e != nil {
		into, notKnown = e.Answers, e.NotKnown
	} else if f.Scope != "site" {
		return fmt.Errorf("%q is a question about a part: name the part with --element", id)
	}
	d := source.Parse("--set "+id, []byte(bareMore.ReplaceAllString(value, `$1"?"$2`)))
	if d.Root == nil {
		return fmt.Errorf("%q is not an answer to %q: %s", value, id, howToWrite(f, value))
	}
	a, known, bad := source.Answer(f, d.Root)
	if bad != nil {
		return bad
	}
	delete(into, id)
	delete(notKnown, id)
	if known {
		into[id] = a
	} else {
		notKnown[id] = true
	}
	return nil
}

// Told reports whether the site has an answer to a question, if only that it is not known.
func (j *Job) Told(f *rules.Fact) bool {
	_, answered := j.Site[f.ID]
	return answered || j.NotKnown[f.ID]
}

// howToWrite says what is wrong with an answer that cannot be read at all.
func howToWrite(f *rules.Fact, value string) string {
	value = strings.TrimSpace(value)
	switch opened, closed := strings.HasPrefix(value, "["), strings.HasSuffix(value, "]"); {
	case value == "":
		return "write one after the =, or ? where it is not known"
	case opened && !closed:
		return "the list lacks its closing ]"
	case closed && !opened:
		return "the list lacks its opening ["
	case f.Kind == rules.Number:
		return "write a number, or a range such as 2..4"
	}
	return "write a value, or several as [one, other]"
}

// bareMore finds a ? that stands for itself: in YAML it would begin a key, so it is put in quotes.
var bareMore = regexp.MustCompile(`(^\s*|[\[,]\s*)\?(\s*[\],]|\s*$)`)

// Keep leaves only the elements of the given names in the job; no names keep all.
func (j *Job) Keep(names []string) error {
	if len(names) == 0 {
		return nil
	}
	var kept []*Element
	for _, name := range names {
		e := j.Element(name)
		if e == nil {
			var known []string
			for _, e := range j.Elements {
				known = append(known, e.Name)
			}
			return errors.New(strings.TrimSpace(fmt.Sprintf("the job has no part named %q. %s", name, rules.DidYouMean(name, known))))
		}
		kept = append(kept, e)
	}
	j.Elements = kept
	return nil
}

// Merge takes over the answers of another job, and what it tells for the sums: they win over those that are there. Parts
// are matched by name, and new ones are added without their logs, which are a record of the other job.
func (j *Job) Merge(other *Job) {
	if j.Title == "" {
		j.Title = other.Title
	}
	take(j.Site, j.NotKnown, other.Site, other.NotKnown)
	if other.Takeoff != nil {
		j.Takeoff = other.Takeoff
	}
	for _, from := range other.Elements {
		e := j.Like(from.Name)
		if e == nil {
			e = NewElement(from.Name)
			j.Elements = append(j.Elements, e)
		}
		take(e.Answers, e.NotKnown, from.Answers, from.NotKnown)
		if from.Takeoff != nil {
			e.Takeoff = from.Takeoff
		}
	}
}

func take(into rules.Answers, notKnown map[string]bool, from rules.Answers, fromNotKnown map[string]bool) {
	for id, a := range from {
		into[id] = a
		delete(notKnown, id)
	}
	for id := range fromNotKnown {
		if _, answered := into[id]; !answered {
			notKnown[id] = true
		}
	}
}
