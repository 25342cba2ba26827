package dxf

import (
	"math"
	"strconv"
	"strings"

	"github.com/yofu/dxf/format"

	"reseat/jig/geom"
)

// Decimals in the file. A millionth of a millimetre is far below any machine; a
// bulge b moves the middle of an arc by chord/2 per unit, so six decimals more
// keep a one-metre chord within the same.
const (
	coordDecimals = 6
	bulgeDecimals = 12
	bulgeCode     = 42 // group code of a bulge in an LWPOLYLINE
)

// roundTo rounds to n decimals, halves away from zero, and never returns -0.
func roundTo(x float64, n int) float64 {
	s := math.Pow10(n)
	if x = math.Round(x*s) / s; x == 0 {
		return 0 // -0 == 0 in Go, but prints with its sign
	}
	return x
}

func coord(x float64) float64 { return roundTo(x, coordDecimals) }

func coords(v geom.Vec) geom.Vec { return geom.Vec{X: coord(v.X), Y: coord(v.Y)} }

// fixed prints with a decimal point and without exponent, whatever the locale.
func fixed(code int, x float64) string {
	n := coordDecimals
	if code == bulgeCode {
		n = bulgeDecimals
	}
	s := strconv.FormatFloat(x, 'f', n, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return s
}

// plain is the library's ASCII formatter with our way of printing numbers; its
// own would print sixteen decimals.
type plain struct{ *format.ASCII }

func (p plain) WriteFloat(code int, x float64) { p.WriteString(code, fixed(code, x)) }
