package knowledge_test

import (
	"fmt"
	"maps"
	"math/big"
	"slices"
	"testing"

	"patchfirst/rules"
	"patchfirst/rules/audit"
)

// The same of comparisons: each change of a verdict, finding or note has as many cases as there are when every case is
// decided by both bases, and the first choice moves as it does then.
func TestCompareAgainstEveryCaseOfTheBase(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	for _, test := range []struct {
		name  string
		edits []edit
		tell  []string // what differs, so that the test does not compare nothing
	}{
		{"rules are deleted", []edit{without("no-caustic-on-aluminium-paint"), without("lead-area-sealed-before-the-patch")}, []string{"verdict", "hold"}},
		{"a year is moved and a truth dropped", []edit{{"rule: lead-presumed-uk", "built < 1970", "built <= 1970"}, {entry: "constraint: textured-not-on-solid-wood"}}, []string{"verdict", "finding", "caution", "first"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			left := doorsAndCeilings(false)
			left["children"], left["asbestos_test"] = only("yes"), only("negative")
			c, err := audit.Compare(audit.Side{Base: cutDown(t, baseFiles(t), left)}, audit.Side{Base: cutDown(t, edited(t, baseFiles(t), test.edits...), left)}, nil, nil, nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			w := compareEach(t, c, left)
			for _, key := range slices.Sorted(maps.Keys(w.elsewhere)) {
				t.Errorf("%s: not only where %v", key, w.elsewhere[key])
			}
			if c.Cases.Cmp(big.NewInt(w.both)) != 0 || c.Lost.Cmp(big.NewInt(w.lost)) != 0 || c.Gained.Cmp(big.NewInt(w.gained)) != 0 {
				t.Errorf("%v cases by both, %v lost, %v gained; one by one it is %d, %d, %d", c.Cases, c.Lost, c.Gained, w.both, w.lost, w.gained)
			}
			if c.First.Reach.Cmp(big.NewInt(w.reach)) != 0 {
				t.Errorf("the first choice can change in %v cases, one by one it is %d", c.First.Reach, w.reach)
			}
			said, want, kinds := map[string]bool{}, map[string]bool{}, map[string]bool{}
			for _, ch := range c.Changes {
				kinds[ch.What] = true
				by, _ := c.New.MethodSet(ch.Methods)
				said[fmt.Sprintf("%s in %v with %b", ch.Key(), ch.Cases, by)] = true
			}
			for key, n := range w.changes {
				want[fmt.Sprintf("%s in %d with %b", key, n, w.by[key])] = true
			}
			for _, m := range c.First.Moves {
				kinds["first"] = true
				said[m.Key()] = true
			}
			for key := range w.moves {
				if c.First.NotSettled == 0 || said[key] {
					want[key] = true
				}
			}
			differ(t, said, want)
			for _, kind := range test.tell {
				if !kinds[kind] {
					t.Errorf("no %s differs: the edit says too little", kind)
				}
			}
			t.Logf("%d cases, %d changes, %d moves of the first choice", w.both, len(c.Changes), len(w.moves))
		})
	}
}

// compared is what differs between two bases, counted one by one.
type compared struct {
	both, lost, gained int64
	reach, moved       int64
	changes, moves     map[string]int64
	by                 map[string]rules.MethodSet // methods of a change of a note
	here               []string                   // keys of what differs in the case at hand
	elsewhere          map[string][]string        // by key: a description that some of its cases is not like
}

// compareEach decides every case by both bases, which are laid out alike and have the same methods and notes.
func compareEach(t *testing.T, c *audit.Comparison, left map[string]kept) *compared {
	w := &compared{changes: map[string]int64{}, moves: map[string]int64{}, by: map[string]rules.MethodSet{}, elsewhere: map[string][]string{}}
	before, after := newEnumerator(t, c.Old, left, c.New), newEnumerator(t, c.New, left, c.Old)
	said, where := map[string][]string{}, map[string][]*plain{}
	for _, ch := range c.Changes {
		said[ch.Key()], where[ch.Key()] = ch.Where, after.meanings(ch.Where)
	}
	after.each(func() {
		copy(before.is, after.is)
		if !before.occurs() {
			w.gained++
		}
	})
	before.each(func() {
		copy(after.is, before.is)
		if !after.occurs() {
			w.lost++
			return
		}
		w.both++
		w.here = w.here[:0]
		w.add(c.New, before.decide(), after.decide())
		for _, key := range w.here {
			if !after.meets(where[key]) {
				w.elsewhere[key] = said[key]
			}
		}
	})
	return w
}

// add counts what differs in one case.
func (w *compared) add(b *rules.Base, was, is *decided) {
	for m, method := range b.Methods {
		if was.verdicts[m] != is.verdicts[m] {
			w.change(fmt.Sprintf("verdict %s: %s -> %s", method.ID, was.verdicts[m], is.verdicts[m]))
		}
	}
	for k, f := range b.Findings {
		if was.levels[k] != is.levels[k] {
			w.change(fmt.Sprintf("finding %s: %s -> %s", f.ID, f.Scale[was.levels[k]], f.Scale[is.levels[k]]))
		}
	}
	// A note changes where a method that both offer has it on one side only.
	for n, note := range b.Notes {
		both := was.shown & is.shown
		if lost := was.notes[n].by &^ is.notes[n].by & both; lost != 0 {
			w.note(fmt.Sprintf("%s %s: with -> without", note.Kind, note.ID), lost)
		}
		if gained := is.notes[n].by &^ was.notes[n].by & both; gained != 0 {
			w.note(fmt.Sprintf("%s %s: without -> with", note.Kind, note.ID), gained)
		}
	}
	if !slices.Equal(was.places, is.places) {
		w.reach++
	}
	if was.first != is.first {
		w.moved++
		w.moves[fmt.Sprintf("first: %s -> %s", b.Methods[was.first].ID, b.Methods[is.first].ID)]++
	}
}

func (w *compared) change(key string) {
	w.changes[key]++
	w.here = append(w.here, key)
}

func (w *compared) note(key string, by rules.MethodSet) {
	w.change(key)
	w.by[key] |= by
}
