package figures

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// Quantity is a measured range in the unit that it was written in.
type Quantity struct {
	Range
	Unit Unit
}

// In turns the quantity into another unit; false says that the unit measures something else.
func (q Quantity) In(u Unit) (Quantity, bool) {
	out := Quantity{Unit: u}
	for _, part := range []struct {
		from float64
		to   *float64
	}{{q.Low, &out.Low}, {q.Point, &out.Point}, {q.High, &out.High}} {
		v, ok := q.Unit.To(u, part.from)
		if !ok {
			return Quantity{}, false
		}
		*part.to = v
	}
	return out, true
}

// String prints the quantity with its unit as Range does, but pH and temperatures to one decimal: they count from no true
// nought, so significant figures mean nothing there.
func (q Quantity) String() string {
	switch q.Unit.Dimension {
	case Acidity, Temperature, Difference:
		return q.written(oneDecimal)
	}
	return q.written(twoFigures)
}

// american are the customary US units by the metric ones.
var american = map[string]string{"m": "ft", "cm": "in", "mm": "in", "µm": "mil", "m²": "ft²", "cm²": "in²", "L": "US gal", "mL": "US fl oz", "m³": "ft³",
	"kg": "lb", "g": "oz", "°C": "°F", "kg/m³": "lb/ft³", "m³/h": "cfm", "m²/L": "ft²/US gal",
	"h/m²": "h/ft²", "L/m²": "US gal/ft²", "kg/m²": "lb/ft²", "¤/L": "¤/US gal", "¤/m²": "¤/ft²", "¤/kg": "¤/lb"}

// InUS turns a metric quantity into the customary US unit; one that has none stays.
func (q Quantity) InUS() Quantity {
	if u, ok := FindUnit(american[q.Unit.Symbol]); ok {
		if converted, ok := q.In(u); ok {
			return converted
		}
	}
	return q
}

// AsGiven prints the quantity unrounded.
func (q Quantity) AsGiven() string {
	return q.written(func(v float64, _ func(float64) float64) float64 { return v })
}

// Worked prints the quantity to six figures, for whoever follows a working.
func (q Quantity) Worked() string {
	return q.written(func(v float64, _ func(float64) float64) float64 {
		rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 6, 64), 64)
		if err != nil {
			return v
		}
		return rounded
	})
}

func (q Quantity) written(keep rounding) string {
	return q.Range.written(keep, func(figure string) string { return withUnit(figure, q.Unit.Symbol) })
}

// Question is asked back when a quantity can be read in more than one way, or in none.
type Question struct {
	Wrote string // what was written
	Asks  string
}

func (q *Question) Error() string { return fmt.Sprintf("%q: %s", q.Wrote, q.Asks) }

// whose lists the names that several units share, by dimension, with the question to ask.
var whose = map[string]map[Dimension]string{}

func init() {
	for names, ask := range map[string]string{
		"gal,gals,gallon,gallons": "is that US gallons (3.785 L) or imperial gallons (4.546 L)? Write \"US gal\" or \"imp gal\".",
		"qt,qts,quart,quarts":     "is that US quarts (0.946 L) or imperial quarts (1.137 L)? Write \"US qt\" or \"imp qt\".",
		"pt,pts,pint,pints":       "is that US pints (0.473 L) or imperial pints (0.568 L)? Write \"US pt\" or \"imp pt\".",
		"floz,fl.oz,fl.oz.,fluidounce,fluidounces,oz,ounce,ounces": "is that US fluid ounces (29.57 mL) or imperial ones (28.41 mL)? Write \"US fl oz\" or \"imp fl oz\".",
	} {
		ambiguous(names, Volume, ask)
	}
	ambiguous("ton,tons", Weight, "is that tonnes (1000 kg), US tons (907 kg) or imperial tons (1016 kg)? Write \"t\", \"US ton\" or \"imp ton\".")
	ambiguous("°,deg,degs,degree,degrees,º", Temperature, "is that Celsius or Fahrenheit? Write \"°C\" or \"°F\".")
}

