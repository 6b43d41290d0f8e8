package explain_test

import (
	"testing"

	"patchfirst/explain"
	"patchfirst/interview/job"
	"patchfirst/knowledge"
)

// BenchmarkAdvise decides all parts of the shipped example.
func BenchmarkAdvise(b *testing.B) {
	base, err := knowledge.Load("")
	if err != nil {
		b.Fatal(err)
	}
	j, err := job.ReadFile(base, "../testdata/jobs/gannet-ness.yaml", nil)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := explain.Advise(base, j); err != nil {
			b.Fatal(err)
		}
	}
}
