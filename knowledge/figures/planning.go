package figures

import "slices"

// Plan is how thick a paste is first put on and when the patch is first looked at, at 15 to 20 °C. All of it is common
// practice and none is published: the maker's label comes first, and the patch decides.
type Plan struct {
	Method       string // the base's method
	Coats        [2]int // fewest and most coats that it is for
	Thickness    Range  // wet, in mm
	Applications int
	LookAt       []Hour
	Note         string
}

const perPass = 3 // coats that a brushed paste takes off at most in one pass

const minute Hour = 1. / 60

var plans = []Plan{
	{"alkaline_covered", [2]int{1, 3}, Between(1, 2), 1, []Hour{2, 4, 8}, "Rarely worth covering: brush it."},
	{"alkaline_covered", [2]int{4, 8}, Between(2, 3), 1, []Hour{8, 16, 24}, ""},
	{"alkaline_covered", [2]int{9, 15}, Between(3, 6), 1, []Hour{12, 24, 36, 48}, "Keep the edges wet. A dry edge is a failed patch, not a failed method."},
	{"alkaline_covered", [2]int{16, 200}, Between(5, 10), 1, []Hour{24, 48, 72}, "A second application beats a fourth day. On softwood stop at 48 h."},
	{"solvent_covered", [2]int{1, 3}, Between(1, 2), 1, []Hour{1, 2, 4}, ""},
	{"solvent_covered", [2]int{4, 8}, Between(2, 3), 1, []Hour{4, 8, 16, 24}, ""},
	{"solvent_covered", [2]int{9, 15}, Between(3, 5), 1, []Hour{16, 24, 48}, ""},
	{"solvent_brushed", [2]int{1, 3 * perPass}, Between(1, 2), 1, []Hour{10 * minute, 20 * minute, 40 * minute, 1}, "Cover it with film to keep it wet. After three passes change the method."},
	{"alkaline_brushed", [2]int{1, 200}, Between(1, 2), 1, []Hour{15 * minute, 30 * minute, 1}, "Never let it dry."},
}

// twoPack is the plan for two-pack coatings, whatever the number of coats.
var twoPack = Plan{"solvent_covered", [2]int{1, 200}, Between(2, 4), 1, []Hour{4, 8, 24, 48}, "It often takes two applications. Many two-pack coatings never move: two dead patches end it."}

// PlanFor returns the plan for a paste method and a number of coats. Brushed pastes take one application for each three
// coats. False says that the trade has no planning range: for another method, or for more coats than one is known for.
func PlanFor(method string, coats int) (Plan, bool) {
	i := slices.IndexFunc(plans, func(p Plan) bool { return p.Method == method && p.Coats[0] <= coats && coats <= p.Coats[1] })
	if i < 0 {
		return Plan{}, false
	}
	p := plans[i]
	p.LookAt = slices.Clone(p.LookAt)
	if method == "solvent_brushed" || method == "alkaline_brushed" {
		p.Applications = (coats + perPass - 1) / perPass
	}
	return p, true
}

// TwoPackPlan returns the plan for a covered solvent paste on two-pack coatings.
func TwoPackPlan() Plan {
	p := twoPack
	p.LookAt = slices.Clone(p.LookAt)
	return p
}
