package figures_test

import (
	"testing"

	"patchfirst/knowledge/figures"
)

// One worked point for every formula, on paper or from the published figure that is named.
func TestEveryFormulaAtAWorkedPoint(t *testing.T) {
	points := map[string]struct {
		inputs       []float64
		want, within float64
	}{
		"dew_point":          {[]float64{20, 80}, 16.45, 0.05},                           // PsychroLib 2.5.0
		"dew_margin":         {[]float64{19, 20, 80}, 2.55, 0.05},                        // the same
		"wood_moisture":      {[]float64{21.1, 50}, 9.2, 0.07},                           // Wood Handbook table 4-2, 70 °F
		"dwell":              {[]float64{8, 20, 10, 51.2}, 16.8, 0.01},                   // 8 × 2.1000
		"retained":           {[]float64{0.1, 2, 2}, 100. / 441, 1e-9},                   // (1/21)²
		"next_reading":       {[]float64{14.398, 0.1, 2, 7}, 13.08, 0.01},                // 2.5 mol/L ÷ 21
		"residual_alkali":    {[]float64{10, 0.1, 13.4, 0.5}, 18.4, 1e-9},                // 10 × (1.34 + 0.5)
		"vinegar":            {[]float64{25, 0.8385}, 29.8, 0.05},                        // 1 kg of caustic
		"rinse_water":        {[]float64{10, 2, 3}, 60, 1e-9},                            // 10 × 2 × 3
		"rectangle":          {[]float64{2.1, 0.9}, 1.89, 1e-9},                          // on paper
		"girth_area":         {[]float64{12, 150}, 1.8, 1e-9},                            // 12 × 0.15
		"covered_area":       {[]float64{21, 1.3, 2}, 54.6, 1e-9},                        // panelled door of 21 ft²
		"film_thickness":     {[]float64{10, 51}, 510, 1e-9},                             // MIL-HDBK-1110
		"paste_volume":       {[]float64{2.8, 3, 2, 15}, 19.32, 1e-9},                    // on paper
		"cover_area":         {[]float64{1.9, 2, 1, 0.1, 0.05}, 6.3, 1e-9},               // 3 strips of 1 × 2.1, since 2.0 − 0.1 is over 2 × 0.9
		"spread":             {[]float64{125, 65, 100}, 5.2, 1e-9},                       // spreading-rate note
		"solvent_given_off":  {[]float64{2, 1100, 60, 50}, 660, 1e-9},                    // 2.2 kg × 0.3
		"build_up":           {[]float64{5, 50, 2, 1, 1}, 43.2332, 0.0001},               // 50 × (1 − e⁻²)
		"air_for_limit":      {[]float64{200, 188.4, 5}, 5308, 1},                        // 200 g/h of toluene, 50 ppm
		"air_changes":        {[]float64{300, 50}, 6, 1e-9},                              // on paper
		"air_for_explosive":  {[]float64{92.14, 92.14, 1.4, 1}, 0.024465 * 281.71, 0.01}, // a mole an hour × 4 × 98.6/1.4
		"purge_time":         {[]float64{6, 99, 1}, 46. / 60, 0.5 / 60},                  // MMWR table S3-1
		"share_of_explosive": {[]float64{785, 58.08, 30, 2.5}, 43, 0.5},                  // a litre of acetone
		"lead_on":            {[]float64{103, 280}, 288, 0.5},                            // National Environmental Health Forum
		"lead_share":         {[]float64{1, 1600, 125}, 5, 1e-9},                         // 1.0 mg/cm² at 125 µm
		"lead_per_kg":        {[]float64{0.4, 400}, 1000, 1e-9},                          // on paper
		"leach_at_most":      {[]float64{100}, 5, 1e-9},                                  // EPA Method 1311
		"paint_mass":         {[]float64{10, 500, 1600}, 8, 1e-9},                        // 10 × 0.0005 × 1600
		"waste_mass":         {[]float64{20, 25, 3, 10, 2}, 30, 1e-9},                    // 15 + 3 + 10 + 2
		"waste_volume":       {[]float64{30, 237}, 126.6, 0.05},                          // on paper
		"rinses":             {[]float64{13.4, 0.1, 2, 7, 2.2}, 4, 0},                    // serial rinsing: 2.5 mol/L reads 9.11 after the fourth
		"take_off_pace":      {[]float64{0.4, 75, 1.5, 0.2, 0.1}, 0.75, 1e-9},            // 0.45 + 0.2 + 0.1
		"batch":              {[]float64{4, 7, 2, 0.75}, 32. / 3, 1e-9},                  // 4 h of two people at 0.75 h/m²
		"batches":            {[]float64{8.4, 2}, 5, 0},                                  // 4.2, rounded up
		"waiting":            {[]float64{5, 0.5, 2, 0.2, 1, 0.75}, 1.5, 1e-9},            // 5 × (0.5 − 0.2)
		"lying":              {[]float64{5, 0.5}, 2.5, 1e-9},                             // on paper
		"hired_days":         {[]float64{30, 2, 7}, 3, 0},                                // 30 ÷ 14, rounded up
		"cover_by_area":      {[]float64{10, 2, 20}, 24, 1e-9},                           // 10 × 2 × 1.2
		"covers":             {[]float64{6.3, 2, 2}, 25.2, 1e-9},                         // on paper
		"number_by_area":     {[]float64{2.5, 3, 1.5}, 12, 0},                            // 11.25, rounded up
		"weight_by_area":     {[]float64{10, 2, 15}, 300, 1e-9},                          // on paper
		"held_weight":        {[]float64{61, 15}, 5, 0},                                  // 4.07, rounded up
		"held_volume":        {[]float64{1000, 208.197648, 100}, 5, 0},                   // 4.80 drums of 55 US gallons to a cubic metre
		"liquid_weight":      {[]float64{40, 1200}, 48, 1e-9},                            // on paper
		"given_off_by_work":  {[]float64{1.5, 1000, 50, 40, 0.5, 1.5, 2}, 800, 1e-9},     // 300 g on 0.75 h of work, two people
		"rate_given_off":     {[]float64{660, 2}, 330, 1e-9},                             // on paper
		"limit_by_mass":      {[]float64{50, 92.14}, 188.4, 0.05},                        // 50 ppm of toluene; 100 ppm is 376.9
		"air_there":          {[]float64{30, 2}, 60, 1e-9},                               // on paper
		"air_used":           {[]float64{5308, 600}, 884.7, 0.05},                        // on paper
		"lead_loading":       {[]float64{125, 1600, 5}, 1, 1e-9},                         // 5 % at 125 µm is 1.0 mg/cm²
		"lead_in_waste":      {[]float64{0.4, 400}, 1000, 1e-9},                          // 20 m² at 2 mg/cm² in 400 kg
		"passes":             {[]float64{9, 2}, 5, 0},                                    // 4.5, rounded up
		"work":               {[]float64{9.290304, 1, 0.1345, 1}, 1.25, 0.001},           // 100 ft² at the 80 ft²/h of PaintPRO 9(5)
		"wages":              {[]float64{7.5, 28}, 210, 1e-9},                            // on paper
		"price_of_volume":    {[]float64{7.5, 12}, 90, 1e-9},                             // on paper
		"price_of_area":      {[]float64{20, 0.4}, 8, 1e-9},                              // on paper
		"price_of_weight":    {[]float64{40, 0.5}, 20, 1e-9},                             // on paper
		"price_of_number":    {[]float64{3, 6}, 18, 1e-9},                                // on paper
	}
	for _, f := range figures.Formulas() {
		point, ok := points[f.Name]
		if !ok || len(point.inputs) != len(f.Slots) {
			t.Errorf("%s has no worked point", f.Name)
			continue
		}
		var inputs []figures.Input
		for i, s := range f.Slots {
			inputs = append(inputs, f.Is(s.Name, figures.Exactly(point.inputs[i]), "test"))
		}
		w, err := f.Work(inputs...)
		near(t, f.Name, w.Result.Point, err, point.want, point.within)
		if !w.Result.Known() || len(w.Matters) > 0 {
			t.Errorf("%s of exact inputs is %v, moved by %v", f.Name, w.Result, w.Matters)
		}
	}
}

