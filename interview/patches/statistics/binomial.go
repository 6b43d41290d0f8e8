// Package statistics holds the estimates that a few test patches allow: pure functions over numbers, without any trade.
package statistics

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// ClopperPearson returns the exact two-sided interval for a share of which x of n were seen, at a confidence such as
// 0.95 (Clopper and Pearson 1934). Without trials, or with x outside 0..n, nothing is known: it returns 0 and 1.
func ClopperPearson(x, n int, confidence float64) (lo, hi float64) {
	tail := (1 - confidence) / 2
	return lower(x, n, tail), upper(x, n, tail)
}

// AtMost returns the exact one-sided upper limit of a share of which x of n were seen.
func AtMost(x, n int, confidence float64) float64 { return upper(x, n, 1-confidence) }

func lower(x, n int, tail float64) float64 {
	if x <= 0 || x > n || tail <= 0 || tail >= 1 {
		return 0
	}
	return distuv.Beta{Alpha: float64(x), Beta: float64(n - x + 1)}.Quantile(tail)
}

func upper(x, n int, tail float64) float64 {
	if x < 0 || x >= n || tail <= 0 || tail >= 1 {
		return 1
	}
	return distuv.Beta{Alpha: float64(x + 1), Beta: float64(n - x)}.Quantile(1 - tail)
}

// SuccessRun returns how many trials must all succeed to show a share of successes at a confidence: the smallest n with
// share^n <= 1 - confidence. It returns 0 unless both lie between 0 and 1.
func SuccessRun(share, confidence float64) int {
	if !(share > 0 && share < 1 && confidence > 0 && confidence < 1) {
		return 0
	}
	return int(math.Ceil(math.Log(1-confidence) / math.Log(share)))
}
