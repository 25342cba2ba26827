package dowel

import (
	"math"
	"slices"
	"sync"

	"reseat/jig/units"
)

// The standards, as they are written.
const (
	iso2338  = "iso 2338"
	iso8734  = "iso 8734"
	din6325  = "din 6325"
	asmeInch = "asme b18.8.2"
	asmeMM   = "asme b18.8.5m"
	rod      = "rod"
	measured = "measured"
)

// A PinSeries is one standard: its diameters and the classes it has.
type PinSeries struct {
	Name        string    `json:"standard"`
	Classes     []string  `json:"classes"`      // the first is the default; none: limits of its own
	DiametersMM []float64 `json:"diameters_mm"` // ascending; none: any diameter
	Source      string

	rows []row // by diameter
}

// A row is one diameter of a standard, mm; 0: not known.
type row struct {
	nominal, chamfer float64
	from, to         float64 // commercial lengths
	low, high        float64 // limits, where there is no class
}

// The tables are those of testdata/reference/pins_*.csv, where the source of each
// stands; a test compares them.
var (
	rows8734 = []row{
		{1, 0.2, 3, 10, 0, 0}, {1.5, 0.3, 4, 16, 0, 0}, {2, 0.35, 5, 20, 0, 0}, {2.5, 0.4, 6, 24, 0, 0},
		{3, 0.5, 8, 30, 0, 0}, {4, 0.63, 10, 40, 0, 0}, {5, 0.8, 12, 50, 0, 0}, {6, 1.2, 14, 60, 0, 0},
		{8, 1.6, 18, 80, 0, 0}, {10, 2, 22, 100, 0, 0}, {12, 2.5, 26, 100, 0, 0}, {16, 3, 40, 100, 0, 0},
		{20, 3.5, 50, 100, 0, 0},
	}
	rows2338 = []row{
		{0.6, 0.12, 2, 6, 0, 0}, {0.8, 0.16, 2, 8, 0, 0}, {1, 0.2, 4, 10, 0, 0}, {1.2, 0.25, 4, 12, 0, 0},
		{1.5, 0.3, 4, 16, 0, 0}, {2, 0.35, 6, 20, 0, 0}, {2.5, 0.4, 6, 24, 0, 0}, {3, 0.5, 8, 30, 0, 0},
		{4, 0.63, 8, 40, 0, 0}, {5, 0.8, 10, 50, 0, 0}, {6, 1.2, 12, 60, 0, 0}, {8, 1.6, 14, 80, 0, 0},
		{10, 2, 18, 95, 0, 0}, {12, 2.5, 22, 140, 0, 0}, {16, 3, 26, 180, 0, 0}, {20, 3.5, 35, 200, 0, 0},
		{25, 4, 50, 200, 0, 0}, {30, 5, 60, 200, 0, 0}, {40, 6.3, 80, 200, 0, 0}, {50, 8, 95, 200, 0, 0},
	}
	// leads6325 are diameter and lead z1.
	leads6325 = [][2]float64{
		{1.5, 0.23}, {2, 0.3}, {2.5, 0.4}, {3, 0.45}, {4, 0.6}, {5, 0.75}, {6, 0.9}, {8, 1.2}, {10, 1.5},
		{12, 1.8}, {14, 2}, {16, 2.5}, {20, 3},
	}
	// pointsInch are nominal diameter and largest point diameter of ASME B18.8.2,
	// inches; every pin is 0.0001 to 0.0003 over its nominal diameter.
	pointsInch = [][2]float64{
		{0.1250, 0.12}, {0.1875, 0.18}, {0.2500, 0.24}, {0.3125, 0.302}, {0.3750, 0.365}, {0.4375, 0.424},
		{0.5000, 0.486}, {0.6250, 0.611}, {0.7500, 0.735}, {0.8750, 0.86}, {1.0000, 0.98},
	}
	// limitsMM are diameter and limits of ASME B18.8.5M.
	limitsMM = [][3]float64{
		{3, 3.003, 3.008}, {4, 4.003, 4.008}, {5, 5.003, 5.008}, {6, 6.003, 6.009}, {8, 8.003, 8.009},
		{10, 10.003, 10.009}, {12, 12.003, 12.009}, {16, 16.003, 16.009}, {20, 20.003, 20.009}, {25, 25.003, 25.009},
	}
)

// Series lists the standards; the first named in a message is the one sold everywhere.
func Series() []PinSeries { return slices.Clone(allSeries()) }

var allSeries = sync.OnceValue(func() []PinSeries {
	var din, inch, metric []row
	for _, r := range leads6325 {
		din = append(din, row{nominal: r[0], chamfer: r[1]})
	}
	// without the rounding of the product
	mm := func(in float64) float64 { return math.Round(in*units.MMPerInch*1e6) / 1e6 }
	for _, r := range pointsInch {
		inch = append(inch, row{
			nominal: mm(r[0]), chamfer: mm((r[0] + 0.0002 - r[1]) / 2), low: mm(r[0] + 0.0001), high: mm(r[0] + 0.0003),
		})
	}
	for _, r := range limitsMM {
		metric = append(metric, row{nominal: r[0], low: r[1], high: r[2]})
	}
	const fastener = "chamfer and lengths as transcribed in github.com/shaise/FreeCAD_FastenersWB, limits of ISO 286"
	all := []PinSeries{
		{Name: iso8734, Classes: []string{"m6"}, rows: rows8734, Source: "ISO 8734, hardened (standard): " + fastener},
		{Name: iso2338, Classes: []string{"m6", "h8"}, rows: rows2338, Source: "ISO 2338, not hardened (standard): " +
			fastener},
		{Name: din6325, Classes: []string{"m6"}, rows: din, Source: "DIN 6325, hardened: lead z1 (recalled), limits " +
			"of ISO 286 (standard)"},
		{Name: asmeInch, rows: inch, Source: "ASME B18.8.2-2000 table 2, hardened ground machine pins, standard " +
			"series (standard)"},
		{Name: asmeMM, rows: metric, Source: "ASME B18.8.5M-1994, standard series (standard): not the m6 band of ISO"},
		{Name: rod, Classes: []string{"h6", "h8", "g6"}, Source: "ground rod, cut to length; limits of ISO 286 " +
			"(standard)"},
	}
	for i, s := range all {
		for _, r := range s.rows {
			all[i].DiametersMM = append(all[i].DiametersMM, r.nominal)
		}
	}
	return all
})

// lengthSeries holds the nominal lengths of ISO 2338, mm
// (testdata/reference/pins_iso_lengths.csv).
var lengthSeries = []float64{
	2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 32, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 85, 90, 95,
	100, 120, 140, 160, 180, 200,
}

// lengths picks the standard lengths from one to another, both in.
func lengths(from, to float64) []float64 {
	var out []float64
	for _, l := range lengthSeries {
		if to > 0 && l >= from && l <= to {
			out = append(out, l)
		}
	}
	return out
}

// IsInch reports whether the diameters are those of an inch series.
func (s PinSeries) IsInch() bool { return s.Name == asmeInch }
