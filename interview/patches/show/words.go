// Package show puts plans and readings of test patches on paper: in words, as a map of the patches, and as cards to fill
// in. All of it can be read in black and white.
package show

import (
	"patchfirst/interview/paper"
	"patchfirst/interview/patches"
	"patchfirst/rules"
)

// writer writes about patches on paper.
type writer struct{ *paper.Paper }

func newWriter(b *rules.Base, f *patches.Figures, width int) *writer {
	return &writer{&paper.Paper{Base: b, More: f.Sources, Width: width}}
}

func durations(minutes []float64) string {
	words := make([]string, len(minutes))
	for i, m := range minutes {
		words[i] = patches.Duration(m)
	}
	return paper.Joined(words, "and")
}

func areaWords(area string) string {
	switch area {
	case patches.Worst:
		return "the worst area"
	case patches.Soundest:
		return "the soundest area"
	}
	return "an area not named"
}
