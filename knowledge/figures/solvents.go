package figures

import "slices"

// ExposureLimit is a limit of a vapour in the air over 8 hours.
type ExposureLimit struct {
	PPM  PPM
	From string
}

// Solvent is a liquid of pastes and rubs by the figures that air needs. Sources disagree on explosive limits, so Explosive
// holds the lowest and the highest seen, and the lower one counts. A nought says that no figure was found.
type Solvent struct {
	Name      string
	CAS       string
	MolarMass GramPerMol
	Density   KilogramPerM3
	Explosive [2]Percent // lower explosive limit, by volume
	Limits    []ExposureLimit
	Source    string
}

// LowestLimit is the strictest of the exposure limits; false says that none was found, which does not make it harmless.
func (s Solvent) LowestLimit() (ExposureLimit, bool) {
	if len(s.Limits) == 0 {
		return ExposureLimit{}, false
	}
	return slices.MinFunc(s.Limits, func(a, b ExposureLimit) int {
		if a.PPM < b.PPM {
			return -1
		}
		return 1
	}), true
}

const (
	fireData  = "IEC 60079-20-1 (explosive limit), CRC tables (density)"
	fireOther = fireData + ", ANSI/AARST SGM-SF chart"
	osha      = "29 CFR 1910.1000"
	niosh     = "NIOSH, recommended"
	eu2000    = "Dir 2000/39/EC annex"
)

// Solvents lists the solvents. The safety sheet of what is in the tin and the limits of the country come before this
// list. Dichloromethane is left out: this project never advises it.
func Solvents() []Solvent {
	return []Solvent{
		{"acetone", "67-64-1", 58.08, 785, [2]Percent{2.1, 3}, []ExposureLimit{{1000, osha}, {500, eu2000}, {250, niosh}}, fireOther + ", trade press (reported)"},
		{"methyl ethyl ketone", "78-93-3", 72.11, 800, [2]Percent{1.4, 1.8}, []ExposureLimit{{200, osha}, {200, eu2000}}, fireOther},
		{"toluene", "108-88-3", 92.14, 862, [2]Percent{1.0, 1.4}, []ExposureLimit{{200, osha + " table Z-2"}, {100, niosh}}, fireData + ", NIOSH Pocket Guide; 1.4 from memory"},
		{"methanol", "67-56-1", 32.04, 791, [2]Percent{6, 6.7}, []ExposureLimit{{200, osha}, {200, niosh}}, fireOther},
		{"ethanol", "64-17-5", 46.07, 789, [2]Percent{3, 3.3}, []ExposureLimit{{1000, osha}}, fireOther},
		{"acetic acid", "64-19-7", 60.05, 1045, [2]Percent{4, 4}, []ExposureLimit{{10, osha}, {10, niosh}}, fireData},
		{"benzyl alcohol", "100-51-6", 108.14, 1045, [2]Percent{1.3, 1.3}, nil, "INRS Fiche toxicologique 170 (2020); molar mass from memory"},
		{"N-methyl-2-pyrrolidone", "872-50-4", 99.13, 1023, [2]Percent{1.3, 1.3}, []ExposureLimit{{10, "Dir 2009/161/EU annex"}, {3.55, "REACH Annex XVII entry 71 (14.4 mg/m³)"}}, "INRS Fiche toxicologique 213 (2020), CRC tables"},
		{"d-limonene", "5989-27-5", 136.23, 841, [2]Percent{0.7, 0.7}, nil, fireData + " (dipentene)"},
		{"xylenes", "1330-20-7", 106.17, 0, [2]Percent{1, 1}, []ExposureLimit{{100, osha}, {50, eu2000}}, "county table (reported)"},
		{"white spirit", "8052-41-3", 0, 0, [2]Percent{0.8, 0.8}, []ExposureLimit{{500, osha}}, "from memory"},
	}
}
