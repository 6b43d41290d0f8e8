package figures

import (
	"fmt"
	"regexp"
	"strings"

	"golang.org/x/text/currency"
)

// CurrencySign stands for the currency of a job in the symbols of units of money; see InCurrency.
const CurrencySign = "¤"

// InCurrency names the currency in a text with units of money: "28 ¤/h" becomes "28 GBP/h".
func InCurrency(text, name string) string { return strings.ReplaceAll(text, CurrencySign, name) }

// CurrencyNamed finds a currency by its three letters, as ISO 4217 names it.
func CurrencyNamed(name string) (string, bool) {
	unit, err := currency.ParseISO(strings.TrimSpace(name))
	return unit.String(), err == nil
}

var (
	moneySigns   = regexp.MustCompile(`[£$€¥¢₹₽₩]`)
	threeLetters = regexp.MustCompile(`(?i)(?:\b|^)[a-z]{3}\b`)
	perWhat      = regexp.MustCompile(`(?i)\s*(?:/|\bper\b|\ba\b|\ban\b|\bfor (?:an?|one)\b)\s*`)
	eachWord     = regexp.MustCompile(`(?i)\s*\beach\b\s*$`)
)

// ParsePrice reads money of a dimension, with its currency by name: "28 GBP/h", "GBP 12 per litre", "25 to 32 EUR/h",
// "6 USD each". A currency sign, which several countries share, money without a currency, or a price that does not say for
// how much, is a *Question.
func ParsePrice(text string, want Dimension) (Quantity, string, error) {
	wrote := strings.TrimSpace(text)
	ask := func(format string, args ...any) (Quantity, string, error) {
		return Quantity{}, "", &Question{wrote, fmt.Sprintf(format, args...)}
	}
	clean := strings.TrimSpace(spellings.Replace(wrote))
	if clean == "" {
		return ask("no price was given. Write one such as %s.", want.example())
	}
	if sign := moneySigns.FindString(clean); sign != "" {
		return ask("%s is not the money of one country alone. Write the currency by name, such as %s.", sign,
			want.example())
	}
	name := ""
	for _, at := range threeLetters.FindAllStringIndex(clean, -1) {
		if found, ok := CurrencyNamed(clean[at[0]:at[1]]); ok {
			if name != "" && name != found {
				return ask("that is both %s and %s. Write the price in one currency.", name, found)
			}
			name = found
		}
	}
	if name == "" {
		return ask("of what currency? Write it by name, such as %s.", want.example())
	}
	clean = strings.TrimSpace(threeLetters.ReplaceAllStringFunc(clean, func(word string) string {
		if found, ok := CurrencyNamed(word); ok && found == name {
			return " "
		}
		return word
	}))
	unit := CurrencySign
	if want == PriceOfOne {
		unit += " each"
	}
	if at := perWhat.FindStringIndex(clean); at != nil {
		per := squeezed(clean[at[1]:])
		if question, ok := whose[per][Volume]; ok && want == PriceOfVolume {
			return ask("%s", question)
		}
		unit, clean = CurrencySign+"/"+strings.TrimSpace(clean[at[1]:]), clean[:at[0]]
		if per == "piece" || per == "one" {
			unit = CurrencySign + " each"
		}
	} else if want != PriceOfOne && want != Money {
		return ask("for how much? Write it such as %s.", want.example())
	}
	q, err := parseRange(strings.TrimSpace(eachWord.ReplaceAllString(clean, ""))+" "+unit, want)
	if err != nil {
		return ask("%s", InCurrency(asked(err), name))
	}
	return q, name, nil
}
