package patches

import (
	"math"
	"time"

	"patchfirst/interview/job"
	"patchfirst/rules"
)

// Names of the forms of the JSON output; one changes when a field changes its meaning or goes away.
const (
	PlanSchema    = "patchfirst/patch-plan/1"
	ReadingSchema = "patchfirst/patch-reading/1"
	EntrySchema   = "patchfirst/patch-entry/1"
)

// PlanData is a plan as data.
type PlanData struct {
	Why         string              `json:"why,omitempty"`   // no patch is planned
	Never       []string            `json:"never,omitempty"` // what a patch would do to such a surface
	Missing     []string            `json:"missing"`
	Refer       []string            `json:"refer"`
	Keep        []string            `json:"keep"`
	Holds       []string            `json:"holds"`
	Conditions  []rules.Requirement `json:"conditions"`
	Stage       []string            `json:"stage"`
	Candidates  []CandidatePlan     `json:"candidates"`
	Left        []LeftData          `json:"left"`
	WidthMM     float64             `json:"width_mm"`
	HeightMM    float64             `json:"height_mm"`
	Or          string              `json:"or,omitempty"`
	GapMM       float64             `json:"gap_mm"`
	Confirm     string              `json:"confirm"`
	Temperature *float64            `json:"surface_temp_c"`
	FilmCoats   float64             `json:"film_as_coats,omitempty"` // the measured film is as thick as so many
	Warnings    []string            `json:"warnings"`
	Wait        string              `json:"wait,omitempty"` // why no paste is put on yet
	Scarce      string              `json:"scarce,omitempty"`
	Finish      []FinishPlan        `json:"finish"`
	Again       []float64           `json:"look_again_minutes"`
	Sources     []string            `json:"sources"`
}

// FinishPlan is a step or a hold point that ends a patch, and the letters of the methods whose patches it is for.
type FinishPlan struct {
	Note string              `json:"note"`
	For  []string            `json:"for"`
	If   []rules.Requirement `json:"if"`
}

// CandidatePlan is a method to try.
type CandidatePlan struct {
	Letter     string              `json:"letter"`
	Method     string              `json:"method"`
	Verdict    rules.Verdict       `json:"verdict"`
	First      bool                `json:"first_choice"`
	Range      string              `json:"range,omitempty"`
	Stop       float64             `json:"stop_minutes,omitempty"` // the paste comes off then, clean or not
	CoatsOpen  bool                `json:"coats_not_counted"`
	Beyond     bool                `json:"beyond_range"`
	Patches    []PatchPlan         `json:"patches"`
	Conditions []rules.Requirement `json:"conditions"`
	Sources    []string            `json:"sources"`
}

// PatchPlan is a patch to make.
type PatchPlan struct {
	Label     string    `json:"label"`
	Area      string    `json:"area"`
	Thickness float64   `json:"thickness_mm"`
	Look      []float64 `json:"look_minutes"`
}

// LeftData is a method that is offered and not planned.
type LeftData struct {
	Method string `json:"method"`
	Why    string `json:"why"`
}

// Data returns the plan as data.
func (p *Plan) Data() PlanData {
	out := PlanData{
		Why: p.Why, Missing: list(p.Missing), Refer: noteIDs(p.Refer), Keep: noteIDs(p.Keep), Holds: noteIDs(p.Holds), Conditions: list(p.Conditions), Stage: list(p.Stage), Candidates: []CandidatePlan{}, Left: []LeftData{},
		WidthMM: p.Size.Width, HeightMM: p.Size.Height, Or: p.Size.Or, GapMM: p.Gap, Confirm: p.Size.Confirm, Temperature: p.Temperature,
		Warnings: list(p.Warnings), Wait: p.Wait, Scarce: p.Scarce, Finish: []FinishPlan{}, Again: list(p.Again.Look), Sources: list(p.Size.SourceNames),
	}
	if p.Film != nil {
		out.FilmCoats = p.Film.Coats
	}
	for _, n := range p.Never {
		out.Never = append(out.Never, n.ID)
	}
	for _, n := range p.Finish {
		out.Finish = append(out.Finish, FinishPlan{n.Note.ID, n.For, list(n.If)})
	}
	for _, c := range p.Candidates {
		cp := CandidatePlan{Letter: c.Letter, Method: c.Outcome.Method.ID, Verdict: c.Outcome.Verdict, First: c.First, Range: c.Range.ID, Stop: c.Range.Stop,
			CoatsOpen: c.Range.CoatsNotSeen, Beyond: c.Range.Beyond, Conditions: list(c.Conditions), Sources: list(c.Range.SourceNames)}
		for _, pp := range c.Patches {
			cp.Patches = append(cp.Patches, PatchPlan{pp.Label, pp.Area, pp.Thickness, list(pp.Look)})
		}
		out.Candidates = append(out.Candidates, cp)
	}
	for _, l := range p.Left {
		out.Left = append(out.Left, LeftData{l.Method.ID, l.Why})
	}
	return out
}

