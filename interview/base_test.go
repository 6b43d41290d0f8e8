package interview

import (
	"context"
	"strings"
	"testing"

	"patchfirst/interview/job"
	"patchfirst/knowledge"
	"patchfirst/rules"
)

// loadSmall reads a base with one question of each kind, small enough to be decided in no time.
func loadSmall(t testing.TB) *rules.Base {
	t.Helper()
	b, err := knowledge.Load("testdata/small")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func read(t testing.TB, b *rules.Base, text string) *job.Job {
	t.Helper()
	j, err := job.Parse(b, "job.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// sitting runs a plain survey on a job over the given lines. It returns the job as it was saved last, and what was said.
func sitting(t testing.TB, b *rules.Base, j *job.Job, lines ...string) (saved, said string, err error) {
	t.Helper()
	var out strings.Builder
	in := strings.Join(lines, "\n")
	if len(lines) > 0 {
		in += "\n"
	}
	s := newSession(b, j, NewPlain(strings.NewReader(in), &out, 80, true), func(j *job.Job) error {
		data, err := j.Marshal(b)
		saved = string(data)
		return err
	})
	err = s.run(context.Background())
	return saved, out.String(), err
}

func wantContains(t *testing.T, text string, parts ...string) {
	t.Helper()
	for _, p := range parts {
		if !strings.Contains(text, p) {
			t.Errorf("there is no %q in:\n%s", p, text)
		}
	}
}

func ask(f *rules.Fact) string {
	if f == nil {
		return "nothing"
	}
	return f.ID
}
