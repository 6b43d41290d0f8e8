package figures_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
)

// row is a line of a reference table by column. The source of each table stands in its first line.
type row map[string]string

func (r row) num(t *testing.T, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	if err != nil {
		t.Fatalf("column %s of %v: %v", column, r, err)
	}
	return v
}

// table reads a reference table and fails if it has lost rows.
func table(t *testing.T, name string, rows int) []row {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", "tables", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	reader := csv.NewReader(f)
	reader.Comment = '#'
	lines, err := reader.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(lines)-1 != rows {
		t.Fatalf("%s has %d rows, not %d", name, len(lines)-1, rows)
	}
	var out []row
	for _, line := range lines[1:] {
		r := row{}
		for i, column := range lines[0] {
			r[column] = line[i]
		}
		out = append(out, r)
	}
	return out
}

// near compares a result with an expected value within its stated precision.
func near[T ~float64](t *testing.T, what string, got T, err error, want, tolerance float64) {
	t.Helper()
	if err != nil {
		t.Errorf("%s: %v", what, err)
	} else if !(math.Abs(float64(got)-want) <= tolerance) {
		t.Errorf("%s is %.6g, not %g within %g", what, float64(got), want, tolerance)
	}
}
