package statistics

import "slices"

// Isotonic returns the never falling values nearest to y by weighted least squares, by pooling neighbours that fall
// (Ayer and others 1955). Weights must be positive; nil weighs all alike.
func Isotonic(y, weights []float64) []float64 {
	type block struct {
		mean, weight float64
		size         int
	}
	var blocks []block
	for i, v := range y {
		b := block{v, 1, 1}
		if weights != nil {
			b.weight = weights[i]
		}
		for len(blocks) > 0 && blocks[len(blocks)-1].mean > b.mean {
			last := blocks[len(blocks)-1]
			w := last.weight + b.weight
			b = block{(last.mean*last.weight + b.mean*b.weight) / w, w, last.size + b.size}
			blocks = blocks[:len(blocks)-1]
		}
		blocks = append(blocks, b)
	}
	fitted := make([]float64, 0, len(y))
	for _, b := range blocks {
		fitted = append(fitted, slices.Repeat([]float64{b.mean}, b.size)...)
	}
	return fitted
}

// Status is one look at one thing: at a time it had happened already, or not yet.
type Status struct {
	At       float64
	Happened bool
}

// Level is the estimated share that has happened by a time, with the looks that were made then.
type Level struct {
	At       float64
	Share    float64
	Happened int
	Looks    int
}

// CurrentStatus returns the maximum-likelihood estimate of the share that has happened by each time at which anything
// was looked at, each thing once: the isotonic regression of the shares seen (Ayer and others 1955).
func CurrentStatus(looks []Status) []Level {
	looks = slices.Clone(looks)
	slices.SortStableFunc(looks, func(a, b Status) int {
		switch {
		case a.At < b.At:
			return -1
		case a.At > b.At:
			return 1
		}
		return 0
	})
	var levels []Level
	for _, l := range looks {
		if k := len(levels); k == 0 || levels[k-1].At != l.At {
			levels = append(levels, Level{At: l.At})
		}
		last := &levels[len(levels)-1]
		last.Looks++
		if l.Happened {
			last.Happened++
		}
	}
	seen, weights := make([]float64, len(levels)), make([]float64, len(levels))
	for i, l := range levels {
		seen[i], weights[i] = float64(l.Happened)/float64(l.Looks), float64(l.Looks)
	}
	for i, share := range Isotonic(seen, weights) {
		levels[i].Share = share
	}
	return levels
}
