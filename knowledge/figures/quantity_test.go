package figures_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"patchfirst/knowledge/figures"
)

// Conversion factors computed with GNU units 2.22.
func TestUnitsAgainstTheTable(t *testing.T) {
	for _, r := range table(t, "unit-factors.csv", 31) {
		from, ok1 := figures.FindUnit(r["from"])
		to, ok2 := figures.FindUnit(r["to"])
		got, ok3 := from.To(to, 1)
		if !ok1 || !ok2 || !ok3 {
			t.Errorf("%s is not turned into %s", r["from"], r["to"])
			continue
		}
		want := r.num(t, "factor")
		near(t, r["from"]+" in "+r["to"], got, nil, want, 1e-14*want)
	}
	fahrenheit, _ := figures.FindUnit("°F")
	celsius, _ := figures.FindUnit("°C")
	for f, c := range map[float64]float64{32: 0, 212: 100, -40: -40, 70: 190. / 9} { // fixed points of the scales
		got, _ := fahrenheit.To(celsius, f)
		near(t, fmt.Sprint(f, " °F"), got, nil, c, 1e-12)
	}
}

func TestParseQuantity(t *testing.T) {
	for _, test := range []struct {
		text string
		want figures.Dimension
		low  float64 // in the unit named below
		high float64
		unit string
	}{
		{"2.4 m", figures.Length, 2.4, 2.4, "m"},
		{"2.4m", figures.Length, 2.4, 2.4, "m"},
		{"  240 CM ", figures.Length, 240, 240, "cm"},
		{"6'8\"", figures.Length, 80, 80, "in"},
		{"6 ft 8 in", figures.Length, 80, 80, "in"},
		{"6'-8\"", figures.Length, 80, 80, "in"},
		{"6 ft 8 1/2 in", figures.Length, 80.5, 80.5, "in"},
		{"3/16 in", figures.Length, 0.1875, 0.1875, "in"},
		{"1 1/2 inches", figures.Length, 1.5, 1.5, "in"},
		{"1½ in", figures.Length, 1.5, 1.5, "in"},
		{"2-3 mm", figures.Length, 2, 3, "mm"},
		{"2 – 3 mm", figures.Length, 2, 3, "mm"},
		{"2 to 3 mm", figures.Length, 2, 3, "mm"},
		{"2 mm to 1 cm", figures.Length, 0.2, 1, "cm"},
		{"2-2 mm", figures.Length, 2, 2, "mm"},
		{"1000 m", figures.Length, 1000, 1000, "m"},
		{"100%", figures.Share, 100, 100, "%"},
		{"1,250.5 mm", figures.Length, 1250.5, 1250.5, "mm"},
		{".5 m", figures.Length, 0.5, 0.5, "m"},
		{"130 sq ft", figures.Area, 130, 130, "ft²"},
		{"12 m2", figures.Area, 12, 12, "m²"},
		{"5 L", figures.Volume, 5, 5, "L"},
		{"1 US gal", figures.Volume, 1, 1, "US gal"},
		{"2 imperial gallons", figures.Volume, 2, 2, "imp gal"},
		{"8 oz", figures.Weight, 8, 8, "oz"},
		{"-5 °C", figures.Temperature, -5, -5, "°C"},
		{"−5 to 3 °C", figures.Temperature, -5, 3, "°C"},
		{"-5 to -2 °C", figures.Temperature, -5, -2, "°C"},
		{"54F", figures.Temperature, 54, 54, "°F"},
		{"80 %", figures.Share, 80, 80, "%"},
		{"80 percent", figures.Share, 80, 80, "%"},
		{"2", figures.Count, 2, 2, "times"},
		{"2 coats", figures.Count, 2, 2, "times"},
		{"8.5", figures.Acidity, 8.5, 8.5, "pH"},
		{"pH 8-9", figures.Acidity, 8, 9, "pH"},
		{"1.2 mg/cm2", figures.LeadLoading, 1.2, 1.2, "mg/cm²"},
	} {
		q, err := figures.ParseQuantity(test.text, test.want)
		if err != nil {
			t.Errorf("%q: %v", test.text, err)
			continue
		}
		if math.Abs(q.Low-test.low) > 1e-12 || math.Abs(q.High-test.high) > 1e-12 || q.Unit.Symbol != test.unit {
			t.Errorf("%q is read as %v", test.text, q)
		}
	}
}

