package ask_test

import (
	"bytes"
	"context"
	"errors"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"patchfirst/interview"
	"patchfirst/interview/lesson"
	"patchfirst/interview/lesson/ask"
	"patchfirst/interview/lesson/lessontest"
)

func now() time.Time { return time.Date(2026, 6, 1, 8, 0, 0, 0, time.UTC) }

// learn types lines at a lesson and returns what was shown, what was kept and how it ended.
func learn(t *testing.T, s *lesson.School, l *lesson.Lesson, path, typed string) (string, []lesson.Given, error) {
	t.Helper()
	k, err := lesson.Keep(path)
	if err != nil {
		t.Fatal(err)
	}
	defer k.Close()
	var out bytes.Buffer
	p := interview.NewPlain(strings.NewReader(typed), &out, 80, true)
	p.Keys = ask.Keys
	run, err := ask.Learn(context.Background(), p, s, l, k, now)
	return out.String(), run.Given, err
}

// Each path through an exercise: right, half right, dangerous, wrong ids, stuck, with hints, and back to the situation.
func TestLearn(t *testing.T) {
	s, l := lessontest.One(t, "oak-table")
	for _, tt := range []struct {
		name, typed string
		mark        lesson.Mark
		hints       int
		shown       []string
	}{
		{"right", "3\n", lesson.Right, 0, []string{"RIGHT.", "Caustic turns tannin-rich wood dark"}},
		{"half right", "3,1\n", lesson.HalfRight, 0, []string{"PARTLY RIGHT: 50 of 100."}},
		{"dangerous", "1\n", lesson.Dangerous, 0, []string{"DANGEROUS.", "! Left out: alkaline paste under a cover"}},
		{"stuck", "stuck\n", lesson.Stuck, 0, []string{"NOT ANSWERED."}},
		{"stuck and an answer", "3,4\n3\n", lesson.Right, 0, []string{"Not to know stands alone"}},
		{"no such number", "9\n3\n", lesson.Right, 0, []string{"There is no 9 in the list"}},
		{"nothing of it", "0\n", lesson.Stuck, 0, []string{"NOT ANSWERED."}},
		{"hints", "?\n?\n3\n", lesson.Right, 2, []string{"Hint 1 of 3. Look at: material, next finish.", "Hint 2 of 3."}},
		{"hints to the end", "?\n?\n?\n?\n3\n", lesson.Right, 3, []string{"There are no more hints."}},
		{"back to the situation", "b\n3\n", lesson.Right, 0, []string{"What is known"}},
	} {
		out, given, err := learn(t, s, l, filepath.Join(t.TempDir(), "r.yaml"), tt.typed)
		if !errors.Is(err, interview.ErrInputEnded) || len(given) != 1 || given[0].Mark != tt.mark || given[0].Hints != tt.hints {
			t.Errorf("%s: %+v, ended by %v", tt.name, given, err)
		}
		for _, want := range tt.shown {
			if !strings.Contains(strings.Join(strings.Fields(out), " "), want) {
				t.Errorf("%s: %q is not in\n%s", tt.name, want, out)
			}
		}
	}
}

// An order takes each of its steps once; whoever is stuck says so.
func TestLearnOrders(t *testing.T) {
	s, l := lessontest.One(t, "boathouse-door")
	own := *l
	own.Exercises = l.Exercises[3:]
	for _, tt := range []struct {
		name, typed string
		mark        lesson.Mark
		shown       string
	}{
		{"stuck", "6\n", lesson.Stuck, "NOT ANSWERED."},
		{"not known", "u\n", lesson.Stuck, "The order"},
		{"one is missing", "1,2\n6\n", lesson.Stuck, "Name each of the 5 once, first to last."},
		{"one is there twice", "1,2,3,4,4\n6\n", lesson.Stuck, "Name each of the 5 once, first to last."},
		{"the paste first", "apply_paste, set_barrier_and_signs, test_patch, dry, ask_consent\n", lesson.Dangerous, "! Too late: Put up a barrier"},
	} {
		out, given, err := learn(t, s, &own, filepath.Join(t.TempDir(), "r.yaml"), tt.typed)
		if err != nil || len(given) != 1 || given[0].Mark != tt.mark || !strings.Contains(out, tt.shown) {
			t.Errorf("%s: %+v, ended by %v\n%s", tt.name, given, err, out)
		}
	}
}

// A lesson that was stopped is gone on with where it stopped, and begins anew once it was done.
func TestLearnGoesOn(t *testing.T) {
	s, l := lessontest.One(t, "oak-table")
	path := filepath.Join(t.TempDir(), "r.yaml")
	_, given, err := learn(t, s, l, path, "3\nq\n")
	if !errors.Is(err, interview.ErrStopped) || len(given) != 1 {
		t.Fatalf("%v %v", given, err)
	}
	out, given, err := learn(t, s, l, path, "stuck\n")
	if err != nil || len(given) != 2 || !strings.Contains(out, "Going on with exercise 2 of 2") {
		t.Fatalf("%v %v\n%s", given, err, out)
	}
	_, given, _ = learn(t, s, l, path, "3\n")
	if len(given) != 1 {
		t.Errorf("a lesson that was done does not begin anew: %v", given)
	}
}

// What is found out after an exercise is told, and counts from then on.
func TestLearnFindsOut(t *testing.T) {
	s, l := lessontest.One(t, "oak-table")
	own := *l
	own.Exercises = []*lesson.Exercise{{Kind: lesson.MissingQuestion, Then: l.Exercises[1].To}, {Kind: lesson.ChooseMethod}}
	out, _, err := learn(t, s, &own, filepath.Join(t.TempDir(), "r.yaml"), "1\nstuck\n")
	if err != nil || !strings.Contains(out, "Found out now\n  * next finish: paint") {
		t.Errorf("%v\n%s", err, out)
	}
}

// A trainer's run shows each question before what is revealed, and keeps nothing.
func TestTeach(t *testing.T) {
	s, l := lessontest.One(t, "oak-table")
	var out bytes.Buffer
	p := interview.NewPlain(strings.NewReader(""), &out, 80, true)
	if err := ask.Teach(context.Background(), p, s, l); err != nil {
		t.Fatal(err)
	}
	at := -1
	for _, want := range []string{"[1 of 5]", "What is known", "[2 of 5]", "Which of these may not be used here?", "[3 of 5] Revealed.", "The advice", "[5 of 5] Revealed."} {
		next := strings.Index(out.String(), want)
		if next < at {
			t.Errorf("%q does not come in its turn in\n%s", want, out.String())
		}
		at = next
	}
}
