package geom

import "math"

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

// stretchRad is the sweep at most of the arcs that a stretched one is made of: at 1 % of stretch
// they stay within 0.4 um of the ellipse per 200 mm of radius. Derived:
//
//	f = s R/2 cos 2a,  error of an arc through three places = f''' (step/2)^3 / (9 sqrt 3)
const stretchRad = math.Pi / 18

// Stretch returns the contour with every X kx times and every Y ky times as long, both near 1: a
// round arc becomes an ellipse's, which is followed by short round ones.
func (l Loop) Stretch(kx, ky float64) Loop {
	to := func(p Vec) Vec { return Vec{X: float64(kx * p.X), Y: float64(ky * p.Y)} }
	var out Loop
	for i, v := range l {
		if v.Bulge == 0 {
			out = append(out, Vertex{Vec: to(v.Vec)})
			continue
		}
		arc, n := l.Edge(i).Arc(), math.Ceil(4*math.Atan(math.Abs(v.Bulge))/stretchRad)
		from := to(v.Vec)
		for k := 1.0; k <= n; k++ {
			next := to(l.Edge(i).Q)
			if k < n {
				next = to(arc.At(k / n))
			}
			bulge, _ := ThroughArc(from, to(arc.At((k-0.5)/n)), next) // 0 where nothing is left of its height
			out = append(out, Vertex{from, bulge})
			from = next
		}
	}
	return out
}

// SplitArcs returns the contour with every arc of more than half a circle, which some readers
// of cut files refuse, in two halves.
func (l Loop) SplitArcs() Loop {
	var out Loop
	for i, v := range l {
		if math.Abs(v.Bulge) <= 1 {
			out = append(out, v)
			continue
		}
		half := math.Tan(math.Atan(v.Bulge) / 2)
		out = append(out, Vertex{v.Vec, half}, Vertex{l.Edge(i).Arc().At(0.5), half})
	}
	return out
}
