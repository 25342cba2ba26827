package climate

// sheetRow is a material that is not solid wood: how it grows per kelvin and per
// 1 % of relative humidity. Relative; a positive figure grows.
type sheetRow struct {
	names   []string // the first is shown
	perK    float64  // thermal expansion in the plane, per kelvin
	perRH   float64  // along, per 1 % RH, taken up within days; 0: none
	perRHx  float64  // across, per 1 % RH; 0: as along
	slow    curve    // growth taken up over weeks, by % RH; nil: none
	noDepth bool     // the thickness moves by another figure, which is not known here
	status  Status
	source  string
	note    string
}

// A curve is a growth, relative, by relative humidity in percent: straight lines
// between its points, level beyond them.
type curve []struct{ rhPct, growth float64 }

func (c curve) at(rhPct float64) float64 {
	if len(c) == 0 || rhPct <= c[0].rhPct {
		return 0
	}
	for i := 1; i < len(c); i++ {
		if a, b := c[i-1], c[i]; rhPct <= b.rhPct {
			return a.growth + (b.growth-a.growth)*(rhPct-a.rhPct)/(b.rhPct-a.rhPct)
		}
	}
	return c[len(c)-1].growth
}

// acrylicSlow: 0.2, 0.3 and 0.6 % at 60, 80 and 100 % RH for an extruded sheet
// (materials.csv, FOUND); dry sheet is 0, and between the lines are straight.
var acrylicSlow = curve{{0, 0}, {60, 0.002}, {80, 0.003}, {100, 0.006}}

// nylonSlow: nylon 6 holds 3.5 % of water at 60 % RH (a maker's table,
// www.plastics.toray/technical/amilan/tec_003.html), and 9 % of water lengthens it by
// 2 % (www.intechpower.com/material-information/effects-of-moisture-absorption);
// both seen, the product is worked out here, the line drawn on to 100 %.
var nylonSlow = curve{{0, 0}, {100, 0.035 / 60 * 100 * 0.02 / 0.09}}

// laminateSlow: recalled, not seen; somewhat less than the MDF that it is glued to.
var laminateSlow = curve{{0, 0}, {100, 0.003}}

const (
	materialsTable = "testdata/reference/materials.csv"
	polymerTable   = "published range in a table of polymers (matmake.com/properties/thermal-expansion-of-polymers-and-plastics.html)"
	slowAcrylic    = "; moisture: one maker of extruded sheet, " + materialsTable
	weeks          = "it takes up moisture over weeks"
	panelPerK      = 6.1e-6 // per kelvin, plywood in its plane (materials.csv, FOUND)
)

