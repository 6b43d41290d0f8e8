package lesson

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"patchfirst/explain"
	"patchfirst/interview/job"
	"patchfirst/rules"
)

// Made is a lesson that was made, with its text.
type Made struct {
	*Lesson
	node *yaml.Node
}

// Write writes lessons as a lesson file.
func Write(made []*Made) ([]byte, error) {
	list := &yaml.Node{Kind: yaml.SequenceNode}
	for _, m := range made {
		list.Content = append(list.Content, m.node)
	}
	var b bytes.Buffer
	b.WriteString("# Made by patchfirst lesson make.\n")
	enc := yaml.NewEncoder(&b)
	enc.SetIndent(2)
	if err := enc.Encode(list); err != nil {
		return nil, err
	}
	return b.Bytes(), enc.Close()
}

// lesson writes a pair as a lesson and checks it; nil if it cannot be taught so.
func (m *maker) lesson(p *pair, level string) *Made {
	b := m.s.Base
	given := maps.Clone(p.first)
	var exercises []*yaml.Node
	if level == Levels[2] { // the answer that decides must first be asked for
		delete(given, p.fact.ID)
		exercises = append(exercises, entry("ask", MissingQuestion, "then", job.Node(b, rules.Answers{p.fact.ID: p.first[p.fact.ID]})))
	}
	changed := entry("ask", WhatChanged, "method", p.method.ID, "to", job.Node(b, rules.Answers{p.fact.ID: p.second}))
	if level != Levels[0] {
		options, ok := m.options(p, level)
		if !ok {
			return nil
		}
		exercises = append(exercises, entry("ask", RuleOut, "options", options))
	}
	exercises = append(exercises, changed)
	return m.checked(m.entry(target{p.rule, p.method}, given, level, exercises...))
}

// danger makes a lesson for a target of which no pair can be made, because other rules refuse the method too: the rule is
// one danger among others that are none here.
func (m *maker) danger(t target, level, seed string) *Made {
	for _, tale := range m.near(t, seed) {
		values, ok := m.space.Near(tale.values, m.node(t.rule))
		if !ok {
			return nil
		}
		given := m.told(tale, values, m.space.Reads(m.node(t.rule)))
		x, err := m.s.explain(&Lesson{}, given)
		if err != nil {
			continue
		}
		const others = 3
		options := []string{t.rule.ID}
		for _, r := range shuffled(m.s.Base.Rules, seed+t.rule.ID, ruleName) {
			if len(options) <= others && refuses(r) && r.Because != t.rule.Because && x.Decision().Never(r) {
				options = append(options, r.ID)
			}
		}
		ask := entry("ask", FindDanger, "method", t.method.ID, "options", list(options...))
		if made := m.checked(m.entry(t, given, Levels[0], ask)); made != nil && (level == "" || made.Level == level) {
			return made
		}
	}
	return nil
}

// entry writes a lesson about a target.
func (m *maker) entry(t target, given rules.Answers, level string, exercises ...*yaml.Node) *yaml.Node {
	title := fmt.Sprintf("%s: %s?", explain.Answer(m.s.Base.Fact("part"), given["part"]), t.method.Label)
	story := fmt.Sprintf("Somewhere at Gannet Ness there is work to do. Someone proposes this: %s. Look at what is known, and at what one answer changes.", t.method.Label)
	name := strings.ReplaceAll(t.rule.ID[strings.LastIndex(t.rule.ID, "/")+1:], "_", "-")
	return entry("case", title, "lesson", name, "level", level, "source", "invented", "story", story, "given", job.Node(m.s.Base, given),
		"expect", entry("ruled_out", list(t.method.ID)), "teaches", list(t.rule.ID), "exercises", &yaml.Node{Kind: yaml.SequenceNode, Content: exercises})
}

// checked reads a lesson as a person's would be read, and poses all of it. Its level is the one that it comes to.
func (m *maker) checked(n *yaml.Node) *Made {
	text, err := Write([]*Made{{node: n}})
	if err != nil {
		return nil
	}
	lessons, problems := Read(m.s.Base, "made", text)
	if len(problems) > 0 || len(lessons) != 1 {
		return nil
	}
	l := lessons[0]
	c, err := m.s.Check(l)
	if err != nil || len(c.Problems) > 0 || !slices.Contains(c.Refusing, l.Teaches[0]) {
		return nil
	}
	l.Level = c.Level
	set(n, "level", c.Level)
	return &Made{l, n}
}

// options are the method in question, what is first there, and others that are offered or refused: more where it is hard.
func (m *maker) options(p *pair, level string) (*yaml.Node, bool) {
	x, err := m.s.explain(&Lesson{}, p.first)
	if err != nil {
		return nil, false
	}
	each := 2
	if level == Levels[2] {
		each = 4
	}
	d := x.Decision()
	ids := []string{p.method.ID}
	add := func(all []*rules.Outcome) {
		for _, o := range all[:min(each, len(all))] {
			if !slices.Contains(ids, o.Method.ID) {
				ids = append(ids, o.Method.ID)
			}
		}
	}
	add([]*rules.Outcome{d.First})
	add(d.Fallback)
	add(tempting(d))
	const most = 9
	return list(ids[:min(most, len(ids))]...), true
}

func entry(pairs ...any) *yaml.Node {
	n := &yaml.Node{Kind: yaml.MappingNode}
	for i := 0; i+1 < len(pairs); i += 2 {
		value, ok := pairs[i+1].(*yaml.Node)
		if !ok {
			value = scalar(fmt.Sprint(pairs[i+1]))
		}
		n.Content = append(n.Content, scalar(pairs[i].(string)), value)
	}
	return n
}

func scalar(s string) *yaml.Node {
	n := &yaml.Node{}
	n.SetString(s)
	return n
}

func list(ids ...string) *yaml.Node {
	n := &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle}
	for _, id := range ids {
		n.Content = append(n.Content, scalar(id))
	}
	return n
}

func set(n *yaml.Node, key, value string) {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			n.Content[i+1] = scalar(value)
		}
	}
}
