package figures

const (
	is1200          = "IS 1200-15 (1987 table, reported)"
	radford         = "Radford's Cyclopedia of Construction, vol. 10"
	armstrong       = "Armstrong, Cyclopedia of Painting (1908)"
	modernBuildings = "Modern Buildings, vol. 2"
	wallonia        = "Wallonia CCTB 01.09, 81.21.3c"
)

// areaFactors are the published factors. Where copies of a book clash, the note says so.
var areaFactors = []AreaFactor{
	{"panelled_door", "panelled or framed and braced door, window", "each side", 1.3, 0, is1200, ""},
	{"ledged_door", "ledged and battened (and braced) door", "each side", 1.3, 0, is1200, ""},
	{"flush_door", "flush door", "each side", 1.2, 0, is1200, ""},
	{"part_glazed_door", "part panelled part glazed door", "each side", 1, 0.8, is1200, "one page prints 0.80"},
	{"window", "fully glazed door, window (wood)", "each side", 0.8, 0, is1200, ""},
	{"louvre", "fully venetianed or louvred", "each side", 1.8, 0, is1200, ""},
	{"trellis", "trellis / jaffri", "all over", 2, 0, is1200, ""},
	{"carved_work", "carved or enriched work", "each side", 2, 0, is1200, ""},
	{"weatherboard", "weather boarding", "each side", 1.2, 0, is1200, ""},
	{"shingle_roof", "wood shingle roofing", "each side", 1.1, 0, is1200, ""},
	{"match_boarding", "cover-fillet and match boarding", "each side", 1.05, 0, is1200, ""},
	{"roof_batten", "tile and slate battening", "all over", 0.8, 0, is1200, ""},
	{"steel_door", "plain sheeted steel door", "each side", 1.1, 0, is1200, ""},
	{"steel_window", "fully glazed steel door or window", "each side", 0.5, 0, is1200, ""},
	{"part_glazed_steel_door", "part panelled part glazed steel", "each side", 0.8, 0, is1200, ""},
	{"corrugated_door", "corrugated sheeted steel door", "each side", 1.25, 0, is1200, ""},
	{"collapsible_gate", "collapsible gate", "all over", 1.5, 0, is1200, "one page says each side"},
	{"rolling_shutter", "rolling shutter of interlocked laths", "each side", 1.1, 0, is1200, "one page prints 1.50 all over"},
	{"railing", "expanded metal, grilles, balustrades, railings", "all over", 1, 0, is1200, ""},
	{"palisade", "open palisade fencing and gates", "all over", 1, 0, is1200, ""},
	{"corrugated_sheet", "corrugated iron sheet", "each side", 1.14, 0, is1200, ""},
	{"asbestos_corrugated_sheet", "asbestos-cement corrugated sheet", "each side", 1.2, 0, is1200, ""},
	{"asbestos_semi_corrugated_sheet", "asbestos-cement semi-corrugated sheet", "each side", 1.1, 1.2, is1200, "one page prints 1.20"},
	{"weatherboard", "clapboard wall", "add 1 sq ft per sq yd", 1.1111, 0, radford, "i.e. x 1.111"},
	{"cornice", "plain cornice", "length x girth", 1.5, 0, radford, ""},
	{"bracketed_cornice", "bracketed cornice", "length x girth", 3, 8, radford, "range 3 to 8"},
	{"louvre", "stationary outside blind", "height x girth", 2, 0, radford, ""},
	{"slat_blind", "rolling slat blind", "height x girth", 3, 0, radford, ""},
	{"panelled_door", "panelled door", "area", 2, 0, radford, "edges counted twice"},
	{"window", "plain sash", "height x width", 1.5, 0, radford, ""},
	{"divided_window", "fancy sash", "height x width", 3, 0, radford, ""},
	{"balustrade", "balustrade", "height of one side", 4, 0, radford, "plus top of rails"},
	{"column", "plain column", "height x girth", 1.5, 0, radford, ""},
	{"fluted_column", "fluted column", "height x girth, tape into flutes", 2, 0, radford, ""},
	{"capital", "capital", "height x girth", 3, 10, radford, "range 3 to 10"},
	{"boarded_ceiling", "sheathed ceiling", "area", 2, 0, radford, "plus 1 in width per bead"},
	{"barge_board", "chimneys, spouts, barge boards, crestings", "girth x length", 4, 0, radford, ""},
	{"balustrade", "stair rail and balustrade, inside", "area", 3, 0, armstrong, ""},
	{"cupboard", "cupboards, pantry shelves", "area", 1.5, 0, armstrong, ""},
	{"panelled_cornice", "wainscoted cornice", "area", 1.5, 0, armstrong, ""},
	{"joinery", "joinery with exposed edges", "add 1/6", 1.1667, 0, modernBuildings, ""},
	{"panelled_door", "square framed or moulded with exposed edges", "add 1/4", 1.25, 0, modernBuildings, ""},
	{"window", "glazed windows and outside doors", "of opening area", 0.5, 0, wallonia, ""},
	{"panelled_door", "solid doors, garage doors", "of nominal area", 1.1, 0, wallonia, "for mouldings and edges"},
}
