package cdt

import "math/bits"

// Limit bounds the coordinates of points: -Limit <= x, y <= Limit. Differences
// then fit in 27 bits with sign, twice an area in 55 bits, and the circle test
// in 112 bits.
const Limit = 1 << 26

// Point is a place in the plane in whole units.
type Point struct{ X, Y int64 }

// Orient returns twice the signed area of the triangle abc in square units:
// positive when c lies left of the line from a to b, zero when the three lie on
// one line. It is exact for coordinates within 2*Limit.
func Orient(a, b, c Point) int64 {
	return (b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)
}

// InCircle reports whether d lies strictly inside the circle through the
// counter-clockwise triangle abc. It is exact.
//
//	| ax-dx  ay-dy  (ax-dx)^2+(ay-dy)^2 |
//	| bx-dx  by-dy  (bx-dx)^2+(by-dy)^2 | > 0
//	| cx-dx  cy-dy  (cx-dx)^2+(cy-dy)^2 |
//
// Reference: L. Guibas and J. Stolfi, ACM Transactions on Graphics 4(2), 1985
// (recalled).
func InCircle(a, b, c, d Point) bool {
	ax, ay := a.X-d.X, a.Y-d.Y
	bx, by := b.X-d.X, b.Y-d.Y
	cx, cy := c.X-d.X, c.Y-d.Y
	sum := product(ax*ax+ay*ay, bx*cy-by*cx).
		plus(product(bx*bx+by*by, cx*ay-cy*ax)).
		plus(product(cx*cx+cy*cy, ax*by-ay*bx))
	return sum.positive()
}

// wide is a 128 bit whole number in two's complement.
type wide struct {
	hi int64
	lo uint64
}

func product(a, b int64) wide {
	neg := (a < 0) != (b < 0)
	hi, lo := bits.Mul64(magnitude(a), magnitude(b))
	if !neg {
		return wide{int64(hi), lo}
	}
	lo, carry := bits.Add64(^lo, 1, 0)
	hi, _ = bits.Add64(^hi, 0, carry)
	return wide{int64(hi), lo}
}

func magnitude(a int64) uint64 {
	if a < 0 {
		return uint64(-a)
	}
	return uint64(a)
}

func (a wide) plus(b wide) wide {
	lo, carry := bits.Add64(a.lo, b.lo, 0)
	hi, _ := bits.Add64(uint64(a.hi), uint64(b.hi), carry)
	return wide{int64(hi), lo}
}

func (a wide) positive() bool { return a.hi > 0 || a.hi == 0 && a.lo > 0 }
