// Package golden compares what tests made with files that a person has read and found right.
package golden

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the golden files anew")

// Check compares got with the file of that name below testdata of the package under test, and shows the first line that
// differs. With -update it writes the file.
func Check[T string | []byte](t testing.TB, name string, got T) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if string(got) == string(want) {
		return
	}
	gotLines, wantLines := strings.Split(string(got), "\n"), strings.Split(string(want), "\n")
	for i, line := range gotLines {
		if i >= len(wantLines) || line != wantLines[i] {
			t.Errorf("%s:%d: got\n%s\n(go test with -update writes it anew)", path, i+1, line)
			return
		}
	}
	t.Errorf("%s has more lines than were written", path)
}
