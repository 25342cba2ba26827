package dowel

import "reseat/jig/units"

// allSeries holds the standards; the first named in a message is the one sold
// everywhere. The figures are those of testdata/reference/pins_*.csv, where the
// source of each stands; a test compares them.
var allSeries = []series{
	{
		name: iso8734, source: "ISO 8734, hardened; chamfer and lengths as transcribed in testdata/reference/pins_iso.csv; limits by ISO 286",
		classes: []string{"m6"},
		rows: []row{
			{nominal: 1, chamfer: 0.2, from: 3, to: 10},
			{nominal: 1.5, chamfer: 0.3, from: 4, to: 16},
			{nominal: 2, chamfer: 0.35, from: 5, to: 20},
			{nominal: 2.5, chamfer: 0.4, from: 6, to: 24},
			{nominal: 3, chamfer: 0.5, from: 8, to: 30},
			{nominal: 4, chamfer: 0.63, from: 10, to: 40},
			{nominal: 5, chamfer: 0.8, from: 12, to: 50},
			{nominal: 6, chamfer: 1.2, from: 14, to: 60},
			{nominal: 8, chamfer: 1.6, from: 18, to: 80},
			{nominal: 10, chamfer: 2, from: 22, to: 100},
			{nominal: 12, chamfer: 2.5, from: 26, to: 100},
			{nominal: 16, chamfer: 3, from: 40, to: 100},
			{nominal: 20, chamfer: 3.5, from: 50, to: 100},
		},
	},
	{
		name: iso2338, source: "ISO 2338, not hardened; chamfer and lengths as transcribed in testdata/reference/pins_iso.csv; limits by ISO 286",
		classes: []string{"m6", "h8"},
		rows: []row{
			{nominal: 0.6, chamfer: 0.12, from: 2, to: 6},
			{nominal: 0.8, chamfer: 0.16, from: 2, to: 8},
			{nominal: 1, chamfer: 0.2, from: 4, to: 10},
			{nominal: 1.2, chamfer: 0.25, from: 4, to: 12},
			{nominal: 1.5, chamfer: 0.3, from: 4, to: 16},
			{nominal: 2, chamfer: 0.35, from: 6, to: 20},
			{nominal: 2.5, chamfer: 0.4, from: 6, to: 24},
			{nominal: 3, chamfer: 0.5, from: 8, to: 30},
			{nominal: 4, chamfer: 0.63, from: 8, to: 40},
			{nominal: 5, chamfer: 0.8, from: 10, to: 50},
			{nominal: 6, chamfer: 1.2, from: 12, to: 60},
			{nominal: 8, chamfer: 1.6, from: 14, to: 80},
			{nominal: 10, chamfer: 2, from: 18, to: 95},
			{nominal: 12, chamfer: 2.5, from: 22, to: 140},
			{nominal: 16, chamfer: 3, from: 26, to: 180},
			{nominal: 20, chamfer: 3.5, from: 35, to: 200},
			{nominal: 25, chamfer: 4, from: 50, to: 200},
			{nominal: 30, chamfer: 5, from: 60, to: 200},
			{nominal: 40, chamfer: 6.3, from: 80, to: 200},
			{nominal: 50, chamfer: 8, from: 95, to: 200},
		},
	},
	{
		name: din6325, source: "DIN 6325, hardened; lead z1 from testdata/reference/pins_din6325.csv; limits by ISO 286",
		classes: []string{"m6"},
		rows: []row{
			{nominal: 1.5, chamfer: 0.23},
			{nominal: 2, chamfer: 0.3},
			{nominal: 2.5, chamfer: 0.4},
			{nominal: 3, chamfer: 0.45},
			{nominal: 4, chamfer: 0.6},
			{nominal: 5, chamfer: 0.75},
			{nominal: 6, chamfer: 0.9},
			{nominal: 8, chamfer: 1.2},
			{nominal: 10, chamfer: 1.5},
			{nominal: 12, chamfer: 1.8},
			{nominal: 14, chamfer: 2},
			{nominal: 16, chamfer: 2.5},
			{nominal: 20, chamfer: 3},
		},
	},
	{
		name: asmeInch, source: "ASME B18.8.2-2000 hardened ground machine pins, standard series, testdata/reference/pins_asme_b18_8_2.csv",
		rows: []row{
			{nominal: 0.1250 * units.MMPerInch, chamfer: (0.1252 - 0.12) / 2 * units.MMPerInch, low: 0.1251 * units.MMPerInch, high: 0.1253 * units.MMPerInch},
			{nominal: 0.1875 * units.MMPerInch, chamfer: (0.1877 - 0.18) / 2 * units.MMPerInch, low: 0.1876 * units.MMPerInch, high: 0.1878 * units.MMPerInch},
			{nominal: 0.2500 * units.MMPerInch, chamfer: (0.2502 - 0.24) / 2 * units.MMPerInch, low: 0.2501 * units.MMPerInch, high: 0.2503 * units.MMPerInch},
			{nominal: 0.3125 * units.MMPerInch, chamfer: (0.3127 - 0.302) / 2 * units.MMPerInch, low: 0.3126 * units.MMPerInch, high: 0.3128 * units.MMPerInch},
			{nominal: 0.3750 * units.MMPerInch, chamfer: (0.3752 - 0.365) / 2 * units.MMPerInch, low: 0.3751 * units.MMPerInch, high: 0.3753 * units.MMPerInch},
			{nominal: 0.4375 * units.MMPerInch, chamfer: (0.4377 - 0.424) / 2 * units.MMPerInch, low: 0.4376 * units.MMPerInch, high: 0.4378 * units.MMPerInch},
			{nominal: 0.5000 * units.MMPerInch, chamfer: (0.5002 - 0.486) / 2 * units.MMPerInch, low: 0.5001 * units.MMPerInch, high: 0.5003 * units.MMPerInch},
			{nominal: 0.6250 * units.MMPerInch, chamfer: (0.6252 - 0.611) / 2 * units.MMPerInch, low: 0.6251 * units.MMPerInch, high: 0.6253 * units.MMPerInch},
			{nominal: 0.7500 * units.MMPerInch, chamfer: (0.7502 - 0.735) / 2 * units.MMPerInch, low: 0.7501 * units.MMPerInch, high: 0.7503 * units.MMPerInch},
			{nominal: 0.8750 * units.MMPerInch, chamfer: (0.8752 - 0.86) / 2 * units.MMPerInch, low: 0.8751 * units.MMPerInch, high: 0.8753 * units.MMPerInch},
			{nominal: 1.0000 * units.MMPerInch, chamfer: (1.0002 - 0.98) / 2 * units.MMPerInch, low: 1.0001 * units.MMPerInch, high: 1.0003 * units.MMPerInch},
		},
	},
	{
		name: asmeMM, source: "ASME B18.8.5M, standard series, testdata/reference/pins_asme_b18_8_5m.csv: not the m6 band of ISO",
		rows: []row{
			{nominal: 3, low: 3.003, high: 3.008},
			{nominal: 4, low: 4.003, high: 4.008},
			{nominal: 5, low: 5.003, high: 5.008},
			{nominal: 6, low: 6.003, high: 6.009},
			{nominal: 8, low: 8.003, high: 8.009},
			{nominal: 10, low: 10.003, high: 10.009},
			{nominal: 12, low: 12.003, high: 12.009},
			{nominal: 16, low: 16.003, high: 16.009},
			{nominal: 20, low: 20.003, high: 20.009},
			{nominal: 25, low: 25.003, high: 25.009},
		},
	},
	{
		name: rod, source: "ground rod, cut to length; limits by ISO 286",
		classes: []string{"h6", "h8", "g6"},
	},
}

// lengthSeries holds the nominal lengths of ISO 2338, mm
// (testdata/reference/pins_iso_lengths.csv).
var lengthSeries = []float64{
	2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24, 26, 28, 30, 32, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 85, 90, 95, 100, 120, 140, 160, 180, 200,
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
