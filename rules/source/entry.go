package source

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"patchfirst/rules"
)

// Entry is one entry of a base as it is written, or one cell of a table.
type Entry struct {
	Kind, ID string
	Pos      rules.Pos
	Keys     []string          // in the order of the file
	Says     map[string]string // by key, without regard to how it is laid out
}

// Entries lists the entries of every .yaml file of a folder, without checking them.
func Entries(fsys fs.FS, name string) (all []Entry, err error) {
	paths, err := fs.Glob(fsys, "*.yaml")
	if err != nil {
		return nil, err
	}
	slices.Sort(paths)
	for _, p := range paths {
		data, err := fs.ReadFile(fsys, p)
		if err != nil {
			return nil, fileError(path.Join(name, p), err)
		}
		d := Parse(path.Join(name, p), data)
		if d.Root == nil {
			continue
		}
		for _, n := range d.Root.Content {
			if n.Kind == yaml.MappingNode && len(n.Content) > 1 {
				all = append(all, d.entries(n, "")...)
			}
		}
	}
	return all, nil
}

func (d *Document) entries(n *yaml.Node, in string) (all []Entry) {
	e := Entry{Kind: n.Content[0].Value, ID: in + n.Content[1].Value, Pos: d.Pos(n), Says: map[string]string{}}
	for i := 2; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i].Value, n.Content[i+1]
		if key == "cells" && value.Kind == yaml.SequenceNode {
			for _, c := range value.Content {
				if c.Kind == yaml.MappingNode && len(c.Content) > 1 {
					all = append(all, d.entries(c, e.ID+"/")...)
				}
			}
			continue
		}
		e.Keys = append(e.Keys, key)
		e.Says[key] = flat(value)
	}
	return append([]Entry{e}, all...)
}

// flat writes a node on one line, its words one space apart.
func flat(n *yaml.Node) string {
	var parts []string
	switch n.Kind {
	case yaml.SequenceNode:
		for _, c := range n.Content {
			parts = append(parts, inside(c))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case yaml.MappingNode:
		for i := 0; i+1 < len(n.Content); i += 2 {
			parts = append(parts, fmt.Sprintf("%s: %s", inside(n.Content[i]), inside(n.Content[i+1])))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	}
	return strings.Join(strings.Fields(n.Value), " ")
}

// inside writes a node that stands in a list or mapping: in quotes if it could be taken for more than one, or for none.
func inside(n *yaml.Node) string {
	text := flat(n)
	if n.Kind == yaml.ScalarNode && (text == "" || strings.ContainsAny(text, "[]{},:\"")) {
		return strconv.Quote(text)
	}
	return text
}
