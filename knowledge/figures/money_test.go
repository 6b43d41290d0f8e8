package figures_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"patchfirst/knowledge/figures"
)

func TestParsePrice(t *testing.T) {
	for _, test := range []struct {
		text      string
		want      figures.Dimension
		low, high float64
		unit      string
		currency  string
	}{
		{"28 GBP/h", figures.Wage, 28, 28, "¤/h", "GBP"},
		{"gbp 28 per hour", figures.Wage, 28, 28, "¤/h", "GBP"},
		{"28 GBP an hour", figures.Wage, 28, 28, "¤/h", "GBP"},
		{"25-32 EUR/h", figures.Wage, 25, 32, "¤/h", "EUR"},
		{"EUR 25 to 32 per hour", figures.Wage, 25, 32, "¤/h", "EUR"},
		{"12.50 USD/L", figures.PriceOfVolume, 12.5, 12.5, "¤/L", "USD"},
		{"40 USD/US gal", figures.PriceOfVolume, 40, 40, "¤/US gal", "USD"},
		{"0.40 GBP/m2", figures.PriceOfArea, 0.4, 0.4, "¤/m²", "GBP"},
		{"0 GBP/kg", figures.PriceOfWeight, 0, 0, "¤/kg", "GBP"},
		{"6 GBP each", figures.PriceOfOne, 6, 6, "¤ each", "GBP"},
		{"6 GBP", figures.PriceOfOne, 6, 6, "¤ each", "GBP"},
		{"6 GBP a piece", figures.PriceOfOne, 6, 6, "¤ each", "GBP"},
		{"1,250.50 GBP", figures.Money, 1250.5, 1250.5, "¤", "GBP"},
	} {
		q, currency, err := figures.ParsePrice(test.text, test.want)
		if err != nil || math.Abs(q.Low-test.low) > 1e-12 || math.Abs(q.High-test.high) > 1e-12 || q.Unit.Symbol != test.unit || currency != test.currency {
			t.Errorf("%q is read as %v in %s (%v)", test.text, q, currency, err)
		}
	}
}

func TestParsePriceAsksBack(t *testing.T) {
	for _, test := range []struct {
		text string
		want figures.Dimension
		asks string
	}{
		{"£28/h", figures.Wage, "Write the currency by name"},
		{"$40/L", figures.PriceOfVolume, "Write the currency by name"},
		{"28/h", figures.Wage, "of what currency?"},
		{"28", figures.Wage, "of what currency?"},
		{"28 GBP", figures.Wage, "for how much?"},
		{"28 GBP or 30 EUR/h", figures.Wage, "both GBP and EUR"},
		{"28 GBP/L", figures.Wage, "price of a volume, and money for a time is wanted"},
		{"28 GBP/day", figures.Wage, "is not known"},
		{"40 USD/gal", figures.PriceOfVolume, "US gallons (3.785 L) or imperial gallons"},
		{"12,50 EUR/L", figures.PriceOfVolume, "If so, write 12.50."},
		{"-3 EUR/L", figures.PriceOfVolume, "less than nothing"},
		{"", figures.Wage, "no price was given"},
		{"dear GBP/h", figures.Wage, "no figure stands at the front"},
		{"32-25 GBP/h", figures.Wage, "smaller one first"},
		{"3000000000 GBP/h", figures.Wage, "no job has that"},
	} {
		q, _, err := figures.ParsePrice(test.text, test.want)
		var question *figures.Question
		if !errors.As(err, &question) || !strings.Contains(question.Asks, test.asks) || strings.Contains(question.Asks, "¤") {
			t.Errorf("%q is read as %v, or asked %v", test.text, q, err)
		}
	}
}

// Whatever is written, it is read as money of a currency, or a question is asked back.
func FuzzParsePrice(f *testing.F) {
	for _, seed := range []string{"28 GBP/h", "EUR 25 to 32 per hour", "£3", "6 USD each", "40 USD/gal", "/", "GBP", "per per", "1/2 GBP/L", "-1 GBP"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for _, d := range []figures.Dimension{figures.Wage, figures.PriceOfVolume, figures.PriceOfOne, figures.Money} {
			q, name, err := figures.ParsePrice(text, d)
			var question *figures.Question
			switch {
			case err == nil && (q.Check() != nil || q.Unit.Dimension != d || len(name) != 3 || q.Low < 0):
				t.Fatalf("%q is read as %+v in %s", text, q, name)
			case err != nil && (!errors.As(err, &question) || question.Asks == ""):
				t.Fatalf("%q: %v", text, err)
			}
		}
	})
}
