package takeoff

import "testing"

func BenchmarkCompare(b *testing.B) {
	c := caseOf(b, base(b), door)
	for b.Loop() {
		if _, err := c.Compare(); err != nil {
			b.Fatal(err)
		}
	}
}
