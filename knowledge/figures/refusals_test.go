package figures_test

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"patchfirst/knowledge/figures"
)

// Every function of plain quantities takes its good arguments, and refuses in a sentence no number, an endless one and one
// far below its range, in each place.
func TestEveryFunctionRefusesWhatIsNoQuantity(t *testing.T) {
	for name, test := range map[string]struct {
		function any
		good     []float64
	}{
		"DewPoint":            {figures.DewPoint, []float64{20, 60}},
		"FrostPoint":          {figures.FrostPoint, []float64{20, 60}},
		"DewMargin":           {figures.DewMargin, []float64{18, 20, 60}},
		"WoodMoisture":        {figures.WoodMoisture, []float64{20, 60}},
		"HumidityForWood":     {figures.HumidityForWood, []float64{20, 15}},
		"IonProduct":          {figures.IonProduct, []float64{20}},
		"BaseFor":             {figures.BaseFor, []float64{9, 20}},
		"Strength":            {figures.Strength, []float64{5, 1007, 60}},
		"PHStrip":             {figures.PHStrip, []float64{0.5}},
		"AboveControl":        {figures.PHMeter.AboveControl, []float64{8, 7, 1}},
		"NearControl":         {figures.PHMeter.NearControl, []float64{8, 7, 1}},
		"ResidualAlkali":      {figures.ResidualAlkali, []float64{1, 1, 1, 1}},
		"RinseVolume":         {figures.RinseVolume, []float64{1, 1, 1}},
		"Rectangle":           {figures.Rectangle, []float64{1, 1}},
		"GirthArea":           {figures.GirthArea, []float64{1, 1}},
		"AngleGirth":          {figures.AngleGirth, []float64{1}},
		"BeamGirth":           {figures.BeamGirth, []float64{1, 1}},
		"CoveredArea":         {figures.CoveredArea, []float64{1, 1, 1}},
		"FilmThickness":       {figures.FilmThickness, []float64{1, 1}},
		"DryFilm":             {figures.DryFilm, []float64{1, 50}},
		"WetFilm":             {figures.WetFilm, []float64{1, 50}},
		"Spread":              {figures.Spread, []float64{100, 50, 100}},
		"PasteVolume":         {figures.PasteVolume, []float64{1, 1, 1, 10}},
		"CoverArea":           {figures.CoverArea, []float64{1, 1, 1, 0.1, 0.1}},
		"RateFactor":          {figures.RateFactor, []float64{50, 20, 10}},
		"Q10":                 {figures.Q10, []float64{50, 20}},
		"ActivationEnergy":    {figures.ActivationEnergy, []float64{2, 20, 30}},
		"DwellAt":             {figures.DwellAt, []float64{8, 20, 10, 50}},
		"Mass":                {figures.Mass, []float64{1, 1000}},
		"ToMilligrams":        {figures.ToMilligrams, []float64{1, 60}},
		"ToPPM":               {figures.ToPPM, []float64{1, 60}},
		"SolventGivenOff":     {figures.SolventGivenOff, []float64{1, 1000, 50, 50}},
		"VapourVolume":        {figures.VapourVolume, []float64{1, 60, 20}},
		"AirChanges":          {figures.AirChanges, []float64{1, 1}},
		"PurgeTime":           {figures.PurgeTime, []float64{1, 90, 2}},
		"BuildUp":             {figures.BuildUp, []float64{0, 1, 1, 1, 1, 1}},
		"AirForLimit":         {figures.AirForLimit, []float64{1, 1, 1}},
		"DilutionToExplosive": {figures.DilutionToExplosive, []float64{2, 25}},
		"AirForExplosive":     {figures.AirForExplosive, []float64{1, 60, 20, 2, 25, 1}},
		"ShareOfExplosive":    {figures.ShareOfExplosive, []float64{1, 60, 20, 30, 2}},
		"LeadOn":              {figures.LeadOn, []float64{1, 1}},
		"LeadShare":           {figures.LeadShare, []float64{1, 1600, 100}},
		"LeadPerKg":           {figures.LeadPerKg, []float64{1, 2}},
		"LeachAtMost":         {figures.LeachAtMost, []float64{1}},
		"TwentyTimes":         {figures.TwentyTimes, []float64{1}},
		"ShiftLimit":          {figures.ShiftLimit, []float64{8}},
		"PaintMass":           {figures.PaintMass, []float64{1, 100, 1600}},
		"WasteMass":           {figures.WasteMass, []float64{1, 10, 1, 1, 1}},
		"WasteVolume":         {figures.WasteVolume, []float64{1, 500}},
		"Drums":               {figures.Drums, []float64{1, 80}},
		"Corrosive":           {figures.Corrosive, []float64{8}},
	} {
		call := func(arguments []float64) (reflect.Value, error) {
			f := reflect.ValueOf(test.function)
			var in []reflect.Value
			for i, a := range arguments {
				in = append(in, reflect.ValueOf(a).Convert(f.Type().In(i)))
			}
			out := f.Call(in)
			err, _ := out[len(out)-1].Interface().(error)
			return out[0], err
		}
		if _, err := call(test.good); err != nil {
			t.Errorf("%s%v: %v", name, test.good, err)
		}
		for i := range test.good {
			for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1e300} {
				arguments := append([]float64(nil), test.good...)
				arguments[i] = bad
				if result, err := call(arguments); err == nil || !strings.HasSuffix(err.Error(), ".") || !result.IsZero() {
					t.Errorf("%s%v: %v, %v", name, arguments, result, err)
				}
			}
		}
	}
}

func ExampleFormula_Work() {
	paste, _ := figures.FormulaFor("paste_volume")
	area, _ := paste.Given("area", "30 sq ft", "tape on the front door")
	thickness, _ := paste.Given("wet thickness", "2-3 mm", "common practice")
	w, err := paste.Work(area, thickness,
		paste.Is("applications", figures.Exactly(2), "the test patch"), paste.Is("waste", figures.Between(10, 25), "from memory"))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(w.Result)
	fmt.Println(w.Result.InUS())
	tins, _ := figures.Containers(figures.Litre(w.Result.High), 1, 2.5, 5, 20)
	fmt.Println(tins)
	// Output:
	// 16 L (12 to 21)
	// 4.3 US gal (3.2 to 5.6)
	// [1 × 20 L 1 × 1 L]
}

func ExampleParseQuantity() {
	_, err := figures.ParseQuantity("3 gal", figures.Volume)
	fmt.Println(err)
	// Output:
	// "3 gal": is that US gallons (3.785 L) or imperial gallons (4.546 L)? Write "US gal" or "imp gal".
}
