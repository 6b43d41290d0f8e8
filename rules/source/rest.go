package source

import (
	"errors"
	"io/fs"
	"slices"

	"gopkg.in/yaml.v3"

	"patchfirst/rules"
)

// Rest reads a base as Base does. Where all mistakes stand in rules, constraints and promises, and the other entries make a
// base, it returns that with the mistakes, and names what it left out, as "rule r".
func Rest(fsys fs.FS, name string, figures Figures) (b *rules.Base, left []string, err error) {
	b, err = Base(fsys, name, figures)
	var mistakes rules.Problems
	if !errors.As(err, &mistakes) {
		return b, nil, err
	}
	r, again := parse(fsys, name, figures)
	if again != nil {
		return nil, nil, err
	}
	left, ok := r.leaveOut(mistakes)
	if !ok {
		return nil, nil, err
	}
	if b, again = r.read(); again != nil {
		return nil, nil, err
	}
	return b, left, err
}

// leaveOut takes the entries with mistakes out of the files. Not ok: some mistake stands in no rule, constraint or promise.
func (r *reader) leaveOut(mistakes rules.Problems) (left []string, ok bool) {
	found := 0
	for _, d := range r.docs {
		var at []*yaml.Node
		for _, m := range mistakes {
			if m.Pos.File != d.File {
				continue
			}
			n := d.around(m.Pos.Line)
			if n == nil {
				return nil, false
			}
			if found++; !slices.Contains(at, n) {
				at = append(at, n)
				left = append(left, n.Content[0].Value+" "+n.Content[1].Value)
			}
		}
		if at != nil {
			d.Root.Content = slices.DeleteFunc(d.Root.Content, func(n *yaml.Node) bool { return slices.Contains(at, n) })
		}
	}
	return left, found == len(mistakes)
}

// around finds the rule, constraint or promise in which a line stands.
func (d *Document) around(line int) *yaml.Node {
	if d.Root == nil || d.Root.Kind != yaml.SequenceNode {
		return nil
	}
	for _, n := range slices.Backward(d.Root.Content) {
		if n.Line > line {
			continue
		}
		if n.Kind == yaml.MappingNode && len(n.Content) > 1 && slices.Contains([]string{"rule", "constraint", "promise"}, n.Content[0].Value) {
			return n
		}
		return nil
	}
	return nil
}
