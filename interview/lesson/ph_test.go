package lesson

import (
	"testing"

	"patchfirst/knowledge/figures"
)

// A pH log is held against the limits of the base: within one unit of an untouched spot (MIL-HDBK-1110 6.7.2.1), read with
// paper in steps of 0.5 in at least two places (ASTM D4262).
func TestReadPH(t *testing.T) {
	s, _ := shelf()
	strip := func(step figures.PH) figures.PHInstrument {
		i, err := figures.PHStrip(step)
		if err != nil {
			t.Fatal(err)
		}
		return i
	}
	wet := func(surface, control figures.PH) PHReading { return PHReading{Surface: surface, Control: control} }
	dry := func(surface, control figures.PH) PHReading {
		return PHReading{Dry: true, Surface: surface, Control: control}
	}
	for _, tt := range []struct {
		name string
		log  PHLog
		want string
	}{
		{"wet", PHLog{strip(0.5), false, []PHReading{wet(7, 7)}}, phDry},
		{"dry, and then rinsed again", PHLog{strip(0.5), false, []PHReading{dry(7, 7), dry(7, 7), wet(7, 7)}}, phDry},
		{"two above", PHLog{strip(0.5), false, []PHReading{dry(9, 7), dry(7, 7)}}, phRinse},
		{"one above", PHLog{strip(0.5), false, []PHReading{dry(8, 7), dry(7, 7)}}, phPrime},
		{"one above by a decimal that is not exact", PHLog{figures.PHMeter, false, []PHReading{dry(9.1, 8.1), dry(8.3, 8.1)}}, phPrime},
		{"a little more than one above", PHLog{figures.PHMeter, false, []PHReading{dry(9.2, 8.1), dry(8.3, 8.1)}}, phRinse},
		{"lime reads nine by itself", PHLog{figures.PHMeter, false, []PHReading{dry(9.4, 9), dry(9.4, 9)}}, phPrime},
		{"coarse paper", PHLog{strip(1), false, []PHReading{dry(8, 7), dry(7, 7)}}, phFiner},
		{"coarse paper, and surely too high", PHLog{strip(1), false, []PHReading{dry(11, 7), dry(7, 7)}}, phRinse},
		{"one place", PHLog{strip(0.5), false, []PHReading{dry(7, 7)}}, phPlaces},
		{"one place since it was wet", PHLog{strip(0.5), false, []PHReading{dry(7, 7), wet(9, 7), dry(7, 7)}}, phPlaces},
		{"below, without acid", PHLog{strip(0.5), false, []PHReading{dry(5, 7), dry(6, 7)}}, phPrime},
		{"below, after acid", PHLog{strip(0.5), true, []PHReading{dry(5, 7), dry(6, 7)}}, phRinse},
	} {
		if got, says, _ := s.judgePH(&tt.log, nil); got != tt.want {
			t.Errorf("%s: %s, since %s", tt.name, got, says)
		}
	}
}
