package dowel

import "math"

// FloatingZone is the position tolerance (zone diameter, mm) of the holes in each
// of two plates that a loose pin goes through:
//
//	T = H - F
//
// H being the smallest hole and F the largest pin. Negative: they need not fit.
// Reference: testdata/reference/position_cases.csv.
func FloatingZone(holeMinMM, pinMaxMM float64) float64 { return holeMinMM - pinMaxMM }

// FixedZone is the position tolerance (zone diameter, mm) of the hole in each of
// two plates when the pin sits fast in one:
//
//	T1 + T2 = H - F,  each (H - F)/2
//
// Reference: testdata/reference/position_cases.csv.
func FixedZone(holeMinMM, pinMaxMM float64) float64 { return (holeMinMM - pinMaxMM) / 2 }

// ClearHole is the smallest hole that lets a pin through when the pin's place and
// the hole's place are each off by up to the given radial errors, mm.
func ClearHole(pinMaxMM, pinOffMM, holeOffMM float64) float64 {
	return pinMaxMM + 2*(math.Abs(pinOffMM)+math.Abs(holeOffMM))
}
