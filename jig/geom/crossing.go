package geom

import "math"

// sameMM is how near two places of an outline must be to count as one: far below what any
// cutter tells apart and far above rounding.
const sameMM = 1e-3

// Crossing returns the first two edges of the contour that meet anywhere but at the corner
// between neighbours, and where; ok is false for a contour that never does.
func (l Loop) Crossing() (i, k int, at Vec, ok bool) {
	n := len(l)
	for i := range l {
		e := l.Edge(i)
		box := e.Bounds().Grow(sameMM)
		for k := i + 1; k < n; k++ {
			f := l.Edge(k)
			if b := f.Bounds(); b.Min.X > box.Max.X || b.Max.X < box.Min.X || b.Min.Y > box.Max.Y || b.Max.Y < box.Min.Y {
				continue
			}
			for _, p := range Meet(e, f) {
				if !(k == i+1 && p.Dist(e.Q) < sameMM || (k+1)%n == i && p.Dist(e.P) < sameMM) {
					return i, k, p, true
				}
			}
		}
	}
	return 0, 0, Vec{}, false
}

// ThroughArc returns the bulge of the arc from p to q that passes through m; ok is false
// where the three lie on a line, or two of them together.
//
//	the angle at m between p and q is pi - sweep/2:  bulge = tan(sweep/4)
func ThroughArc(p, m, q Vec) (bulge float64, ok bool) {
	a, b := p.Sub(m), q.Sub(m)
	if a.Norm() < sameMM || b.Norm() < sameMM || p.Dist(q) < sameMM {
		return 0, false
	}
	if foot := math.Abs(a.Cross(b)) / p.Dist(q); foot < sameMM && a.Dot(b) < 0 {
		return 0, false
	}
	return math.Tan((math.Pi - math.Abs(math.Atan2(a.Cross(b), a.Dot(b)))) / 2 * math.Copysign(1, b.Cross(a))), true
}
