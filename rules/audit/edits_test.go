package audit

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"gopkg.in/yaml.v3"
	"pgregory.net/rapid"

	"patchfirst/rules/source"
)

// entry is an entry of a base as a test writes it.
type entry struct {
	kind, id string
	keys     []string
	says     map[string]any
}

// drawEntries draws entries whose ids are all different. Their texts hold what lists and mappings are written with.
func drawEntries(t *rapid.T) (all []entry) {
	ids := rapid.SliceOfNDistinct(rapid.StringMatching(`[a-z]{1,3}`), 1, 5, rapid.ID).Draw(t, "ids")
	for _, id := range ids {
		e := entry{kind: rapid.SampledFrom([]string{"rule", "fact", "method", "step"}).Draw(t, "kind"), id: id, says: map[string]any{}}
		e.keys = rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"when", "because", "favour", "values", "sources"}), 0, 4, rapid.ID).Draw(t, "keys")
		for _, k := range e.keys {
			e.says[k] = value.Draw(t, k)
		}
		all = append(all, e)
	}
	return all
}

var (
	text   = rapid.SampledFrom([]string{"", "a", "b", "a  b", "a b", "a\nb", "a, b", "a: b", `"a"`, "no", "7", `size == "big"`, `"red" in on`, "# a"})
	inside = rapid.OneOf(text, rapid.SampledFrom([]string{"a: b, c: d", "[a]", "{a: b}", "[]", "a]", `a"`, `\`}))
	value  = rapid.OneOf(text.AsAny(), rapid.SliceOfN(inside, 0, 3).AsAny(), rapid.MapOfN(rapid.SampledFrom([]string{"a", "b", "c"}), inside, 0, 3).AsAny())
)

// clone copies entries, so that one side can be changed.
func clone(all []entry) []entry {
	all = slices.Clone(all)
	for i := range all {
		all[i].keys, all[i].says = slices.Clone(all[i].keys), maps.Clone(all[i].says)
	}
	return all
}

// written writes entries to a file and reads them back.
func written(t *rapid.T, all []entry) []source.Entry {
	root := &yaml.Node{Kind: yaml.SequenceNode}
	for _, e := range all {
		n := &yaml.Node{Kind: yaml.MappingNode}
		add := func(key string, v any) {
			var k, node yaml.Node
			k.SetString(key)
			if err := node.Encode(v); err != nil {
				t.Fatal(err)
			}
			n.Content = append(n.Content, &k, &node)
		}
		add(e.kind, e.id)
		for _, k := range e.keys {
			add(k, e.says[k])
		}
		root.Content = append(root.Content, n)
	}
	data, err := yaml.Marshal(root)
	if err != nil {
		t.Fatal(err)
	}
	entries, err := source.Entries(fstest.MapFS{"b.yaml": {Data: data}}, "b")
	if err != nil || len(entries) != len(all) {
		t.Fatalf("%d entries of %d: %v", len(entries), len(all), err)
	}
	return entries
}

// told writes edits without their places and texts.
func told(all []Edit) []string {
	lines := []string{}
	for _, e := range all {
		lines = append(lines, fmt.Sprintf("%s %s is %s: %s", e.Kind, e.ID, e.Did, strings.Join(e.Keys, ", ")))
	}
	return lines
}

// flowed is a value with the words of its texts one space apart: how a text is broken into lines is no edit.
func flowed(v any) any {
	words := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	switch v := v.(type) {
	case []string:
		list := []string{}
		for _, s := range v {
			list = append(list, words(s))
		}
		return list
	case map[string]string:
		all := map[string]string{}
		for k, s := range v {
			all[k] = words(s)
		}
		return all
	}
	return words(v.(string))
}

// A base does not differ from itself, each single change of it is told once, and in the other direction it is told the
// other way round.
func TestEachEditIsToldOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		old := drawEntries(t)
		next := clone(old)
		i := rapid.IntRange(0, len(old)-1).Draw(t, "entry")
		e := &next[i]
		want, back := "", ""
		change := func(key string) {
			want = fmt.Sprintf("%s %s is changed: %s", e.kind, e.id, key)
			back = want
		}
		absent := slices.DeleteFunc([]string{"when", "because", "favour", "values", "sources"}, func(k string) bool { return slices.Contains(e.keys, k) })
		switch did := rapid.SampledFrom([]string{"add", "remove", "change a key", "add a key", "remove a key", "move", "nothing"}).Draw(t, "what"); {
		case did == "add":
			next = slices.Insert(next, i, entry{kind: "rule", id: "added", says: map[string]any{}})
			want, back = "rule added is added: ", "rule added is removed: "
		case did == "remove":
			want, back = fmt.Sprintf("%s %s is removed: ", e.kind, e.id), fmt.Sprintf("%s %s is added: ", e.kind, e.id)
			next = slices.Delete(next, i, i+1)
		case did == "move":
			to := rapid.IntRange(0, len(old)-1).Draw(t, "to")
			moved := next[i]
			next = slices.Insert(slices.Delete(next, i, i+1), to, moved)
			passed := slices.ContainsFunc(old[min(i, to):max(i, to)+1], func(e entry) bool { return e.kind == moved.kind && e.id != moved.id })
			if passed && slices.Contains([]string{"method", "step"}, moved.kind) {
				want = moved.kind + " is moved"
				back = want
			}
		case did == "change a key" && len(e.keys) > 0:
			key := rapid.SampledFrom(e.keys).Draw(t, "key")
			was := e.says[key]
			if e.says[key] = value.Draw(t, "value"); !reflect.DeepEqual(flowed(was), flowed(e.says[key])) {
				change(key)
			}
		case did == "add a key" && len(absent) > 0:
			key := rapid.SampledFrom(absent).Draw(t, "key")
			e.keys, e.says[key] = append(e.keys, key), value.Draw(t, "value")
			change(key)
		case did == "remove a key" && len(e.keys) > 0:
			k := rapid.IntRange(0, len(e.keys)-1).Draw(t, "key")
			change(e.keys[k])
			e.keys = slices.Delete(e.keys, k, k+1)
		}
		a, b := written(t, old), written(t, next)
		for _, one := range []struct {
			got  []Edit
			want string
		}{{edits(a, a), ""}, {edits(b, b), ""}, {edits(a, b), want}, {edits(b, a), back}} {
			lines := told(one.got)
			if len(lines) == 1 && one.got[0].Did == "moved" {
				lines[0] = one.got[0].Kind + " is moved" // of two that change places either may be told
			}
			if one.want == "" && len(lines) > 0 || one.want != "" && !slices.Equal(lines, []string{one.want}) {
				t.Fatalf("%v is told, not %q, of\n%v\n%v", lines, one.want, old, next)
			}
			for _, e := range one.got {
				if e.Did == "changed" && e.Was == e.Is && e.Is != "" {
					t.Fatalf("%v is shown as %q twice", e, e.Was)
				}
			}
		}
	})
}

// Values that look alike without quotes are not the same.
func TestEditsTellLikeValuesApart(t *testing.T) {
	for _, pair := range [][2]string{
		{`[a, b]`, `["a, b"]`}, {`{a: b, c: d}`, `{a: "b, c: d"}`}, {`[]`, `[""]`}, {`[[a]]`, `["[a]"]`}, {`[{a: b}]`, `["{a: b}"]`}, {`{a: [b]}`, `{a: "[b]"}`}, {`[a, '"b"']`, `[a, b]`},
	} {
		read := func(value string) []source.Entry {
			entries, err := source.Entries(fstest.MapFS{"b.yaml": {Data: []byte("- rule: r\n  favour: " + value + "\n")}}, "b")
			if err != nil {
				t.Fatal(err)
			}
			return entries
		}
		got := edits(read(pair[0]), read(pair[1]))
		if !slices.Equal(told(got), []string{"rule r is changed: favour"}) || got[0].Was == got[0].Is {
			t.Errorf("of %s and %s is told %v", pair[0], pair[1], got)
		}
	}
}
