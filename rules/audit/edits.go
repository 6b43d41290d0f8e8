package audit

import (
	"fmt"
	"slices"
	"strings"

	"patchfirst/rules"
	"patchfirst/rules/source"
)

// Edit is an entry of a base that was added, removed, changed or moved. Only methods and steps are told to be moved: the
// gentlest method stands first, and the work is done in the order of the steps.
type Edit struct {
	Kind, ID string
	Did      string // added, removed, changed or moved
	Keys     []string
	Pos      rules.Pos // on the side that has it, the new one if both do
	Was, Is  string    // of a change of one key
}

func (e Edit) String() string {
	line := fmt.Sprintf("%s: %s %s is %s", e.Pos, e.Kind, e.ID, e.Did)
	if len(e.Keys) > 0 {
		line += ": " + strings.Join(e.Keys, ", ")
	}
	if e.Was != "" || e.Is != "" {
		line += fmt.Sprintf("\n    - %s\n    + %s", e.Was, e.Is)
	}
	return line
}

// edits compares the entries of two bases as they are written.
func edits(old, new []source.Entry) []Edit {
	return slices.Concat(rewritten(old, new), moved("method", old, new), moved("step", old, new))
}

// moved tells the fewest entries of a kind that must be put elsewhere to come from the old order of those that both bases
// have to the new one: all that do not belong to the longest run that is in order on both sides.
func moved(kind string, old, new []source.Entry) (all []Edit) {
	was := map[string]int{}
	for i, e := range old {
		if e.Kind == kind {
			was[e.ID] = i
		}
	}
	var both []source.Entry
	for _, e := range new {
		if _, ok := was[e.ID]; ok && e.Kind == kind {
			both = append(both, e)
		}
	}
	// run is the longest run that ends with an entry, and before is the entry before it in that run.
	run, before := make([]int, len(both)), make([]int, len(both))
	last := -1
	for i, e := range both {
		run[i], before[i] = 1, -1
		for j := range i {
			if was[both[j].ID] < was[e.ID] && run[j] >= run[i] {
				run[i], before[i] = run[j]+1, j
			}
		}
		if last < 0 || run[i] > run[last] {
			last = i
		}
	}
	stays := map[int]bool{}
	for ; last >= 0; last = before[last] {
		stays[last] = true
	}
	for i, e := range both {
		if !stays[i] {
			all = append(all, Edit{Kind: kind, ID: e.ID, Did: "moved", Pos: e.Pos})
		}
	}
	return all
}

// rewritten tells which entries are added, removed or changed.
func rewritten(old, new []source.Entry) (all []Edit) {
	type key struct {
		kind, id string
		nth      int // of those that have the same id
	}
	keyed := func(entries []source.Entry) (keys []key) {
		count := map[key]int{}
		for _, e := range entries {
			k := key{e.Kind, e.ID, 0}
			count[k]++
			k.nth = count[k]
			keys = append(keys, k)
		}
		return keys
	}
	was := map[key]source.Entry{}
	for i, k := range keyed(old) {
		was[k] = old[i]
	}
	is := map[key]bool{}
	for i, k := range keyed(new) {
		e := new[i]
		if e.Kind == "version" {
			continue
		}
		is[k] = true
		before, ok := was[k]
		if !ok {
			all = append(all, Edit{Kind: e.Kind, ID: e.ID, Did: "added", Pos: e.Pos})
			continue
		}
		var keys []string
		for _, k := range append(slices.Clone(e.Keys), before.Keys...) {
			is, has := e.Says[k]
			was, had := before.Says[k]
			if (is != was || has != had) && !slices.Contains(keys, k) {
				keys = append(keys, k)
			}
		}
		if len(keys) > 0 {
			edit := Edit{Kind: e.Kind, ID: e.ID, Did: "changed", Keys: keys, Pos: e.Pos}
			if len(keys) == 1 {
				edit.Was, edit.Is = before.Says[keys[0]], e.Says[keys[0]]
			}
			all = append(all, edit)
		}
	}
	for i, k := range keyed(old) {
		if e := old[i]; !is[k] && e.Kind != "version" {
			all = append(all, Edit{Kind: e.Kind, ID: e.ID, Did: "removed", Pos: e.Pos})
		}
	}
	return all
}
