package job

import (
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"patchfirst/rules/source"
)

// Scale is what a reading is measured in. Every unit is named with its factor and offset to the first.
type Scale struct {
	Name     string
	Units    []Unit // none: a plain number
	From, To float64
	Whole    bool
	Outside  string // what to ask of a reading outside
	Example  string
}

// Unit is one unit of a scale: a value in it, plus Offset, times Factor, is in the first unit.
type Unit struct {
	Name           string
	Offset, Factor float64
}

// Scales of more than one kind of entry. The ranges are those of the usual instruments and of sense: from memory, but for
// the pH scale itself.
var (
	Celsius = Scale{"temperature", []Unit{{"C", 0, 1}, {"°C", 0, 1}, {"F", -32, 5. / 9}, {"°F", -32, 5. / 9}}, -30, 70, false,
		"Read the surface beside the patch with a surface thermometer, not the tool that heats it.", "12 C"}
	Millimetres = Scale{"thickness", []Unit{{"mm", 0, 1}, {"cm", 0, 10}, {"in", 0, 25.4}}, 0.1, 100, false, "Read it with a wet-film comb or a marked stick.", "3 mm"}
	Acidity     = Scale{"pH", nil, 0, 14, false, "The pH scale of paper and meters runs from 0 to 14.", "7.5"}
	Coats       = Scale{"number of coats", nil, 0, 100, true, "Count the coats that are left in the worst place of the patch; 0 is clean.", "3"}
	Passes      = Scale{"number of passes", nil, 1, 30, true, "Count the applications so far.", "2"}
)

// Measure reads a reading with its unit, in the first unit of its scale; nil if there is none, or it is no reading.
func (s Scale) Measure(o *source.Object, key string) *float64 {
	text := o.Text(key)
	if text == "" {
		if o.Get(key) != nil && o.Get(key).Kind == yaml.ScalarNode {
			o.Doc.Fail(o.Get(key), "Leave it out if it was not read.", "%q is empty", key)
		}
		return nil
	}
	at := o.Get(key)
	digits, u, ok := s.split(text)
	v, err := strconv.ParseFloat(digits, 64)
	switch {
	case err != nil:
		o.Doc.Fail(at, "Write it such as "+s.Example+".", "%q is not %s", text, s.a())
		return nil
	case !ok && len(s.Units) > 0:
		o.Doc.Fail(at, "Write the unit: "+digits+" "+s.Units[0].Name+s.others()+".", "%s of what? %q has no unit that is known here", digits, key)
		return nil
	}
	v = (v + u.Offset) * u.Factor
	if !(v >= s.From && v <= s.To) || s.Whole && v != float64(int(v)) {
		o.Doc.Fail(at, s.Outside, "%q cannot be %s", key, text)
		return nil
	}
	return &v
}

func (s Scale) split(text string) (digits string, u Unit, ok bool) {
	if len(s.Units) == 0 {
		return text, Unit{Factor: 1}, true
	}
	end := len(text)
	if i := strings.IndexFunc(text, func(r rune) bool { return !strings.ContainsRune("0123456789.+-", r) }); i >= 0 {
		end = i
	}
	name := strings.TrimSpace(text[end:])
	for _, u := range s.Units {
		if strings.EqualFold(u.Name, name) {
			return strings.TrimSpace(text[:end]), u, true
		}
	}
	return strings.TrimSpace(text[:end]), Unit{}, false
}

// a names the scale with its article.
func (s Scale) a() string {
	if strings.ContainsRune("aeiou", rune(s.Name[0])) {
		return "an " + s.Name
	}
	return "a " + s.Name
}

func (s Scale) others() string {
	var names []string
	for _, u := range s.Units[1:] {
		if !strings.HasPrefix(u.Name, "°") {
			names = append(names, u.Name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return ", or in " + strings.Join(names, " or ")
}

// ChoiceOf reads one of some words; empty if the key is absent.
func ChoiceOf(o *source.Object, key string, known ...string) string {
	if o.Get(key) == nil {
		return ""
	}
	return o.Word(key, known...)
}

// NoHarm says that harm was looked for and none was seen.
const NoHarm = "none"

// Harm reads what was seen of harm: NoHarm, or words; empty if it was not looked for.
func Harm(o *source.Object) string {
	text := o.Text("harm")
	switch strings.ToLower(text) {
	case "":
		if o.Get("harm") != nil {
			o.Doc.Fail(o.Get("harm"), "Write harm: none if it was looked for, or leave it out if not.", "the harm is empty")
		}
		return ""
	case "none", "no", "[]", "false":
		return NoHarm
	case "yes", "true":
		o.Doc.Fail(o.Get("harm"), "Write what is seen, such as: grain raised.", "what is the harm?")
	}
	return text
}
