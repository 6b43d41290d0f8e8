package ask_test

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"gopkg.in/yaml.v3"

	"patchfirst/interview"
	"patchfirst/interview/job"
	"patchfirst/interview/patches"
	"patchfirst/interview/patches/ask"
	"patchfirst/knowledge"
)

func TestDraft(t *testing.T) {
	b, err := knowledge.Load("")
	if err != nil {
		t.Fatal(err)
	}
	const put = "- {id: 1, kind: patch, at: 2026-06-01T08:00:00+01:00, by: AK, patch: A1, method: steam}\n"
	const paste = "- {id: 1, kind: patch, at: 2026-06-01T08:00:00+01:00, by: AK, patch: A1, method: alkaline_covered, thickness: 3 mm}\n"
	const look = "- {id: 2, kind: look, at: 2026-06-01T09:00:00+01:00, by: AK, patch: A1, layers_left: 3}\n"
	for _, test := range []struct {
		name, log string
		typed     []string
		want      job.Draft
		said      string
		err       error
	}{
		{"put on", "", []string{"1", "steam", "A1", "u", "left stile", "1", "12", "12 C", "u", "AK"},
			job.Draft{"kind": "patch", "method": "steam", "patch": "A1", "where": "left stile", "area": "worst", "surface_temp": "12 C", "by": "AK"}, "12 of what?", nil},
		{"looked at", put, []string{"2", "1", "three", "3", "2", "yes", "none", "15", "7.5", "u", "u", "AK"},
			job.Draft{"kind": "look", "patch": "A1", "layers_left": "3", "lifts": "with_work", "harm": "none", "ph": "7.5", "by": "AK"}, "what is the harm?", nil},
		{"looked at under paste", paste, []string{"2", "1", "3", "1", "none", "u", "3", "2", "yes", "u", "9 o'clock", "2026-06-01T09:30:00+01:00", "AK"},
			job.Draft{"kind": "look", "patch": "A1", "layers_left": "3", "lifts": "easily", "harm": "none", "edges": "dry", "passes": "2", "off": "true", "at": "2026-06-01T09:30:00+01:00", "by": "AK"}, "is not a date and time", nil},
		{"the paste stays on", paste, []string{"2", "1", "3", "1", "none", "u", "1", "u", "no", "u", "u", "AK"},
			job.Draft{"kind": "look", "patch": "A1", "layers_left": "3", "lifts": "easily", "harm": "none", "edges": "wet", "by": "AK"}, "", nil},
		{"an untouched spot", put, []string{"3", "sill", "6.5", "u", "u", "AK"}, job.Draft{"kind": "control", "where": "sill", "ph": "6.5", "by": "AK"}, "untouched", nil},
		{"an entry was wrong", put + look, []string{"4", "2", "miscounted", "1", "1", "2", "1", "none", "u", "12 C", "AK"},
			job.Draft{"kind": "look", "corrects": "2", "because": "miscounted", "patch": "A1", "layers_left": "2", "lifts": "easily", "harm": "none", "surface_temp": "12 C", "by": "AK"}, "entry 2, 1 Jun 09:00: look A1", nil},
		{"an entry is taken back", put + look, []string{"4", "2", "wrong door", "2", "AK"}, job.Draft{"kind": "strike", "corrects": "2", "because": "wrong door", "by": "AK"}, "it is taken back", nil},
		{"stopped", put, []string{"2", "q"}, nil, "", interview.ErrStopped},
		{"the input ends", put, []string{"2"}, nil, "", interview.ErrInputEnded},
	} {
		var n yaml.Node
		if err := yaml.Unmarshal([]byte(test.log), &n); err != nil {
			t.Fatal(err)
		}
		var log *yaml.Node
		if len(n.Content) > 0 {
			log = n.Content[0]
		}
		r, err := patches.ReadRecord(b, "log.yaml", log)
		if err != nil {
			t.Fatal(err)
		}
		var out strings.Builder
		p := interview.NewPlain(strings.NewReader(strings.Join(test.typed, "\n")+"\n"), &out, 80, true)
		got, err := ask.Draft(context.Background(), p, b, r)
		if !errors.Is(err, test.err) || !strings.Contains(out.String(), test.said) {
			t.Errorf("%s: %v\n%s", test.name, err, out.String())
		}
		for key, want := range test.want {
			if got[key] != want {
				t.Errorf("%s: %s is %q, want %q\n%s", test.name, key, got[key], want, out.String())
			}
		}
		if test.want != nil && len(got) != len(test.want) {
			t.Errorf("%s: %v, want %v", test.name, got, test.want)
		}
	}
}

