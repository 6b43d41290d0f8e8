package interview

import (
	"context"
	"errors"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"patchfirst/explain"
	"patchfirst/interview/job"
)

func newJob() *job.Job { return job.New() }

// site is how the questions about the site are answered in these tests.
var siteLines = []string{"A house", "north", "1900", "n", "ok"}

func with(more ...string) []string { return append(append([]string{}, siteLines...), more...) }

func TestSurveyFromEndToEnd(t *testing.T) {
	b := loadSmall(t)
	saved, said, err := sitting(t, b, newJob(), with("the gate", "3", "oil, tar, ?", "0", "2..4", "bad", "1", "1")...)
	if err != nil {
		t.Fatal(err, said)
	}
	want := `job: A house
site:
  land: north
  built: 1900
  rain: no
elements:
  - name: the gate
    stuff: iron
    coats: [oil, tar, '?']
    near: []
    layers: 2..4
    test: bad
`
	if saved != want {
		t.Errorf("saved:\n%s\nnot\n%s\nsaid:\n%s", saved, want, said)
	}
	wantContains(t, said, "Question 1. the job", "Noted: oil, then tar, then perhaps others", "Noted: 2..4 coats")
}

func TestNothingIsAnsweredByItself(t *testing.T) {
	b := loadSmall(t)
	saved, said, err := sitting(t, b, newJob(), "A house", "", "  ", "99", "0", "atlantis", "nort", "1,99", "north,", "b", "b", "?")
	if !errors.Is(err, ErrInputEnded) {
		t.Errorf("error is %v", err)
	}
	wantContains(t, said, "Nothing is taken for an answer by itself", "There is no 99 in the list: its numbers go from 1 to 4.",
		`"atlantis" is not in the list.`, `Did you mean 1 the north?`)
	if saved != "" && strings.Contains(saved, "built") {
		t.Errorf("saved %s", saved)
	}
}

func TestBack(t *testing.T) {
	b := loadSmall(t)
	for _, tt := range []struct {
		name  string
		lines []string
		want  string // stands in the file
		not   string // does not
		said  string
	}{
		{"the last answer counts", []string{"H", "north", "b", "sea"}, "land: sea", "north", "Before: the north."},
		{"= keeps the earlier answer", []string{"H", "north", "b", "="}, "land: north", "zz", ""},
		{"later answers go", []string{"H", "south", "payer", "b", "b", "north", "1900"}, "built: 1900", "toll", ""},
		{"they are shown when they come again", []string{"H", "south", "payer", "b", "b", "south", "="}, "toll: payer", "zz", "Before: the payer."},
		{"from the first question there is no back", []string{"b", "H", "north"}, "land: north", "zz", firstOne},
		{"to the title", []string{"H", "b", "Hut", "north"}, "job: Hut", "zz", "Before: H."},
		{"over the name of a part", with("gate", "b", "door", "iron"), "name: door", "gate", "Before: gate."},
		{"from not known", []string{"H", "u", "b", "sea", "1900"}, "land: sea", "zz", ""},
		{"from the page of answers", []string{"H", "north", "1900", "n", "b", "y", "ok", "gate"}, "rain: yes", "zz", ""},
		{"from a change", []string{"H", "north", "1900", "n", "2", "b", "ok", "gate"}, "land: north", "zz", "Is all of this right?"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			saved, said, _ := sitting(t, b, newJob(), tt.lines...)
			wantContains(t, saved, tt.want)
			wantContains(t, said, tt.said)
			if strings.Contains(saved, tt.not) {
				t.Errorf("there is %q in:\n%s", tt.not, saved)
			}
		})
	}
}

func TestBackKeepsTheFileUntilTheNextAnswer(t *testing.T) {
	b := loadSmall(t)
	saved, _, _ := sitting(t, b, newJob(), "H", "south", "payer", "1900", "b", "b", "b")
	wantContains(t, saved, "land: south", "toll: payer", "built: 1900")
}

