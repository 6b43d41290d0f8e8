package source

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"sync"

	"gopkg.in/yaml.v3"

	"patchfirst/rules"
)

// Figures says which facts a figure function reads, by the function's name.
type Figures map[string][]string

// Base reads every .yaml file of a folder as one rule base, and binds it. All mistakes are returned together, as
// rules.Problems. name stands before the file names in messages.
func Base(fsys fs.FS, name string, figures Figures) (*rules.Base, error) {
	r, err := parse(fsys, name, figures)
	if err != nil {
		return nil, err
	}
	return r.read()
}

// parse parses every .yaml file of a folder.
func parse(fsys fs.FS, name string, figures Figures) (*reader, error) {
	paths, err := fs.Glob(fsys, "*.yaml")
	if err != nil || len(paths) == 0 {
		return nil, fmt.Errorf("%s holds no .yaml files: it is no rule base", name)
	}
	slices.Sort(paths)
	r := &reader{base: &rules.Base{}, figures: figures}
	digest := sha256.New()
	r.docs = make([]*Document, len(paths))
	var parsing sync.WaitGroup
	for i, p := range paths {
		data, err := fs.ReadFile(fsys, p)
		if err != nil {
			return nil, fileError(path.Join(name, p), err)
		}
		fmt.Fprintf(digest, "%s\n%d\n", p, len(data))
		digest.Write(data)
		parsing.Go(func() { r.docs[i] = Parse(path.Join(name, p), data) })
	}
	parsing.Wait()
	r.base.Digest = hex.EncodeToString(digest.Sum(nil))[:16]
	return r, nil
}

type reader struct {
	base    *rules.Base
	docs    []*Document
	figures Figures
	later   []func() // what needs the facts, methods and notes of all files
}

// entry says how an entry of the base is read: its first key names its kind.
type entry struct {
	keys []string
	read func(r *reader, o *Object)
}

var entries = map[string]entry{
	"version":     {nil, (*reader).version},
	"fact":        {[]string{"label", "topic", "scope", "ask", "why", "find_out", "type", "most", "values", "unit", "from", "to", "step", "blank", "change", "final", "applies", "else", "order", "first", "last", "at_least_when", "sources"}, (*reader).fact},
	"group":       {[]string{"of", "is"}, (*reader).group},
	"finding":     {[]string{"label", "scale"}, (*reader).finding},
	"method":      {[]string{"label", "about", "needs", "competence", "time", "dust", "fume", "mess", "keeps", "always_refused", "last_resort", "sources"}, (*reader).method},
	"rule":        {[]string{"when", "rule_out", "no_use", "discourage", "favour", "raise", "caution", "step", "hold", "refer", "with", "because", "sources"}, (*reader).rule},
	"table":       {[]string{"rows", "columns", "values", "ranks", "cells"}, (*reader).table},
	"constraint":  {[]string{"never", "because", "sources"}, (*reader).constraint},
	"promise":     {[]string{"when", "never_offered", "never_first", "always_with", "caution", "step", "hold", "refer", "because", "sources"}, (*reader).promise},
	"limit":       {[]string{"of", "stage", "when", "with", "least", "most", "unit", "needs", "hold", "say", "because", "sources"}, (*reader).limit},
	"caution":     {[]string{"gravity", "say", "do", "sources"}, (*reader).note},
	"step":        {[]string{"stage", "say", "sources"}, (*reader).note},
	"hold":        {[]string{"stage", "say", "sources"}, (*reader).note},
	"refer":       {[]string{"say", "meanwhile", "sources"}, (*reader).note},
	"stages":      {[]string{"table", "takes", "not_after"}, (*reader).stages},
	"source":      {[]string{"body", "title", "where", "year", "read"}, (*reader).source},
	"term":        {[]string{"say", "also", "sources"}, (*reader).term},
	"coefficient": {[]string{"is", "of", "where", "say", "sources"}, (*reader).coefficient},
}

func (r *reader) read() (*rules.Base, error) {
	kinds := make([]string, 0, len(entries))
	for k := range entries {
		kinds = append(kinds, k)
	}
	slices.Sort(kinds)
	for _, d := range r.docs {
		if d.Root == nil {
			continue
		}
		for _, n := range d.Items(d.Root, "a file of a rule base") {
			if n.Kind != yaml.MappingNode || len(n.Content) == 0 {
				d.Fail(n, "Begin it with its kind, such as rule: some-id.", "an entry must be a list of keys and values")
				continue
			}
			kind := n.Content[0].Value
			e, ok := entries[kind]
			if !ok {
				d.Fail(n.Content[0], rules.DidYouMean(kind, kinds), "there is no kind of entry %q", kind)
				continue
			}
			if o := d.Object(n, "a "+kind, append([]string{kind}, e.keys...)...); o.Need(kind) != "" {
				e.read(r, o)
			}
		}
	}
	if problems := r.problems(); len(problems) > 0 {
		return nil, problems
	}
	r.addAll(r.base.Index())
	if problems := r.problems(); len(problems) > 0 {
		return nil, problems
	}
	for _, f := range r.later {
		f()
	}
	if problems := r.problems(); len(problems) > 0 {
		return nil, problems
	}
	r.addAll(r.base.Bind())
	if problems := r.problems(); len(problems) > 0 {
		return nil, problems
	}
	return r.base, nil
}

func (r *reader) problems() (all rules.Problems) {
	for _, d := range r.docs {
		all = append(all, d.Problems...)
	}
	all.Sort()
	return all
}

// addAll gives mistakes found by the rules to the documents they stand in.
func (r *reader) addAll(problems rules.Problems) {
	for _, p := range problems {
		for _, d := range r.docs {
			if d.File == p.Pos.File {
				d.Add(p)
			}
		}
	}
}
