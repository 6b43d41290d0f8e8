package lesson

import (
	"slices"
	"testing"
)

// choice is a question with options of every worth.
func choice() *Question {
	return &Question{Kind: ChooseMethod, Shape: One, Options: []*Option{
		{ID: "gentlest", Worth: 1, Right: true}, {ID: "allowed", Worth: allowed}, {ID: "worse", Worth: discouraged}, {ID: "useless"}, {ID: "refused", Grave: true},
	}}
}

func several(kind Kind) *Question {
	return &Question{Kind: kind, Shape: Some, Options: []*Option{
		{ID: "grave", Right: true, Grave: true}, {ID: "right", Right: true}, {ID: "wrong"}, {ID: "trap", Grave: true},
	}}
}

func order() *Question {
	return &Question{Kind: OrderSteps, Shape: Order, Options: []*Option{
		{ID: "apply", Place: 3}, {ID: "guard", Place: 1, Grave: true}, {ID: "look", Place: 1, Grave: true}, {ID: "dry", Place: 8}, {ID: "prime", Place: 9},
	}}
}

func ids(all []*Option) (ids []string) {
	for _, o := range all {
		ids = append(ids, o.ID)
	}
	return ids
}

func TestJudge(t *testing.T) {
	for _, tt := range []struct {
		name    string
		q       *Question
		chosen  []string
		mark    Mark
		points  float64
		dangers []string
	}{
		{"the gentlest", choice(), []string{"gentlest"}, Right, 1, nil},
		{"allowed, not gentlest", choice(), []string{"allowed"}, HalfRight, 0.5, nil},
		{"discouraged", choice(), []string{"worse"}, HalfRight, 0.25, nil},
		{"of no use", choice(), []string{"useless"}, Wrong, 0, nil},
		{"refused", choice(), []string{"refused"}, Dangerous, 0, []string{"refused"}},
		{"nothing", choice(), nil, Stuck, 0, nil},
		{"no option", choice(), []string{"elsewhere"}, Wrong, 0, nil},
		{"only the first counts of one", choice(), []string{"gentlest", "refused"}, Right, 1, nil},

		{"all of a set", several(RuleOut), []string{"right", "grave"}, Right, 1, nil},
		{"one too many", several(RuleOut), []string{"right", "grave", "wrong"}, HalfRight, 0.75, nil},
		{"a right one missed", several(RuleOut), []string{"grave"}, HalfRight, 0.5, nil},
		{"a grave one missed", several(RuleOut), []string{"right"}, Dangerous, 0, []string{"grave"}},
		{"a trap chosen", several(RuleOut), []string{"right", "grave", "trap"}, Dangerous, 0, []string{"trap"}},
		{"only wrong ones", several(RuleOut), []string{"wrong"}, Dangerous, 0, []string{"grave"}},
		{"twice is once", several(RuleOut), []string{"grave", "grave", "right"}, Right, 1, nil},
		{"no danger seen at all", several(FindDanger), []string{"wrong"}, Dangerous, 0, []string{"grave", "right"}},

		{"in order", order(), []string{"guard", "look", "apply", "dry", "prime"}, Right, 1, nil},
		{"the same place either way", order(), []string{"look", "guard", "apply", "dry", "prime"}, Right, 1, nil},
		{"the end mixed up", order(), []string{"guard", "look", "apply", "prime", "dry"}, HalfRight, 8. / 9, nil},
		{"guarded too late", order(), []string{"look", "apply", "guard", "dry", "prime"}, Dangerous, 0, []string{"guard"}},
		{"the guard left out", order(), []string{"look", "apply", "dry", "prime"}, Dangerous, 0, []string{"guard"}},
		{"the last left out", order(), []string{"guard", "look", "apply", "dry"}, HalfRight, 0.5, nil},
	} {
		j := tt.q.Judge(tt.chosen)
		if j.Mark != tt.mark || j.Points != tt.points || !slices.Equal(ids(j.Dangers), tt.dangers) {
			t.Errorf("%s: %s with %g points, dangers %v", tt.name, j.Mark, j.Points, ids(j.Dangers))
		}
	}
}