func TestChange(t *testing.T) {
	b := loadSmall(t)
	part := []string{"gate", "oak", "y", "lime", "0", "2"}
	saved, said, err := sitting(t, b, newJob(), with(append(part, "2", "iron", "ok", "finish")...)...)
	if err != nil {
		t.Fatal(err, said)
	}
	wantContains(t, said, "This no longer applies to gate and was taken out: Is it rotten? yes.")
	wantContains(t, saved, "stuff: iron")
	if strings.Contains(saved, "rot") {
		t.Errorf("saved:\n%s", saved)
	}
	// A change that raises a new question: it is asked before the page comes again.
	saved, said, err = sitting(t, b, newJob(), with("gate", "iron", "lime", "0", "2", "2", "oak", "no", "ok", "finish")...)
	if err != nil {
		t.Fatal(err, said)
	}
	wantContains(t, saved, "rot: no")
}

func TestContradictionIsChanged(t *testing.T) {
	b := loadSmall(t)
	saved, said, err := sitting(t, b, newJob(), "H", "sea", "1900", "n", "ok", "gate", "iron", "tar", "2", "wax", "0", "ok", "finish")
	if err != nil {
		t.Fatal(err, said)
	}
	wantContains(t, said, "These answers cannot stand together. Tar was forbidden at sea.", "Choose the one to change.")
	wantContains(t, saved, "coats: [wax]")

	// The answer about the site may be the one to change.
	saved, said, err = sitting(t, b, newJob(), "H", "sea", "1900", "n", "ok", "gate", "iron", "tar", "1", "north", "ok", "0", "ok", "finish")
	if err != nil {
		t.Fatal(err, said)
	}
	wantContains(t, saved, "land: north", "coats: [tar]")
}

func TestSiteFactThatDiffersAtAPart(t *testing.T) {
	b := loadSmall(t)
	saved, said, err := sitting(t, b, newJob(), with("gate", "iron", "wax", "0", "5", "1950..1960", "ok", "finish")...)
	_ = saved
	if err == nil {
		t.Fatal("the page has no answer 5", said)
	}
	saved, said, err = sitting(t, b, newJob(), with("gate", "iron", "wax", "0", "something about the building is different at this part", "built", "1950..1960", "ok", "finish")...)
	if err != nil {
		t.Fatal(err, said)
	}
	wantContains(t, saved, "built: 1900\n", "    built: 1950..1960\n")
}

func TestResume(t *testing.T) {
	b := loadSmall(t)
	j := read(t, b, "job: H\nsite: {land: north, built: 1900, rain: \"no\"}\nelements: [{name: gate, stuff: iron, coats: [wax], log: [{a: b}]}]\n")
	saved, said, err := sitting(t, b, j, "0", "ok", "finish")
	if err != nil {
		t.Fatal(err, said)
	}
	wantContains(t, saved, "near: []", "log: [{a: b}]")
	if strings.Contains(said, "Which land?") || strings.Contains(said, "What is the job called?") {
		t.Errorf("it asks again:\n%s", said)
	}
}

func TestProgress(t *testing.T) {
	b := loadSmall(t)
	j := read(t, b, "job: H\nsite: {land: north, built: 1900, rain: \"no\"}\nelements: [{name: gate, stuff: iron}]\n")
	_, said, _ := sitting(t, b, j, "wax", "b", "wax", "0")
	wantContains(t, said, "Question 7, about 3 more may matter. gate: the coat", "gate: check the answers")
	if strings.Count(said, "Question 7,") != 2 || strings.Contains(said, "the building: check") {
		t.Errorf("going back changes the number, or what was done before is checked again:\n%s", said)
	}
}

func TestThePageOfAnswers(t *testing.T) {
	b := loadSmall(t)
	site := siteLines[:4]
	_, said, _ := sitting(t, b, newJob(), append(slices.Clone(site), "u", "=", "gate")...)
	wantContains(t, said, "2 the north (Which land?)", "Type the number of an answer to change it", "What is it made of?")
	_, said, _ = sitting(t, b, newJob(), append(slices.Clone(site), "2", "sea", "ok")...)
	wantContains(t, said, "a change to the place")
}