// What is unlikely is asked about: yes writes it and marks it, no writes nothing.
func TestKeepAsksAboutDoubts(t *testing.T) {
	b, err := knowledge.Load("")
	if err != nil {
		t.Fatal(err)
	}
	const text = "job: x\nelements:\n  - name: door\n    layers: 5\n    log:\n      - {id: 1, kind: patch, at: 2026-06-01T08:00:00+01:00, by: AK, patch: A1, method: steam}\n"
	for _, test := range []struct {
		answer string
		kept   bool
	}{{"yes", true}, {"no", false}} {
		path := filepath.Join(t.TempDir(), "job.yaml")
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		var out strings.Builder
		p := interview.NewPlain(strings.NewReader("2\n1\n9\n3\nnone\nu\nu\nu\nAK\n"+test.answer+"\n"), &out, 80, true)
		kept, err := ask.Keep(context.Background(), p, b, path, "", time.Date(2026, 6, 1, 9, 0, 0, 0, time.FixedZone("", 3600)))
		after, readErr := os.ReadFile(path)
		if readErr != nil {
			t.Fatal(readErr)
		}
		var doubt *job.DoubtError
		switch {
		case !strings.Contains(out.String(), "It counts 9 coats left"):
			t.Errorf("nothing was asked: %s", out.String())
		case test.kept && (err != nil || kept.ID != 2 || !strings.Contains(string(after), "sure: true")):
			t.Errorf("%s: %v\n%s", test.answer, err, after)
		case !test.kept && (!errors.As(err, &doubt) || string(after) != text):
			t.Errorf("%s: %v\n%s", test.answer, err, after)
		}
	}
}

// Where no patch was put on there is nothing to look at.
func TestNothingToLookAt(t *testing.T) {
	b, err := knowledge.Load("")
	if err != nil {
		t.Fatal(err)
	}
	p := interview.NewPlain(strings.NewReader("2\n"), &strings.Builder{}, 80, true)
	if _, err := ask.Draft(context.Background(), p, b, &patches.Record{}); err == nil || !strings.Contains(err.Error(), "no patch was put on yet") {
		t.Errorf("%v", err)
	}
}

// While another program has the file nothing is lost: it is asked whether to try again.
func TestKeepWaitsForTheFile(t *testing.T) {
	b, err := knowledge.Load("")
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "job.yaml")
	if err := os.WriteFile(path, []byte("job: x\nelements:\n  - name: door\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	release, err := job.Lock(path)
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	in := &letGo{text: "3\nsill\n6.5\nu\nu\nAK\nyes\n", at: "yes", release: release}
	kept, err := ask.Keep(context.Background(), interview.NewPlain(in, &out, 80, true), b, path, "", time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC))
	if err != nil || kept.ID != 1 || !strings.Contains(out.String(), "Nothing is lost yet") {
		t.Errorf("%v %+v\n%s", err, kept, out.String())
	}
}

// letGo types line by line, and gives the lock back before it types a line.
type letGo struct {
	text, at string
	release  func() error
}

func (l *letGo) Read(p []byte) (int, error) {
	if l.text == "" {
		return 0, io.EOF
	}
	line, rest, _ := strings.Cut(l.text, "\n")
	l.text = rest
	if line == l.at {
		if err := l.release(); err != nil {
			return 0, err
		}
	}
	return copy(p, line+"\n"), nil
}