func ambiguous(names string, d Dimension, ask string) {
	for name := range strings.SplitSeq(names, ",") {
		whose[name] = map[Dimension]string{d: ask}
	}
}

var (
	feetAndInches = regexp.MustCompile(`^([0-9]+)\s*(?:ft|feet|foot|['′’])\s*-?\s*([0-9][0-9./ ]*)\s*(?:in|inch|inches|["″”])?$`)
	money         = regexp.MustCompile(`(?i)[£$€¥¢]|\b(?:usd|gbp|eur|euros?|dollars?|pence)\b`)
	acidityFirst  = regexp.MustCompile(`(?i)^ph\s*`)
	numberFirst   = regexp.MustCompile(`^([-+]?[0-9.,][0-9., ]*(?:/ *[0-9]+)?)\s*(.*)$`)
	toRange       = regexp.MustCompile(`^(.+?)\s*\bto\b\s*(.+)$`)
	dashRange     = regexp.MustCompile(`^(.*[^\s-])\s*[–—-]\s*([0-9.,].*)$`)
	spellings     = strings.NewReplacer("−", "-", "\u00a0", " ", "\u202f", " ", "\u2009", " ", "½", " 1/2", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8", "⁄", "/")
)

// ParseQuantity reads a quantity of a dimension as people write it: "2.4 m", "6'8\"", "3/16 in", "1 1/2 in", "54 °F", or a
// range, "2-3 mm" or "2 to 3 mm", whose point is the middle. What can be read in two ways (a bare gallon, a decimal
// comma), or in none (money, less than nothing, a size that no building has), is a *Question; nothing is guessed.
func ParseQuantity(text string, want Dimension) (Quantity, error) {
	wrote := strings.TrimSpace(text)
	ask := func(format string, args ...any) (Quantity, error) {
		return Quantity{}, &Question{wrote, fmt.Sprintf(format, args...)}
	}
	clean := strings.TrimSpace(spellings.Replace(wrote))
	if want == Acidity {
		clean = acidityFirst.ReplaceAllString(clean, "")
	}
	if clean == "" {
		return ask("no figure was given. Write one such as %s.", want.example())
	}
	if money.MatchString(clean) {
		return ask("that is money. Which %s is meant? Write it such as %s.", want, want.example())
	}
	q, err := parseRange(clean, want)
	if err != nil {
		return ask("%s", asked(err))
	}
	return q, nil
}

// parseRange reads one figure with its unit, or two.
func parseRange(clean string, want Dimension) (Quantity, error) {
	m := toRange.FindStringSubmatch(clean)
	if m == nil && !feetAndInches.MatchString(clean) {
		m = dashRange.FindStringSubmatch(clean)
	}
	if m == nil {
		return parseOne(clean, want)
	}
	high, err := parseOne(m[2], want)
	if err != nil {
		return Quantity{}, err
	}
	first := m[1]
	if numberFirst.FindString(first) != "" && numberFirst.FindStringSubmatch(first)[2] == "" {
		first += " " + high.Unit.Symbol
	}
	low, err := parseOne(first, want)
	if err != nil {
		return Quantity{}, err
	}
	low, _ = low.In(high.Unit)
	if low.Point > high.Point {
		return Quantity{}, &Question{clean, "the first figure is the larger one. Write the smaller one first."}
	}
	return Quantity{Between(low.Point, high.Point), high.Unit}, nil
}

// asked is the question of an error from parseOne, without what was written.
func asked(err error) string {
	if q, ok := err.(*Question); ok {
		return q.Asks
	}
	return err.Error()
}

func parseOne(text string, want Dimension) (Quantity, error) {
	ask := func(format string, args ...any) (Quantity, error) {
		return Quantity{}, &Question{text, fmt.Sprintf(format, args...)}
	}
	var value float64
	var unit Unit
	if m := feetAndInches.FindStringSubmatch(text); m != nil {
		feet, inches, asks := 0.0, 0.0, ""
		if feet, asks = number(m[1]); asks == "" {
			inches, asks = number(m[2])
		}
		if asks != "" {
			return ask("%s", asks)
		}
		value, unit = feet*12+inches, unitNames["in"]
	} else {
		m := numberFirst.FindStringSubmatch(text)
		if m == nil {
			return ask("no figure stands at the front. Write one such as %s.", want.example())
		}
		var asks string
		if value, asks = number(m[1]); asks != "" {
			return ask("%s", asks)
		}
		name := squeezed(m[2])
		if question, ok := whose[name][want]; ok {
			return ask("%s", question)
		}
		found, ok := unitNames[name]
		switch {
		case name == "" && (want == Count || want == Acidity):
			found, _ = FindUnit(map[Dimension]string{Count: "times", Acidity: "pH"}[want])
		case name == "":
			return ask("of what unit? Write it such as %s.", want.example())
		case !ok && whose[name] != nil:
			return ask("%s is wanted. Write it such as %s.", want, want.example())
		case !ok:
			return ask("the unit %q is not known. Write it such as %s.", m[2], want.example())
		}
		unit = found
	}
	if unit.Dimension != want {
		return ask("that measures %s, and %s is wanted. Write it such as %s.", unit.Dimension, want, want.example())
	}
	base := value*unit.Factor + unit.Offset
	switch low, high := want.plausible(); {
	case base < 0 && low == 0:
		return ask("that is less than nothing. Write it without the minus sign if that is meant.")
	case base < low || base > high || math.IsNaN(base):
		return ask("no job has that. Is the unit right, and the decimal point? %s to %s is read.", plain(low), measured(high, baseSymbol(want)))
	}
	return Quantity{Exactly(value), unit}, nil
}

func baseSymbol(d Dimension) string {
	for _, u := range units {
		if u.Dimension == d {
			return u.Symbol
		}
	}
	return ""
}

var (
	pointDecimal = regexp.MustCompile(`^[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)$`)
	grouped      = regexp.MustCompile(`^[-+]?[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)$|^[-+]?[0-9]{1,3}(?:,[0-9]{3}){2,}$`)
	fraction     = regexp.MustCompile(`^([-+]?)(?:([0-9]+) +)?([0-9]+) */ *([0-9]+)$`)
)

// number reads a number, or says what to ask back.
func number(text string) (value float64, asks string) {
	text = strings.TrimSpace(text)
	if m := fraction.FindStringSubmatch(text); m != nil {
		whole, _ := strconv.ParseFloat("0"+m[2], 64)
		top, _ := strconv.ParseFloat(m[3], 64)
		bottom, _ := strconv.ParseFloat(m[4], 64)
		if bottom == 0 {
			return 0, "nothing can be divided by nought. Write the fraction again."
		}
		value = whole + top/bottom
		if m[1] == "-" {
			value = -value
		}
		return value, ""
	}
	switch {
	case grouped.MatchString(text):
		text = strings.ReplaceAll(text, ",", "")
	case strings.Contains(text, ","):
		whole, rest, _ := strings.Cut(text, ",")
		switch {
		case strings.ContainsAny(rest, ",. ") || rest == "" || whole == "":
			return 0, "the commas cannot be read. Write a decimal point, and no commas, such as 1250.5."
		case len(rest) == 3 && strings.Trim(whole, "+-0") != "":
			return 0, fmt.Sprintf("is the comma a decimal point? Write %s.%s or %s%s.", whole, rest, whole, rest)
		}
		return 0, fmt.Sprintf("is the comma a decimal point? If so, write %s.%s.", whole, rest)
	case strings.Contains(text, " "):
		return 0, "those are two numbers. Write one, without a space in it."
	}
	if !pointDecimal.MatchString(text) {
		return 0, "that is not a number. Write one such as 2.4."
	}
	value, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(value, 0) {
		return 0, "that number is too large. Write it again."
	}
	return value, ""
}