// ReadingData is a reading as data. Times are minutes at the reference temperature of the method; null is not yet.
type ReadingData struct {
	Questions []job.Question  `json:"questions"`
	ControlPH *float64        `json:"control_ph"`
	Methods   []CandidateData `json:"methods"`
	Next      NextData        `json:"next"`
	Evidence  Evidence        `json:"evidence"`
}

// CandidateData is a method with what its patches show.
type CandidateData struct {
	Method         string              `json:"method"`
	State          State               `json:"state"`
	Reference      *float64            `json:"reference_c"`
	Tests          []TestData          `json:"patches"`
	Brackets       []BracketData       `json:"brackets"`
	Contradictions []ContradictionData `json:"contradictions"`
	Dwell          *DwellData          `json:"dwell"`
	Clean          int                 `json:"clean"`
	Judged         int                 `json:"judged"`
	Interval       [2]float64          `json:"exact_interval"`
	Needed         int                 `json:"clean_in_a_row_needed"`
	Shares         []ShareData         `json:"share_clean"`
	ByThickness    []LevelData         `json:"share_clean_by_thickness"`
	Watched        int                 `json:"watched_for_harm"`
	HarmAtMost     float64             `json:"harm_share_at_most"`
	HarmFree       []HarmFreeData      `json:"share_without_harm"`
}

// TestData is a patch with what it shows.
type TestData struct {
	Label   string   `json:"label"`
	State   State    `json:"state"`
	NotYet  float64  `json:"not_yet_minutes"`
	CleanBy *float64 `json:"clean_by_minutes"`
	Passes  int      `json:"applications"`
	Harm    string   `json:"harm,omitempty"`
	PH      *float64 `json:"ph"`
	Dry     bool     `json:"judged_dry"`
	Overdue bool     `json:"overdue,omitempty"` // the paste should be off by now
}

// BracketData is the bracket of a thickness.
type BracketData struct {
	Bracket
	CleanBy *float64 `json:"clean_by_minutes"`
}

// ContradictionData is a pair of looks that cannot both hold on the same build-up.
type ContradictionData struct {
	NotClean int `json:"not_clean_entry"`
	Clean    int `json:"clean_entry"`
}

// DwellData is the advised time and thickness.
type DwellData struct {
	Thickness float64 `json:"thickness_mm"`
	Passes    int     `json:"applications"`
	Minutes   float64 `json:"take_off_minutes"`
	From      float64 `json:"look_from_minutes"`
	Margin    float64 `json:"margin_minutes"`
}

// ShareData is a share of the places that come clean after After and by By.
type ShareData struct {
	After float64  `json:"after_minutes"`
	By    *float64 `json:"by_minutes"`
	Share float64  `json:"share"`
}

// LevelData is the share of the patches of a thickness that came clean, thicker never doing worse.
type LevelData struct {
	Thickness float64 `json:"thickness_mm"`
	Share     float64 `json:"share"`
	Clean     int     `json:"clean"`
	Judged    int     `json:"judged"`
}

// HarmFreeData is the share of patches still without harm after a time.
type HarmFreeData struct {
	Minutes float64 `json:"minutes"`
	Share   float64 `json:"share"`
}