// sheetRows is the table of materials. Figures per kelvin: materials.csv unless
// the row says otherwise.
var sheetRows = []sheetRow{
	{
		names: names{"cast acrylic", "cast PMMA", "cast plexiglass"}, perK: 72e-6, slow: acrylicSlow, status: Found,
		source: "temperature: 60 to 77e-6 /K published, 72e-6 usual, " + materialsTable + slowAcrylic, note: weeks,
	},
	{
		names: names{"extruded acrylic", "extruded PMMA", "acrylic", "PMMA", "plexiglass"}, perK: 72e-6, slow: acrylicSlow, status: Found,
		source: "temperature: 72e-6 /K, " + materialsTable + slowAcrylic, note: weeks,
	},

	// MDF: 0.3 % from 30 to 90 % RH.
	{
		names: names{"MDF", "medium density fibreboard", "medium density fiberboard", "fibreboard", "fiberboard"},
		perK:  panelPerK, perRH: 0.003 / 60, noDepth: true, status: Found,
		source: "humidity: 0.3 % for 30 to 90 % RH, one brand, " + materialsTable + "; temperature: plywood's, none found",
	},
	{
		names: names{"particle board", "particleboard", "chipboard"}, perK: panelPerK, perRH: 0.003 / 60, noDepth: true, status: Found,
		source: "MDF's figures: 0.3 % for 30 to 90 % RH, " + materialsTable + "; temperature: plywood's, none found",
	},
	{
		names: names{"HDF", "hardboard", "high density fibreboard", "high density fiberboard"}, perK: panelPerK, perRH: 0.003 / 60, noDepth: true, status: Found,
		source: "none found for HDF; MDF's figures: 0.3 % for 30 to 90 % RH, " + materialsTable,
	},
	// Plywood: 0.02 % per 10 % RH; the thin three-ply one 0.18 and 0.27 % from 30 to 90 % RH.
	{
		names: names{"plywood", "ply", "marine plywood", "Baltic birch", "multiplex"}, perK: panelPerK, perRH: 0.0002 / 10, noDepth: true, status: Found,
		source: "0.02 % per 10 % RH and 6.1e-6 /K, " + materialsTable, note: "a thin three-ply sheet moves about twice as much",
	},
	{
		names: names{"three-ply plywood", "thin plywood"}, perK: panelPerK, perRH: 0.0018 / 60, perRHx: 0.0027 / 60, noDepth: true, status: Found,
		source: "5 mm three-ply: 0.18 % along and 0.27 % across the face grain for 30 to 90 % RH, and 6.1e-6 /K, " + materialsTable,
	},

	{names: names{"aluminium", "aluminum", "aluminium alloy", "aluminum alloy", "cast aluminium", "cast aluminum", "tooling aluminium"}, perK: 23.6e-6, status: Found, source: "aluminium 6061, " + materialsTable},
	{names: names{"steel", "mild steel", "carbon steel", "tool steel", "silver steel"}, perK: 11.7e-6, status: Found, source: "steel 1020, " + materialsTable},
	{names: names{"stainless steel", "stainless"}, perK: 17.2e-6, status: Found, source: "stainless 304 (316: 15.9e-6), " + materialsTable},
	{names: names{"brass"}, perK: 20.5e-6, status: Found, source: "brass C36000, " + materialsTable},

	{names: names{"bronze"}, perK: 18e-6, status: Memory, source: "recalled, not seen"},
	{names: names{"copper"}, perK: 17e-6, status: Memory, source: "recalled, not seen"},
	{names: names{"cast iron", "iron"}, perK: 11e-6, status: Memory, source: "recalled, not seen"},

	{names: names{"PLA"}, perK: 68e-6, status: Memory, source: "recalled, not seen"},
	{names: names{"PETG", "PET"}, perK: 68e-6, status: Memory, source: "recalled, not seen"},
	// ABS 53 to 110, polycarbonate 38 to 70 (the moulding grades at its top), HDPE 100 to 200.
	{names: names{"ABS"}, perK: 90e-6, status: Found, source: "90e-6 /K, within 53 to 110e-6: " + polymerTable},
	{names: names{"ASA"}, perK: 95e-6, status: Found, source: "95e-6 /K, within 60 to 110e-6: published range (omnexus.specialchem.com, coefficient of linear thermal expansion)"},
	{names: names{"polycarbonate", "PC"}, perK: 68e-6, status: Found, source: "68e-6 /K, within 38 to 70e-6: " + polymerTable},
	{names: names{"HDPE", "polyethylene", "high density polyethylene"}, perK: 150e-6, status: Found, source: "150e-6 /K, the middle of 100 to 200e-6: " + polymerTable},
	{names: names{"acetal", "POM"}, perK: 85e-6, status: Found, source: "85e-6 /K: " + polymerTable},
	{names: names{"polypropylene", "PP"}, perK: 90e-6, status: Found, source: "90e-6 /K, the middle of 81 to 100e-6: " + polymerTable},
	{names: names{"PVC"}, perK: 70e-6, status: Memory, source: "recalled, not seen"},
	{
		names: names{"nylon", "polyamide", "PA", "PA6"}, perK: 145e-6, slow: nylonSlow, status: Derived,
		source: "temperature: 145e-6 /K, the middle of 114 to 175e-6 for printed nylon (Faust et al., Polymers 2021, 13); moisture: worked out from two makers' figures for nylon 6", note: weeks,
	},
	{
		names: names{"phenolic", "HPL", "high pressure laminate", "compact laminate", "phenolic laminate", "paper phenolic"}, perK: 20e-6, slow: laminateSlow, noDepth: true, status: Memory,
		source: "recalled, not seen", note: weeks,
	},
}

// Materials lists the names of the sheets, metals and plastics that [Strain]
// knows beside the woods of [Woods].
func Materials() []string {
	all := make([]string, len(sheetRows))
	for i, r := range sheetRows {
		all[i] = r.names[0]
	}
	return all
}
