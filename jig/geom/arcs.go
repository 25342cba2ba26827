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