// NextData is what to do next.
type NextData struct {
	Do      string      `json:"do"`
	Method  string      `json:"method,omitempty"`
	Harm    bool        `json:"harm_stopped_a_method"`
	Fresh   bool        `json:"fresh_patch"`
	Passes  int         `json:"fresh_applications,omitempty"`
	Thicker float64     `json:"fresh_thickness_mm,omitempty"`
	Colder  bool        `json:"colder_than_patches"`
	Visits  []VisitData `json:"look"`
	Confirm string      `json:"confirm,omitempty"`
	Larger  int         `json:"confirming_entry,omitempty"` // the entry of the site diary that made the confirming patch
	Refer   []string    `json:"refer"`
}

// VisitData is when to look at a patch.
type VisitData struct {
	Patch string      `json:"patch"`
	At    []time.Time `json:"at"`
	OffBy *time.Time  `json:"off_by,omitempty"`
	Again int         `json:"application,omitempty"` // put it on for so many times first
}

// Data returns the reading as data.
func (r *Reading) Data() ReadingData {
	out := ReadingData{Questions: list(r.Questions), ControlPH: r.ControlPH, Methods: []CandidateData{}, Evidence: r.Evidence(), Next: NextData{
		Do: r.Next.Do, Harm: r.Next.Harm, Fresh: r.Next.Fresh, Passes: r.Next.Passes, Thicker: r.Next.Thicker, Colder: len(r.Next.Colder) > 0, Visits: []VisitData{}, Confirm: r.Next.Size.Confirm, Refer: noteIDs(r.Next.Refer)}}
	if r.Next.Larger != nil {
		out.Next.Larger = r.Next.Larger.ID
	}
	if r.Next.Method != nil {
		out.Next.Method = r.Next.Method.ID
	}
	for _, v := range r.Next.Patches {
		visit := VisitData{Patch: v.Label, At: list(v.At), Again: v.Again}
		if !v.Off.IsZero() {
			visit.OffBy = &v.Off
		}
		out.Next.Visits = append(out.Next.Visits, visit)
	}
	for _, c := range r.Candidates {
		out.Methods = append(out.Methods, c.data())
	}
	return out
}

func (c *Candidate) data() CandidateData {
	out := CandidateData{
		Method: c.Method.ID, State: c.State, Reference: c.Reference, Tests: []TestData{}, Brackets: []BracketData{}, Contradictions: []ContradictionData{},
		Clean: c.Clean, Judged: c.Judged, Interval: [2]float64{c.Low, c.High}, Watched: c.Watched, HarmAtMost: c.HarmAtMost, Needed: c.Needed, Shares: []ShareData{}, ByThickness: []LevelData{}, HarmFree: []HarmFreeData{},
	}
	for _, t := range c.Tests {
		out.Tests = append(out.Tests, TestData{t.Label, t.State, t.NotYet, finite(t.CleanBy), t.Passes, t.Harm, t.PH, t.Dry, t.Overdue()})
	}
	for _, b := range c.Brackets {
		out.Brackets = append(out.Brackets, BracketData{b, finite(b.CleanBy)})
	}
	for _, k := range c.Contradictions {
		out.Contradictions = append(out.Contradictions, ContradictionData{k.LeftEntry, k.GoneEntry})
	}
	if w := c.Dwell; w != nil {
		out.Dwell = &DwellData{w.Thickness, w.Passes, w.Minutes, w.From, w.Minutes - w.From}
	}
	for _, m := range c.Shares {
		out.Shares = append(out.Shares, ShareData{m.After, finite(m.By), m.Share})
	}
	for _, l := range c.ByThickness {
		out.ByThickness = append(out.ByThickness, LevelData{l.At, l.Share, l.Happened, l.Looks})
	}
	for _, s := range c.HarmFree {
		out.HarmFree = append(out.HarmFree, HarmFreeData{s.Time, s.Share})
	}
	return out
}

func finite(v float64) *float64 {
	if math.IsInf(v, 0) {
		return nil
	}
	return &v
}

// list makes a nil list an empty one, so that JSON shows [].
func list[T any](l []T) []T {
	if l == nil {
		return []T{}
	}
	return l
}

func noteIDs(notes []rules.Attached) []string {
	ids := make([]string, len(notes))
	for i, n := range notes {
		ids[i] = n.Note.ID
	}
	return ids
}