// A part of a label is enough if no other label has it, and if what it leaves out turns nothing round.
func TestPartOfALabel(t *testing.T) {
	a := &Ask{Kind: One, Options: []Option{{"dwelling", "a home"}, {"shop", "a shop"}, {"later", "put in later, or repaired"}, {"clear", "tested, no lead"}, {"left", "left as it is"}}}
	for line, want := range map[string]string{"home": "dwelling", "put in later": "later", "HOME": "dwelling", "as it": "left"} {
		if r, err := a.parse(line); err != nil || !slices.Equal(r.Values, []string{want}) {
			t.Errorf("%q: %v %v", line, r, err)
		}
	}
	for line, want := range map[string]string{"lead": "Did you mean 4", "tested": "Did you mean 4", "hom": "Did you mean 1", "a": "not in the list", "it i": "Did you mean 5", "=": "no earlier answer"} {
		if r, err := a.parse(line); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v %v", line, r, err)
		}
	}
}

func TestNamesThatDifferByCase(t *testing.T) {
	b := loadSmall(t)
	_, said, _ := sitting(t, b, newJob(), with("front door", "glass", "wax", "0", "ok", "part", "Front  Door")...)
	wantContains(t, said, `There is already a part called "front door"`)
}

func TestUnitNames(t *testing.T) {
	for _, tt := range []struct {
		unit string
		n    float64
		want string
	}{{"coats", 1, "coat"}, {"coats", 2, "coats"}, {"h", 1, "hour"}, {"h", 0, "hours"}, {"°C", 1, "°C"}, {"m2", 3, "m²"}} {
		if got := explain.Unit(tt.unit, tt.n); got != tt.want {
			t.Errorf("%g %s: %s", tt.n, tt.unit, got)
		}
	}
}

func TestWrapLeavesCommandsWhole(t *testing.T) {
	command := "  patchfirst survey --plain " + strings.Repeat("x", 60) + ".yaml"
	excerpt := "    " + strings.Repeat("word ", 20) + "\n    ^"
	got := Wrap("one two three four five six seven\n"+command+"\n"+excerpt+"\n    Write this and not that or the other.", 30)
	want := "one two three four five six\nseven\n" + command + "\n" + excerpt + "\n    Write this and not that or\n    the other.\n"
	if got != want {
		t.Errorf("got\n%s\nnot\n%s", got, want)
	}
}

func TestOtherPart(t *testing.T) {
	b := loadSmall(t)
	saved, said, err := sitting(t, b, newJob(), with("gate", "glass", "wax", "0", "ok", "another part", "gate", "fence", "glass", "wax", "0", "ok", "4", "ok", "finish")...)
	if err != nil {
		t.Fatal(err, said)
	}
	wantContains(t, said, `There is already a part called "gate"`, "check the answers about fence", "gate: check the answers")
	wantContains(t, saved, "name: gate", "name: fence")
}

func TestStop(t *testing.T) {
	b := loadSmall(t)
	if _, _, err := sitting(t, b, newJob(), "H", "q"); !errors.Is(err, ErrStopped) {
		t.Errorf("q: %v", err)
	}
	// A read that waits does not hold up the stop.
	ctx, cancel := context.WithCancel(context.Background())
	var out strings.Builder
	p := NewPlain(blocked{}, &out, 80, false)
	time.AfterFunc(10*time.Millisecond, cancel)
	if _, err := p.Ask(ctx, &Ask{Kind: Line}); !errors.Is(err, ErrStopped) {
		t.Errorf("cancelled: %v", err)
	}
}

type blocked struct{}

func (blocked) Read([]byte) (int, error) { select {} }

