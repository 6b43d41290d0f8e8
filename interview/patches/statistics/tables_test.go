package statistics_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// row is a line of a reference table, by column.
type row map[string]string

func (r row) number(t *testing.T, column string) float64 {
	t.Helper()
	text := r[column]
	if text == "Inf" {
		return math.Inf(1)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatalf("%s of %v: %v", column, r, err)
	}
	return v
}

func (r row) count(t *testing.T, column string) int { t.Helper(); return int(r.number(t, column)) }

func table(t *testing.T, path string) []row {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	in := csv.NewReader(f)
	in.Comment, in.TrimLeadingSpace = '#', true
	lines, err := in.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []row
	for _, line := range lines[1:] {
		r := row{}
		for i, column := range lines[0] {
			r[strings.TrimSpace(column)] = line[i]
		}
		rows = append(rows, r)
	}
	if len(rows) == 0 {
		t.Fatalf("%s is empty", path)
	}
	return rows
}

// original is a table of observations that may not be copied here; the test is skipped unless a folder holds it.
func original(t *testing.T, name string) []row {
	t.Helper()
	dir := os.Getenv("PATCHFIRST_REFERENCE_DATA")
	if dir == "" {
		t.Skip("PATCHFIRST_REFERENCE_DATA names no folder that holds " + name)
	}
	return table(t, filepath.Join(dir, name))
}

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }
