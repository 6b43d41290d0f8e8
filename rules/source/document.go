// Package source reads YAML files in which every mistake is worth naming with its place: rule bases, and, through
// Document, job and case files. It knows no trade.
package source

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"patchfirst/rules"
)

// MaxBytes is the size of the largest file that is read: a longer one is not a file of this kind.
const MaxBytes = 4 << 20

// maxDepth is the deepest nesting that any of the formats needs, and some to spare.
const maxDepth = 20

// Document is a YAML file with all that was found wrong in it.
type Document struct {
	File     string
	Root     *yaml.Node // nil if the file is empty or cannot be read
	Problems rules.Problems
	lines    []string
}

// ReadFile reads a YAML file; the path "-" is standard input. Errors are of the file system and worded for people.
func ReadFile(path string, stdin io.Reader) ([]byte, error) {
	if path == "-" {
		return readAll("standard input", stdin)
	}
	info, err := os.Stat(path)
	if err != nil {
		return nil, fileError(path, err)
	}
	if info.IsDir() {
		return nil, fmt.Errorf("%s is a folder, not a file: name a file in it", path)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fileError(path, err)
	}
	defer f.Close()
	return readAll(path, f)
}

func readAll(name string, r io.Reader) ([]byte, error) {
	data, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, fileError(name, err)
	}
	if len(data) > MaxBytes {
		return nil, fmt.Errorf("%s is larger than %d MB: it is no file of this kind", name, MaxBytes>>20)
	}
	return data, nil
}

func fileError(path string, err error) error {
	switch {
	case errors.Is(err, os.ErrNotExist):
		return fmt.Errorf("there is no file %s", path)
	case errors.Is(err, os.ErrPermission):
		return fmt.Errorf("%s may not be read by this user", path)
	}
	var pathErr *os.PathError
	if errors.As(err, &pathErr) {
		err = pathErr.Err
	}
	return fmt.Errorf("%s cannot be read: %v", path, err)
}

var bareMark = regexp.MustCompile(`([\[,:][ ]*)\?([ ]*[],}\r\n])`)

var yamlLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?`)

// Parse reads YAML text. What is wrong with it is in Problems.
func Parse(file string, data []byte) *Document {
	d := &Document{File: file}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if !utf8.Valid(data) || bytes.IndexByte(data, 0) >= 0 {
		d.fail(rules.Pos{File: file}, "", "this is not a text file")
		return d
	}
	d.lines = strings.Split(strings.ReplaceAll(string(data), "\r\n", "\n"), "\n")
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var root yaml.Node
	err := dec.Decode(&root)
	if err != nil {
		// YAML takes a bare ? for the mark of a key. Here it is the answer "not known": try it as if it were quoted.
		again := yaml.NewDecoder(bytes.NewReader(bareMark.ReplaceAll(data, []byte(`${1}"?"${2}`))))
		if again.Decode(&root) == nil {
			dec, err = again, nil
		}
	}
	if err != nil {
		if errors.Is(err, io.EOF) {
			return d
		}
		pos := rules.Pos{File: file}
		if m := yamlLine.FindStringSubmatch(err.Error()); m != nil && m[1] != "" {
			pos.Line, _ = strconv.Atoi(m[1])
		}
		if line := d.broken(); line > 0 {
			pos.Line = line
		}
		d.fail(pos, "Check the indentation, the quotes and the colons at or just above this line.", "the file cannot be read as YAML, near here: %s", yamlLine.ReplaceAllString(err.Error(), ""))
		return d
	}
	if err := dec.Decode(new(yaml.Node)); !errors.Is(err, io.EOF) {
		d.fail(rules.Pos{File: file}, `Take out what follows the line "---".`, "the file holds more than one YAML document")
		return d
	}
	d.Root = root.Content[0]
	d.checkShape(d.Root, 0)
	if len(d.Problems) > 0 {
		d.Root = nil
	}
	return d
}

// broken finds the line with which a file stops to be YAML. The parser names the line on which what it was reading began,
// which may be the first of the file. Of the first top entry that cannot be read by itself it is the line after the
// longest beginning that can. 0: it is not found.
func (d *Document) broken() int {
	const longest = 500 // lines of an entry that are tried one after another
	fails := func(lines []string) bool {
		var n yaml.Node
		err := yaml.Unmarshal([]byte(strings.Join(lines, "\n")), &n)
		return err != nil && yaml.Unmarshal(bareMark.ReplaceAll([]byte(strings.Join(lines, "\n")), []byte(`${1}"?"${2}`)), &n) != nil
	}
	from := 0
	for to := 1; to <= len(d.lines); to++ {
		if to < len(d.lines) && !strings.HasPrefix(d.lines[to], "- ") {
			continue
		}
		entry := d.lines[from:to]
		if fails(entry) {
			n := min(len(entry), longest)
			if n < len(entry) && !fails(entry[:n]) {
				return 0
			}
			for ; n > 0; n-- {
				if !fails(entry[:n]) {
					return from + n + 1
				}
			}
			return from + 1
		}
		from = to
	}
	return 0
}

// checkShape refuses what no format here needs and what could explode: aliases, anchors and deep nesting.
func (d *Document) checkShape(n *yaml.Node, depth int) {
	switch {
	case n.Kind == yaml.AliasNode || n.Anchor != "":
		d.Fail(n, "Write the content out in each place.", "anchors and aliases are not used here")
		return
	case depth > maxDepth:
		d.Fail(n, "", "this is nested more than %d deep", maxDepth)
		return
	}
	for _, c := range n.Content {
		d.checkShape(c, depth+1)
		if len(d.Problems) > 0 {
			return
		}
	}
}

// Pos returns the place of a node.
func (d *Document) Pos(n *yaml.Node) rules.Pos {
	return rules.Pos{File: d.File, Line: n.Line, Col: n.Column}
}

// Fail notes a mistake at a node.
func (d *Document) Fail(n *yaml.Node, fix, format string, args ...any) {
	d.fail(d.Pos(n), fix, format, args...)
}

func (d *Document) fail(pos rules.Pos, fix, format string, args ...any) {
	d.Add(rules.Diagnostic{Pos: pos, Summary: fmt.Sprintf(format, args...), Fix: fix})
}

// Add notes a mistake that was found elsewhere, and gives it the line it stands in.
func (d *Document) Add(p rules.Diagnostic) {
	if p.Pos.Line >= 1 && p.Pos.Line <= len(d.lines) {
		p.Excerpt = d.lines[p.Pos.Line-1]
	}
	d.Problems = append(d.Problems, p)
}

// Object is a YAML mapping whose keys were checked.
type Object struct {
	Doc  *Document
	Node *yaml.Node
	at   map[string]*yaml.Node
	keys []string
}

// Object checks that n is a mapping with none but the known keys, each once. It returns nil if it is no mapping.
func (d *Document) Object(n *yaml.Node, what string, known ...string) *Object {
	if n.Kind != yaml.MappingNode {
		fix := "Write key: value."
		if len(known) > 0 {
			fix = fmt.Sprintf("Write %s: ...", known[0])
		}
		d.Fail(n, fix, "%s must be a list of keys and values", what)
		return nil
	}
	o := &Object{Doc: d, Node: n, at: map[string]*yaml.Node{}}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		switch {
		case o.at[key.Value] != nil:
			d.Fail(key, "Keep one of them.", "the key %q stands here twice", key.Value)
		case len(known) > 0 && !slices.Contains(known, key.Value):
			d.Fail(key, rules.DidYouMean(key.Value, known), "%s has no key %q", what, key.Value)
		default:
			o.keys = append(o.keys, key.Value)
		}
		o.at[key.Value] = n.Content[i+1]
	}
	return o
}

// Keys lists the keys in the order of the file.
func (o *Object) Keys() []string { return o.keys }

// Get returns the node of a key, or nil.
func (o *Object) Get(key string) *yaml.Node { return o.at[key] }

// Key returns the node of the key itself, for the place of a mistake about it.
func (o *Object) Key(key string) *yaml.Node {
	for i := 0; i+1 < len(o.Node.Content); i += 2 {
		if o.Node.Content[i].Value == key {
			return o.Node.Content[i]
		}
	}
	return o.Node
}

// Text returns the text of a key, or "" if it is absent.
func (o *Object) Text(key string) string {
	n := o.at[key]
	if n == nil {
		return ""
	}
	if n.Kind != yaml.ScalarNode {
		o.Doc.Fail(n, "", "%q must be text", key)
		return ""
	}
	return strings.TrimSpace(n.Value)
}

// Need is Text, and an absent or empty text is a mistake.
func (o *Object) Need(key string) string {
	t := o.Text(key)
	if t == "" {
		n := o.Node
		if o.at[key] != nil {
			n = o.at[key]
		}
		o.Doc.Fail(n, fmt.Sprintf("Add %s: ...", key), "%q is missing", key)
	}
	return t
}

// Word is Need for a text that must be one of some words.
func (o *Object) Word(key string, known ...string) string {
	t := o.Need(key)
	if t != "" && !slices.Contains(known, t) {
		o.Doc.Fail(o.at[key], rules.DidYouMean(t, known), "%q is not known for %q", t, key)
	}
	return t
}

// List returns the texts of a key: a list, or a single text.
func (o *Object) List(key string) []string {
	n := o.at[key]
	if n == nil {
		return nil
	}
	return o.Doc.Texts(n, key)
}

// Texts returns the texts of a node: a list of scalars, or one scalar.
func (d *Document) Texts(n *yaml.Node, what string) []string {
	switch n.Kind {
	case yaml.ScalarNode:
		if n.Tag == "!!null" {
			return nil
		}
		return []string{n.Value}
	case yaml.SequenceNode:
		texts := make([]string, 0, len(n.Content))
		for _, c := range n.Content {
			if c.Kind != yaml.ScalarNode {
				d.Fail(c, "", "%q must be a list of words", what)
				continue
			}
			texts = append(texts, c.Value)
		}
		return texts
	}
	d.Fail(n, "", "%q must be a list of words", what)
	return nil
}

// Number returns the number of a key, or the given one if it is absent.
func (o *Object) Number(key string, absent float64) float64 {
	n := o.at[key]
	if n == nil {
		return absent
	}
	v, err := strconv.ParseFloat(n.Value, 64)
	if n.Kind != yaml.ScalarNode || err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		o.Doc.Fail(n, "Write a plain number.", "%q must be a number", key)
		return absent
	}
	return v
}

// Flag returns whether a key says true.
func (o *Object) Flag(key string) bool {
	n := o.at[key]
	if n == nil {
		return false
	}
	if n.Value != "true" && n.Value != "false" {
		o.Doc.Fail(n, "Write true or false.", "%q is true or false", key)
	}
	return n.Value == "true"
}

// Items returns the nodes of a list, none if it is absent.
func (d *Document) Items(n *yaml.Node, what string) []*yaml.Node {
	if n == nil {
		return nil
	}
	if n.Kind != yaml.SequenceNode {
		d.Fail(n, "", "%s must be a list", what)
		return nil
	}
	return n.Content
}

// at returns a function that places the runes of a scalar's text in the file.
func (d *Document) at(n *yaml.Node) func(int) rules.Pos {
	return func(r int) rules.Pos {
		pos := d.Pos(n)
		switch n.Style {
		case yaml.LiteralStyle, yaml.FoldedStyle:
			// The node's place is the indicator's. Find the rune's line in the text below it.
			text := string([]rune(n.Value)[:min(r, utf8.RuneCountInString(n.Value))])
			pos.Line += 1 + strings.Count(text, "\n")
			if pos.Line <= len(d.lines) {
				// What the file's line has before the text's line is the indentation of the block.
				start := strings.LastIndex(text, "\n") + 1
				own, _, _ := strings.Cut(n.Value[start:], "\n")
				indent := len(d.lines[pos.Line-1]) - len(own)
				pos.Col = 1 + max(0, indent) + utf8.RuneCountInString(text[start:])
			}
		case yaml.DoubleQuotedStyle, yaml.SingleQuotedStyle:
			pos.Col += r + 1
		default:
			pos.Col += r
		}
		return pos
	}
}

// Place returns the node of a key, or of the whole object where the key is absent.
func (o *Object) Place(key string) *yaml.Node {
	if n := o.at[key]; n != nil {
		return n
	}
	return o.Node
}