func TestEscapesAreNotEchoed(t *testing.T) {
	b := loadSmall(t)
	j := read(t, b, "job: \"\\e[2Jx\"\nelements: [{name: \"\\e[31mred\"}]\n")
	_, said, _ := sitting(t, b, j, "\x1b[5m", "north", "1900", "n", "ok", "iron")
	if strings.Contains(said, "\x1b") {
		t.Errorf("said %q", said)
	}
	_, said, _ = sitting(t, b, newJob(), "a\x1b[2Jb", strings.Repeat("x", 30000), strings.Repeat("y", 101), "H")
	wantContains(t, said, "holds signs that cannot be shown", "longer than 100 letters", "Noted: H")
}

func TestWhy(t *testing.T) {
	b := loadSmall(t)
	_, said, _ := sitting(t, b, newJob(), with("gate", "?")...)
	wantContains(t, said, "Why: It decides.", "How to find out: Look.", "- Ice.", "whatever it might rule out stays ruled out")
	if strings.Contains(said, "Rot smoulders") {
		t.Errorf("it names a rule that does not read the question:\n%s", said)
	}
	_, said, _ = sitting(t, b, newJob(), with("gate", "iron", "oil", "0", "?")...)
	wantContains(t, said, "- Old oil paint is a poison.", `it counts as "not yet"`)
}

func TestWordsAndNumbers(t *testing.T) {
	b := loadSmall(t)
	for _, tt := range []struct{ line, want string }{
		{"2", "stuff: pine"},
		{"Pine or Fir", "stuff: pine"},
		{" oak ", "stuff: oak"},
		{"1,3", "stuff: [oak, iron]"},
		{"1 3", "stuff: [oak, iron]"},
		{"oak, glass", "stuff: [oak, glass]"},
	} {
		saved, said, _ := sitting(t, b, newJob(), with("gate", tt.line)...)
		if !strings.Contains(saved, tt.want) {
			t.Errorf("%q: no %q in\n%s\n%s", tt.line, tt.want, saved, said)
		}
	}
	for _, tt := range []struct{ line, want string }{
		{"1900-1930", "is not a number. Write a year such as 1911, or a range"},
		{"12000", "The answer must be 1000 to 2100, and this is 12000."},
		{"1950..1900", "runs backwards"},
		{"NaN", "Write a year"},
		{"two", "Write a year"},
	} {
		_, said, _ := sitting(t, b, newJob(), "H", "north", tt.line)
		wantContains(t, said, tt.want)
	}
	for _, tt := range []struct{ line, want string }{
		{"1,0", "0 stands alone"},
		{"1,5", `"not known" stands alone`},
		{"1,2,3,4", "takes at most 3 values"},
		{",", "Type the numbers with commas"},
		{"1 2 3", "Noted: oil, then lime, then wax"},
		{"?, 2", "Noted: perhaps others, then lime"},
		{"none", "Noted: none of these"},
		{"not known", "Noted: not known"},
	} {
		_, said, _ := sitting(t, b, newJob(), with("gate", "iron", tt.line)...)
		wantContains(t, said, tt.want)
	}
}

// A save that fails costs no answer: the person is told, and the next save holds everything.
func TestAFailedSaveIsMadeUpFor(t *testing.T) {
	b := loadSmall(t)
	for _, tt := range []struct {
		fails int
		want  error
	}{{fails: 1}, {fails: 1 << 20, want: syscall.ENOSPC}} {
		saved, tries := "", 0
		var out strings.Builder
		s := newSession(b, newJob(), NewPlain(strings.NewReader("A house\nnorth\n"), &out, 80, true), func(j *job.Job) error {
			if tries++; tries <= tt.fails {
				return syscall.ENOSPC
			}
			data, err := j.Marshal(b)
			saved = string(data)
			return err
		})
		err := s.run(context.Background())
		wantContains(t, out.String(), "Not saved: ")
		if tt.want != nil {
			var unsaved *SaveError
			if !errors.As(err, &unsaved) || !errors.Is(err, tt.want) {
				t.Errorf("ends with %v", err)
			}
			continue
		}
		if !errors.Is(err, ErrInputEnded) {
			t.Errorf("ends with %v", err)
		}
		wantContains(t, saved, "job: A house", "land: north")
	}
}
