package climate

// woodRow is a row of the table of woods: coefficients per 1 % of moisture, or
// shrinkages green to oven-dry in percent (fibre saturation 30 %) from which they
// follow.
type woodRow struct {
	name   string   // the name that is shown
	also   []string // other names of the same wood
	genus  []string // wider names that are taken as this wood, and said so
	cr, ct float64  // per 1 % of moisture; 0: by shrinkage
	sr, st float64  // percent; 0: not known
	status Status
	source string
	note   string
}

// Sources as they are named to people.
const (
	hand13 = "Wood Handbook FPL-GTR-190 table 13-5"
	hand43 = "shrinkage in Wood Handbook FPL-GTR-190 table 4-3"
	recall = hand13 + ", recalled, not seen"
	floors = "tangential: a flooring trade list after the Wood Handbook"
	panels = "mean shrinkage of the genus in a handbook on painting panels"
	shrink = "worked out from published shrinkage"
)

type names = []string

// woodRows is the table. Rows with cr and ct are testdata/reference/
// wood_dimensional_change.csv and jig/climate/testdata/wood_change_seen.csv; rows
// with sr and st jig/climate/testdata/wood_shrinkage_seen.csv, where each has its
// address. Tests hold them against those files.
var woodRows = []woodRow{
	{name: "white ash", genus: names{"ash"}, cr: .00169, ct: .00274, status: Found, source: hand13},
	{name: "black ash", cr: .00172, ct: .00274, status: Found, source: hand13},
	{name: "Oregon ash", cr: .00141, ct: .00285, status: Found, source: hand13},
	{name: "quaking aspen", genus: names{"aspen"}, cr: .00119, ct: .00234, status: Found, source: hand13},
	{name: "American basswood", also: names{"basswood"}, cr: .00230, ct: .00330, status: Found, source: hand13},
	{name: "American beech", genus: names{"beech"}, cr: .00190, ct: .00431, status: Found, source: hand13},
	{name: "paper birch", also: names{"white birch"}, cr: .00219, ct: .00304, status: Found, source: hand13},
	{name: "yellow birch", genus: names{"birch"}, cr: .00256, ct: .00338, status: Found, source: hand13},
	{name: "sweet birch", also: names{"black birch", "cherry birch"}, cr: .00256, ct: .00338, status: Found, source: hand13, note: "the table repeats yellow birch here"},
	{name: "red alder", genus: names{"alder"}, cr: .00151, ct: .00256, status: Found, source: hand13},
	{name: "butternut", also: names{"white walnut"}, cr: .00116, ct: .00223, status: Found, source: hand13},
	{name: "American chestnut", cr: .00116, ct: .00234, status: Found, source: hand13},
	{name: "black cherry", also: names{"American cherry"}, genus: names{"cherry"}, cr: .00126, ct: .00248, status: Found, source: hand13},
	{name: "eastern cottonwood", genus: names{"cottonwood"}, cr: .00133, ct: .00327, status: Found, source: hand13},
	{name: "apple", cr: .00205, ct: .00376, status: Found, source: hand13},
	{name: "American elm", genus: names{"elm"}, cr: .00144, ct: .00338, status: Found, source: hand13},
	{name: "hackberry", cr: .00165, ct: .00315, status: Found, source: hand13},
	{name: "pecan hickory", also: names{"pecan"}, genus: names{"hickory"}, cr: .00169, ct: .00315, status: Found, source: hand13},
	{name: "black locust", also: names{"robinia", "false acacia"}, genus: names{"locust"}, cr: .00158, ct: .00252, status: Found, source: hand13},
	{name: "honeylocust", also: names{"honey locust"}, cr: .00144, ct: .00230, status: Found, source: hand13},
	{name: "Pacific madrone", genus: names{"madrone"}, cr: .00194, ct: .00451, status: Found, source: hand13},
	{name: "southern magnolia", genus: names{"magnolia"}, cr: .00187, ct: .00230, status: Found, source: hand13},
	{name: "sugar maple", also: names{"hard maple", "rock maple"}, genus: names{"maple"}, cr: .00165, ct: .00353, status: Found, source: hand13},
	{name: "black maple", cr: .00165, ct: .00353, status: Found, source: hand13},
	{name: "red maple", genus: names{"soft maple"}, cr: .00137, ct: .00289, status: Found, source: hand13},
	{name: "silver maple", cr: .00102, ct: .00252, status: Found, source: hand13},
	{name: "bigleaf maple", also: names{"big leaf maple"}, cr: .00126, ct: .00248, status: Found, source: hand13},
	{name: "red oak", also: names{"red oak, commercial"}, cr: .00158, ct: .00369, status: Found, source: hand13},
	{name: "white oak", also: names{"white oak, commercial"}, genus: names{"oak"}, cr: .00180, ct: .00365, status: Found, source: hand13},
	{name: "live oak", also: names{"white oak, live"}, cr: .00230, ct: .00338, status: Found, source: hand13},
	{name: "persimmon", also: names{"common persimmon"}, cr: .00278, ct: .00403, status: Found, source: hand13},
	{name: "sassafras", cr: .00137, ct: .00216, status: Found, source: hand13},
	{name: "American sycamore", genus: names{"sycamore"}, cr: .00172, ct: .00296, status: Found, source: hand13, note: "Europe's sycamore is a maple: write European maple"},
	{name: "sweetgum", also: names{"sweet gum", "red gum"}, cr: .00183, ct: .00365, status: Found, source: hand13},
	{name: "black walnut", also: names{"American walnut"}, genus: names{"walnut"}, cr: .00190, ct: .00274, status: Found, source: hand13},

	// By the shrinkages of table 4-3, which give what is recalled of table 13-5.
	{name: "yellow-poplar", also: names{"tulip poplar", "tulipwood", "American poplar"}, genus: names{"poplar"}, sr: 4.6, st: 8.2, status: Derived, source: hand43},
	{name: "white fir", genus: names{"fir"}, sr: 3.3, st: 7.0, status: Derived, source: hand43},
	{name: "Douglas-fir", also: names{"Oregon pine"}, sr: 4.8, ct: .00267, status: Derived, source: floors + "; radial: " + hand43},
	{name: "Port-Orford-cedar", sr: 4.6, st: 6.9, status: Derived, source: hand43},
	{name: "Alaska-cedar", also: names{"yellow cedar", "Alaskan yellow cedar"}, sr: 2.8, st: 6.0, status: Derived, source: hand43},
	// 0.024/(22 - 0.288) and 0.05/(22 - 0.6): fibre saturation 22 %.
	{name: "western redcedar", also: names{"western red cedar", "red cedar"}, genus: names{"cedar"}, cr: .00111, ct: .00234, status: Derived, source: hand43 + " with fibre saturation 22 %"},

	// Recalled.
	{name: "Sitka spruce", cr: .00148, ct: .00263, status: Memory, source: recall},
	{name: "mahogany", also: names{"mahogany (Swietenia)", "genuine mahogany", "true mahogany", "Honduran mahogany", "Honduras mahogany", "American mahogany", "Brazilian mahogany", "Cuban mahogany"}, cr: .00172, ct: .00238, status: Memory, source: recall},
	{name: "khaya", also: names{"African mahogany"}, cr: .00141, ct: .00201, status: Memory, source: recall},
	{name: "Spanish-cedar", also: names{"cedro", "cedrela"}, cr: .00141, ct: .00219, status: Memory, source: recall},
	{name: "okoume", also: names{"okoumé", "gaboon", "okume"}, cr: .00194, ct: .00212, status: Memory, source: recall},
	{name: "iroko", cr: .00153, ct: .00205, status: Memory, source: recall},
	{name: "limba", also: names{"korina", "afara", "black limba", "white limba"}, cr: .00151, ct: .00187, status: Memory, source: recall},
	{name: "primavera", cr: .00106, ct: .00180, status: Memory, source: recall},
	{name: "teak", cr: .00101, ct: .00186, status: Memory, source: floors + "; radial: " + recall},

	// Tangential only.
	{name: "padauk", also: names{"padouk", "African padauk"}, ct: .00180, status: Found, source: floors},
	{name: "wenge", ct: .00201, status: Found, source: floors, note: "a trade sheet's shrinkage of 5.9 % radial, 9.1 % tangential would make it 0.0032 flat-sawn"},
	{name: "purpleheart", also: names{"purple heart", "amaranth"}, ct: .00212, status: Found, source: floors},
	{name: "jatoba", also: names{"Brazilian cherry", "Brazilian cherry (jatoba)"}, ct: .00300, status: Found, source: floors},

	// By published shrinkages.
	{name: "pear", also: names{"pearwood", "Swiss pear", "European pear", "steamed pear"}, sr: 4.6, st: 9.0, status: Derived, source: shrink},
	{name: "sapele", also: names{"sapelli", "sapeli", "sapele mahogany"}, sr: 4.6, st: 7.4, status: Derived, source: shrink},
	{name: "Indian rosewood", also: names{"East Indian rosewood", "sonokeling"}, genus: names{"rosewood"}, sr: 2.7, st: 5.8, status: Derived, source: shrink},
	{name: "Brazilian rosewood", also: names{"Rio rosewood", "jacaranda"}, sr: 2.9, st: 4.6, status: Derived, source: shrink},
	{name: "African ebony", also: names{"Gaboon ebony", "Gabon ebony", "black ebony", "Cameroon ebony"}, genus: names{"ebony"}, sr: 6.5, st: 9.0, status: Derived, source: shrink},
	{name: "koa", sr: 5.5, st: 6.2, status: Derived, source: shrink},
	{name: "bubinga", also: names{"kevazingo"}, sr: 7.6, st: 10.2, status: Derived, source: shrink, note: "the upper end of a wide published range"},
	{name: "hornbeam", also: names{"European hornbeam"}, sr: 8.0, st: 12.5, status: Derived, source: shrink, note: "the upper end of the published range"},
	{name: "European spruce", also: names{"Norway spruce", "Alpine spruce", "German spruce", "Carpathian spruce"}, genus: names{"spruce"}, sr: 3.6, st: 7.4, status: Derived, source: panels},
	{name: "Scots pine", also: names{"Scotch pine", "European redwood"}, genus: names{"pine"}, sr: 4.0, st: 7.7, status: Derived, source: panels},
	{name: "larch", also: names{"European larch"}, sr: 3.3, st: 7.8, status: Derived, source: panels},
	{name: "European walnut", also: names{"French walnut", "English walnut", "common walnut"}, sr: 4.3, st: 6.4, status: Derived, source: panels},
	{name: "European chestnut", also: names{"sweet chestnut"}, genus: names{"chestnut"}, sr: 4.0, st: 6.8, status: Derived, source: panels},
	{name: "willow", sr: 4.2, st: 7.2, status: Derived, source: panels},
	{name: "European alder", also: names{"black alder", "common alder"}, sr: 4.4, st: 7.3, status: Derived, source: panels},
	{name: "European cherry", also: names{"wild cherry"}, genus: names{"plum", "European plum"}, sr: 4.2, st: 7.8, status: Derived, source: panels + " (Prunus)"},
	{name: "European ash", also: names{"common ash"}, sr: 5.2, st: 8.3, status: Derived, source: panels},
	{name: "European poplar", sr: 3.4, st: 8.5, status: Derived, source: panels},
	{name: "European maple", also: names{"European sycamore", "sycamore maple", "Norway maple"}, sr: 4.2, st: 8.8, status: Derived, source: panels},
	{name: "European elm", also: names{"wych elm"}, sr: 5.2, st: 9.1, status: Derived, source: panels},
	{name: "lime", also: names{"linden", "European lime"}, sr: 6.8, st: 9.5, status: Derived, source: panels},
	{name: "European oak", also: names{"English oak", "French oak"}, sr: 5.2, st: 10.2, status: Derived, source: panels},
	{name: "European beech", also: names{"steamed beech"}, sr: 5.8, st: 11.8, status: Derived, source: panels},

	// Recalled shrinkages.
	{name: "boxwood", also: names{"box"}, sr: 8.0, st: 11.0, status: Memory, source: "shrinkage recalled, not seen; taken near hornbeam's"},
	{name: "cocobolo", sr: 2.7, st: 4.3, status: Memory, source: "shrinkage recalled, not seen"},
	{name: "African blackwood", also: names{"grenadilla", "mpingo"}, genus: names{"blackwood"}, sr: 2.9, st: 4.8, status: Memory, source: "shrinkage recalled, not seen"},
}
