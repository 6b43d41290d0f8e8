package diary

import (
	"fmt"
	"math"
	"strconv"

	"patchfirst/rules"
)

// number prints a reading to at most two decimals.
func number(v float64) string { return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64) }

// with puts a unit behind a number.
func with(v float64, unit string) string {
	switch unit {
	case "":
		return number(v)
	case "pH":
		if v == 1 {
			return "1 pH unit"
		}
		return number(v) + " pH units"
	}
	return number(v) + " " + unit
}

// limitWords says what a limit asks for: in its own words, with the number where that is not nought.
func limitWords(l *rules.Limit) string {
	words := boundWords(l)
	switch {
	case l.Needs == "":
		return words
	case l.Least == nil && *l.Most == 0:
		return l.Needs
	}
	return l.Needs + ", " + words
}

func boundWords(l *rules.Limit) string {
	switch {
	case l.Least == nil:
		return "at most " + with(*l.Most, l.Unit)
	case l.Most == nil:
		return "at least " + with(*l.Least, l.Unit)
	}
	return fmt.Sprintf("%s to %s", number(*l.Least), with(*l.Most, l.Unit))
}

// orNot puts a reading into words, or says that it was not read.
func orNot(v *float64, format string, args ...any) string {
	if v == nil {
		return "not read"
	}
	return fmt.Sprintf(format, args...)
}

func pointer(v float64) *float64 { return &v }

// exact takes away what decimal readings lose in sums.
func exact(v float64) float64 { return math.Round(v*1e6) / 1e6 }

// times counts something in words.
func times(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
