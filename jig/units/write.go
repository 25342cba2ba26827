package units

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Decimal writes v with at most n decimals, without trailing zeros and never "-0".
func Decimal(v float64, n int) string {
	s := Fixed(v, n)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// Fixed writes v with exactly n decimals, rounded as Round does, and never "-0".
func Fixed(v float64, n int) string { return strconv.FormatFloat(Round(v, n), 'f', n, 64) }

// Signed writes v with exactly n decimals and its sign, which zero does not have.
func Signed(v float64, n int) string {
	s := Fixed(v, n)
	if v > 0 && strings.Trim(s, "0.") != "" {
		return "+" + s
	}
	return s
}

// Round rounds v to n decimals, halves away from zero, and never returns -0. A
// value that sits on a half up to rounding errors, as sixteenths of an inch do at
// three decimals, falls to the same side on every machine: halves begin a
// ten-thousandth of the last place early.
func Round(v float64, n int) float64 {
	const (
		early = 1e-4
		whole = 1 << 52 // from here on a float64 has no decimals to round
	)
	p := math.Pow10(n)
	scaled := float64(v * p)
	if math.Abs(scaled) >= whole {
		return v
	}
	if v = math.Round(scaled+math.Copysign(early, v)) / p; v == 0 {
		return 0 // not -0
	}
	return v
}

// Significant writes v with at most n significant digits, without an exponent in
// the range of lengths.
func Significant(v float64, n int) string {
	s := strconv.FormatFloat(v, 'g', n, 64)
	if f, err := strconv.ParseFloat(s, 64); err == nil && (f == 0 || math.Abs(f) >= 1e-6 && math.Abs(f) < 1e10) {
		return strconv.FormatFloat(f, 'f', -1, 64)
	}
	return s
}

// Short writes v with at most ten significant digits: what a person typed comes
// out as it was.
func Short(v float64) string { return Significant(v, 10) }

// Inches writes a length in mm as a fraction of an inch where it is one, to within
// a thousandth of a millimetre, otherwise in decimals: "1/4", "1 1/2", "0.2362".
func Inches(mm float64) string {
	const (
		parts  = 64   // the finest fraction on a rule
		sameMM = 1e-3 // below the least difference of two sizes that are sold
	)
	n := math.Round(mm / MMPerInch * parts)
	if math.Abs(n/parts*MMPerInch-mm) > sameMM || n == 0 {
		return Decimal(mm/MMPerInch, 4)
	}
	a, b := int(n), parts
	for a%2 == 0 && b > 1 {
		a, b = a/2, b/2
	}
	switch {
	case b == 1:
		return strconv.Itoa(a)
	case a > b:
		return fmt.Sprintf("%d %d/%d", a/b, a%b, b)
	}
	return fmt.Sprintf("%d/%d", a, b)
}

// Count writes how many there are of a thing, named in the singular: "1 cut", "3 passes".
func Count(n int, thing string) string {
	switch {
	case n == 1:
	case strings.HasSuffix(thing, "s"):
		thing += "es"
	default:
		thing += "s"
	}
	return fmt.Sprintf("%d %s", n, thing)
}
