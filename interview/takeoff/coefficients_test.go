package takeoff

import (
	"slices"
	"strings"
	"testing"

	"patchfirst/knowledge/figures"
	"patchfirst/rules"
)

// words are the coefficients that are no figures, and usual_area, which is only asked about.
var words = []string{"area_kind", "paste", "solvent", "hired", "runoff_never", "waste_list", "corrosive", "flammable", "toxic", "usual_area"}

// Every coefficient of the base is used by some sums, and can be read as what it is used for; none stands behind one that
// always holds before it.
func TestEveryCoefficientIsUsed(t *testing.T) {
	b := base(t)
	used := map[string]bool{}
	indoors := strings.NewReplacer("place: outside", "place: inside\n    airflow: good").Replace(door)
	uncounted := strings.NewReplacer("    layers: 9\n", "", "width: 2.4 m", "area: 3 m2", "      height: 2.7 m\n", "").Replace(door)
	for _, text := range []string{door, indoors, uncounted} {
		c := caseOf(t, b, text)
		for _, m := range b.Methods {
			s, err := c.Sum(m)
			if err != nil {
				t.Fatal(err)
			}
			for _, l := range s.Leaves {
				used[l.ID] = true
			}
		}
	}
	before := map[string]rules.MethodSet{}
	for _, c := range b.Coefficients {
		if !used[c.ID] && !slices.Contains(words, c.ID) {
			t.Errorf("%s: no sums use the coefficient %s", c.Pos, c.ID)
		}
		if c.Of&^before[c.ID] == 0 {
			t.Errorf("%s: one before it always holds instead", c.Pos)
		}
		if len(c.Where) == 0 {
			before[c.ID] |= c.Of
		}
		switch c.ID {
		case "solvent":
			if !slices.ContainsFunc(figures.Solvents(), func(s figures.Solvent) bool { return s.Name == c.Is }) {
				t.Errorf("%s: there are no figures for %s", c.Pos, c.Is)
			}
		case "paste":
			if _, ok := materialOf(c.Is); !ok {
				t.Errorf("%s: nothing that is bought is named %s", c.Pos, c.Is)
			}
		case "area_kind":
			if _, _, ok := figures.FactorsFor(c.Is); !ok {
				t.Errorf("%s: there are no factors for %s", c.Pos, c.Is)
			}
		case "usual_area":
			if _, err := figures.ParseQuantity(c.Is, figures.Area); err != nil {
				t.Errorf("%s: %v", c.Pos, err)
			}
		}
	}
}