// The planning ranges of the trade at 15 to 20 °C (common practice).
func TestPlans(t *testing.T) {
	for _, test := range []struct {
		method      string
		coats       int
		low, high   float64
		first, last figures.Hour
	}{
		{"alkaline_covered", 3, 1, 2, 2, 8}, {"alkaline_covered", 4, 2, 3, 8, 24}, {"alkaline_covered", 9, 3, 6, 12, 48}, {"alkaline_covered", 16, 5, 10, 24, 72},
		{"solvent_covered", 1, 1, 2, 1, 4}, {"solvent_covered", 8, 2, 3, 4, 24}, {"solvent_covered", 15, 3, 5, 16, 48},
		{"solvent_brushed", 9, 1, 2, 10. / 60, 1}, {"alkaline_brushed", 1, 1, 2, 0.25, 1},
	} {
		p, ok := figures.PlanFor(test.method, test.coats)
		if !ok || p.Thickness.Low != test.low || p.Thickness.High != test.high || p.LookAt[len(p.LookAt)-1] != test.last {
			t.Errorf("%s for %d coats: %+v", test.method, test.coats, p)
			continue
		}
		near(t, "first look", p.LookAt[0], nil, float64(test.first), 1e-12)
	}
	if two := figures.TwoPackPlan(); two.Thickness.Low != 2 || two.Thickness.High != 4 || two.LookAt[3] != 48 {
		t.Errorf("two-pack: %+v", two)
	}
}
