package takeoff

import (
	"math"
	"strings"
	"testing"

	"patchfirst/rules"
)

const inside = `
job: A house
site: {jurisdiction: uk, built: 1996, worker: trade, surface_temp: 18}
elements:
  - name: skirting
    part: trim
    part_age: original
    profile: moulded
    substrate: softwood
    condition: sound
    wood_state: hard
    coatings: [alkyd]
    layers: 3
    place: inside
    airflow: limited
    near: []
    takeoff: {length: 14 m, girth: 220 mm, room: 40 m3}
`

// A room whose air cannot carry the vapour of a brushed gel rules it out, with the figure that the sums show at their least.
func TestAirRulesAGelOut(t *testing.T) {
	b := base(t)
	c := caseOf(t, b, inside)
	gel := c.Decision.Methods[b.Method("solvent_brushed").Rank]
	if gel.Verdict != rules.RuledOut || gel.Reasons[0].ID != "air-cannot-carry-a-brushed-gel" {
		t.Errorf("the gel is %v: %v", gel.Verdict, gel.Reasons)
	}
	s := sum(t, c, "solvent_brushed")
	used, fact := s.Line("air_used").Result, c.Answers["gel_vapour"]
	if math.Abs(used.Low-fact.Lo) > 1e-9*used.Low || fact.Lo <= 100 || fact.Hi < fact.Lo {
		t.Errorf("the sums need %v of the air, the figure fact %v", used, fact)
	}
	check(t, s, "air_there", 40*0.5, 40*1.75, 40*3)

	// 3000 m³/h carry it at the least, and are no reason against it.
	aired := caseOf(t, b, strings.Replace(inside, "room: 40 m3", "room: 40 m3, air: 3000 m3/h", 1))
	if o := aired.Decision.Methods[b.Method("solvent_brushed").Rank]; o.Verdict == rules.RuledOut {
		t.Errorf("the gel is ruled out with a fan: %v", o.Reasons)
	}
	if f := aired.Answers["gel_vapour"]; f.Lo > 100 || f.Lo != f.Hi {
		t.Errorf("the figure fact is %v", f)
	}
	// Nothing told of the room leaves it open, under a condition.
	untold := caseOf(t, b, strings.Replace(inside, ", room: 40 m3", "", 1))
	o := untold.Decision.Methods[b.Method("solvent_brushed").Rank]
	if o.Verdict == rules.RuledOut || !strings.Contains(strings.Join(facts(o.Conditions), " "), "gel_vapour") {
		t.Errorf("with nothing told of the room the gel is %v under %v", o.Verdict, o.Conditions)
	}
}

func facts(all []rules.Requirement) (ids []string) {
	for _, r := range all {
		ids = append(ids, r.Fact)
	}
	return ids
}

// What is told for the sums answers the questions about the area and the air; an answer that was given stays.
func TestFacts(t *testing.T) {
	c := caseOf(t, base(t), inside)
	if a := c.Answers["area"]; math.Abs(a.Lo-3.08) > 1e-9 || a.Lo != a.Hi {
		t.Errorf("the area is %v", a)
	}
	if a := c.Answers["fresh_air"]; a.Lo != 20 || a.Hi != 120 {
		t.Errorf("the fresh air is %v", a)
	}
	told := caseOf(t, base(t), strings.Replace(inside, "airflow: limited",
		"airflow: limited\n    fresh_air: 70\n    area: 4", 1))
	if told.Answers["fresh_air"].Lo != 70 || told.Answers["area"].Hi != 4 {
		t.Errorf("answers are overruled: %v %v", told.Answers["fresh_air"], told.Answers["area"])
	}
}
