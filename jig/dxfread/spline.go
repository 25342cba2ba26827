package dxfread

import (
	"slices"

	"reseat/jig/geom"
)

// highest is the greatest degree of a spline; drawing programs go to 10, and the work grows with its square.
const highest = 25

// pole is a control point times its weight, and the weight.
type pole struct{ x, y, w float64 }

func (a pole) lerp(b pole, t float64) pole {
	return pole{a.x + t*(b.x-a.x), a.y + t*(b.y-a.y), a.w + t*(b.w-a.w)}
}

// spline returns the edges of a SPLINE: by its control points, or through its fit points where it has no others.
func (e *raw) spline(out *Entity, tol float64, most int) []geom.Edge {
	x, y, fx, fy := e.list(10), e.list(20), e.list(11), e.list(21)
	e.level(tol, 30, 31)
	switch {
	case len(x) != len(y) || len(fx) != len(fy):
		e.wrong("its points lack coordinates: %d x for %d y", len(x)+len(fx), len(y)+len(fy))
	case len(x) == 0 && len(fx) < 2:
		e.wrong("it has neither control points nor two fit points")
	}
	if e.fault != "" {
		return nil
	}
	if len(x) > 0 {
		return e.byPoles(x, y, tol, most)
	}
	pts := make([]geom.Vec, 0, len(fx))
	for i := range fx {
		if p := (geom.Vec{X: fx[i], Y: fy[i]}); len(pts) == 0 || p != pts[len(pts)-1] {
			pts = append(pts, p)
		}
	}
	if len(pts) < 2 {
		e.wrong("its fit points are one point")
		return nil
	}
	from, to := geom.Vec{X: e.number(12, 0), Y: e.number(22, 0)}, geom.Vec{X: e.number(13, 0), Y: e.number(23, 0)}
	out.Guessed = len(pts) > 2 && (from == geom.Vec{} || to == geom.Vec{})
	var edges []geom.Edge
	for _, on := range throughPoints(pts, from.Unit(), to.Unit()) {
		edges = on.arcs(edges, 0, 1, tol, most)
	}
	return edges
}

// byPoles returns the edges of a spline with control points, one stretch for each span between knots.
func (e *raw) byPoles(x, y []float64, tol float64, most int) []geom.Edge {
	n, degree := len(x), e.whole(71)
	knots, weights := e.list(40), e.list(41)
	switch {
	case degree < 1 || degree > highest:
		e.wrong("its degree is %d, want 1 to %d", degree, highest)
	case n <= degree:
		e.wrong("it has %d control points, fewer than the %d of degree %d", n, degree+1, degree)
	case len(knots) != n+degree+1:
		e.wrong("it has %d knots, want %d for %d control points of degree %d", len(knots), n+degree+1, n, degree)
	case !slices.IsSorted(knots) || knots[degree] == knots[n]:
		e.wrong("its knots do not rise")
	case len(weights) != 0 && len(weights) != n:
		e.wrong("it has %d weights for %d control points", len(weights), n)
	case len(weights) != 0 && slices.Min(weights) <= 0:
		e.wrong("a weight is %g", slices.Min(weights))
	}
	if e.fault != "" {
		return nil
	}
	poles := make([]pole, n)
	for i := range poles {
		w := 1.0
		if len(weights) > 0 {
			w = weights[i]
		}
		poles[i] = pole{x[i] * w, y[i] * w, w}
	}
	var out []geom.Edge
	for k := degree; k < n; k++ {
		if knots[k] < knots[k+1] {
			out = span(poles[k-degree:k+1], knots[k-degree+1:k+degree+1]).arcs(out, knots[k], knots[k+1], tol, most)
		}
	}
	return out
}

// span is the spline between two knots: p+1 poles and the 2p knots about it, those of its ends in the middle.
//
// Reference: C. de Boor, On calculating with B-splines, Journal of Approximation Theory 6 (1972) 50-62. With the last
// two of his points a and b, u knots apart, and weights w,
//
//	C = (1-s) a + s b,  C' = p (b - a) / u;  of the rational curve: ((x, y)' - w' place) / w
func span(poles []pole, knots []float64) curve {
	p := len(poles) - 1
	d := make([]pole, p+1)
	return func(t float64) (geom.Vec, geom.Vec) {
		copy(d, poles)
		var slope pole
		for r := 1; r <= p; r++ {
			for j := p; j >= r; j-- {
				lo, hi := knots[j-1], knots[j-r+p]
				if r == p {
					k := float64(p) / (hi - lo)
					slope = pole{k * (d[j].x - d[j-1].x), k * (d[j].y - d[j-1].y), k * (d[j].w - d[j-1].w)}
				}
				d[j] = d[j-1].lerp(d[j], (t-lo)/(hi-lo))
			}
		}
		at := geom.Vec{X: d[p].x / d[p].w, Y: d[p].y / d[p].w}
		return at, geom.Vec{X: slope.x - slope.w*at.X, Y: slope.y - slope.w*at.Y}.Scale(1 / d[p].w)
	}
}

// throughPoints returns the cubic spline through the points, one stretch from each to the next: its curvature does
// not jump, its parameter runs with the chords, and it leaves and arrives along the given unit directions. Where one is
// zero the direction is that of a parabola through the end's three points were they evenly spaced, which is how
// drawing programs come closest to one another (recalled from ezdxf's notes on fit points).
func throughPoints(pts []geom.Vec, from, to geom.Vec) []curve {
	n := len(pts) - 1
	chord := make([]float64, n)
	for i := range chord {
		chord[i] = pts[i].Dist(pts[i+1])
	}
	leaving := func(a, b, c geom.Vec) geom.Vec { return b.Sub(a).Scale(3).Sub(c.Sub(b)).Unit() }
	if from == (geom.Vec{}) {
		from = leaving(pts[0], pts[1], pts[min(2, n)])
	}
	if to == (geom.Vec{}) {
		to = leaving(pts[n], pts[n-1], pts[max(n-2, 0)]).Scale(-1)
	}
	// The slopes m between: m[i-1]/h0 + 2 m[i] (1/h0 + 1/h1) + m[i+1]/h1 = 3 (chord0/h0^2 + chord1/h1^2), by elimination.
	m, up := make([]geom.Vec, n+1), make([]float64, n+1)
	m[0], m[n] = from, to
	for i := 1; i < n; i++ {
		h0, h1 := chord[i-1], chord[i]
		right := pts[i].Sub(pts[i-1]).Scale(3 / (h0 * h0)).Add(pts[i+1].Sub(pts[i]).Scale(3 / (h1 * h1)))
		div := 2*(1/h0+1/h1) - up[i-1]/h0
		up[i] = 1 / h1 / div
		m[i] = right.Sub(m[i-1].Scale(1 / h0)).Scale(1 / div)
	}
	for i := n - 1; i > 0; i-- {
		m[i] = m[i].Sub(m[i+1].Scale(up[i]))
	}
	out := make([]curve, n)
	for i := range out {
		h := chord[i]
		a, b := pts[i].Add(m[i].Scale(h/3)), pts[i+1].Sub(m[i+1].Scale(h/3))
		out[i] = span([]pole{{pts[i].X, pts[i].Y, 1}, {a.X, a.Y, 1}, {b.X, b.Y, 1}, {pts[i+1].X, pts[i+1].Y, 1}},
			[]float64{0, 0, 0, 1, 1, 1})
	}
	return out
}