func TestParseQuantityAsksBack(t *testing.T) {
	for _, test := range []struct {
		text string
		want figures.Dimension
		asks string // part of the question
	}{
		{"3 gal", figures.Volume, "US gallons (3.785 L) or imperial gallons (4.546 L)?"},
		{"3 gallons", figures.Volume, "US gallons"},
		{"2-3 gal", figures.Volume, "US gallons"},
		{"1 pint", figures.Volume, "imperial pints"},
		{"8 fl oz", figures.Volume, "US fluid ounces"},
		{"8 oz", figures.Volume, "US fluid ounces"},
		{"2 tons", figures.Weight, "tonnes"},
		{"20 degrees", figures.Temperature, "Celsius or Fahrenheit?"},
		{"20°", figures.Temperature, "Celsius or Fahrenheit?"},
		{"2,5 m", figures.Length, "If so, write 2.5."},
		{"1,250 mm", figures.Length, "Write 1.250 or 1250."},
		{"0,125 m", figures.Length, "If so, write 0.125."},
		{"1,2,5 m", figures.Length, "the commas cannot be read"},
		{"-80 °C", figures.Temperature, "-60 to 1200 °C is read"},
		{"£40", figures.Volume, "that is money"},
		{"40 €/L", figures.Volume, "that is money"},
		{"40 dollars", figures.Volume, "that is money"},
		{"-3 m", figures.Length, "less than nothing"},
		{"3000 m", figures.Length, "Is the unit right"},
		{"120%", figures.Share, "Is the unit right"},
		{"900 °C to 2000 °C", figures.Temperature, "Is the unit right"},
		{"", figures.Length, "no figure was given"},
		{"tall", figures.Length, "no figure stands at the front"},
		{"NaN m", figures.Length, "no figure"},
		{"2.4", figures.Length, "of what unit?"},
		{"2.4 kg", figures.Length, "that measures mass, and length is wanted"},
		{"3 gal", figures.Length, "length is wanted"},
		{"2.4 furlongs", figures.Length, `the unit "furlongs" is not known`},
		{"3 2 m", figures.Length, "two numbers"},
		{"1.2.3 m", figures.Length, "not a number"},
		{"1/0 in", figures.Length, "divided by nought"},
		{"3-2 mm", figures.Length, "smaller one first"},
		{"2-3-4 mm", figures.Length, "not known"},
	} {
		q, err := figures.ParseQuantity(test.text, test.want)
		var question *figures.Question
		if !errors.As(err, &question) {
			t.Errorf("%q is read as %v (%v)", test.text, q, err)
			continue
		}
		if !strings.Contains(question.Asks, test.asks) {
			t.Errorf("%q is asked %q, without %q", test.text, question.Asks, test.asks)
		}
		if question.Wrote != strings.TrimSpace(test.text) {
			t.Errorf("%q is repeated as %q", test.text, question.Wrote)
		}
		for sentence := range strings.SplitSeq(question.Asks, ". ") {
			if n := len(strings.Fields(sentence)); n > 25 {
				t.Errorf("%q: a sentence of %d words: %s", test.text, n, sentence)
			}
		}
	}
}

// Whatever is written, it is read in order, in bounds and in the dimension asked for, or a question is asked back.
func FuzzParseQuantity(f *testing.F) {
	for _, seed := range []string{"2.4 m", "6'8\"", "1½ in", "2-3 mm", "3 gal", "2,5 m", "£40", "-5 to -2 °C", "1e9 m", "1/0 in", "", "'", "-", "to", "½", "1,2,3", "999999999999999999999 m"} {
		f.Add(seed)
	}
	dimensions := []figures.Dimension{figures.Length, figures.Volume, figures.Temperature, figures.Share, figures.Count, figures.Acidity}
	f.Fuzz(func(t *testing.T, text string) {
		for _, d := range dimensions {
			q, err := figures.ParseQuantity(text, d)
			if err != nil {
				var question *figures.Question
				if !errors.As(err, &question) || question.Asks == "" {
					t.Fatalf("%q: %v", text, err)
				}
				continue
			}
			if q.Check() != nil || q.Unit.Dimension != d || math.IsInf(q.Low, 0) || math.IsInf(q.High, 0) {
				t.Fatalf("%q is read as %+v for %s", text, q, d)
			}
			again, err := figures.ParseQuantity(q.AsGiven(), d)
			if q.Known() && q.Point < 1e6 && q.Point > 1e-6 && (err != nil || again.Point != q.Point) {
				t.Fatalf("%q is read as %s, and that as %v (%v)", text, q.AsGiven(), again, err)
			}
		}
	})
}

func TestInUS(t *testing.T) {
	for metric, want := range map[string]string{"3 m": "9.8 ft", "1 mm": "0.039 in", "10 m²": "110 ft²", "5 L": "1.3 US gal", "10 kg": "22 lb", "10 °C": "50 °F", "8 h": "8 h", "2 ft": "2 ft"} {
		for _, d := range []figures.Dimension{figures.Length, figures.Area, figures.Volume, figures.Weight, figures.Temperature, figures.Time} {
			if q, err := figures.ParseQuantity(metric, d); err == nil && q.InUS().String() != want {
				t.Errorf("%s is %s, not %s", metric, q.InUS(), want)
			}
		}
	}
}

// Every unit can be written and read back, and turned into any other of its dimension and back.
func TestUnitRoundTrips(t *testing.T) {
	symbols := []string{"m", "mm", "cm", "µm", "in", "ft", "yd", "mil", "m²", "cm²", "ft²", "in²", "yd²", "L", "mL", "m³", "US gal", "imp gal", "US qt", "imp qt",
		"US pt", "imp pt", "US fl oz", "imp fl oz", "ft³", "yd³", "kg", "g", "t", "lb", "oz", "US ton", "imp ton", "°C", "°F", "h", "min", "s", "days",
		"kg/m³", "g/cm³", "lb/ft³", "lb/US gal", "m³/h", "cfm", "m²/L", "ft²/US gal", "mg/m³", "µg/m³", "kg/m²", "g/m²"}
	rapid.Check(t, func(t *rapid.T) {
		from, ok := figures.FindUnit(rapid.SampledFrom(symbols).Draw(t, "from"))
		to, ok2 := figures.FindUnit(rapid.SampledFrom(symbols).Draw(t, "to"))
		v := rapid.Float64Range(-1e6, 1e6).Draw(t, "value")
		there, same := from.To(to, v)
		if !ok || !ok2 || same != (from.Dimension == to.Dimension) {
			t.Fatalf("%v and %v", from, to)
		}
		if !same {
			return
		}
		back, _ := to.To(from, there)
		if math.Abs(back-v) > 1e-12*(math.Abs(v)+500) {
			t.Fatalf("%g %s is %g %s, and back %g", v, from.Symbol, there, to.Symbol, back)
		}
	})
}
