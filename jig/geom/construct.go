package geom

import "math"

// FromPoints returns the polygon with the given corners.
func FromPoints(pts []Vec) Loop {
	l := make(Loop, len(pts))
	for i, p := range pts {
		l[i] = Vertex{Vec: p}
	}
	return l
}

// Rect returns the counter-clockwise rectangle of b.
func Rect(b Box) Loop {
	return FromPoints([]Vec{b.Min, {b.Max.X, b.Min.Y}, b.Max, {b.Min.X, b.Max.Y}})
}

// Taper returns the counter-clockwise outline of a straight-sided board of the
// given length that is wStart wide at X = 0 and wEnd wide at X = length, centred
// on the X axis.
func Taper(length, wStart, wEnd float64) Loop {
	return FromPoints([]Vec{{0, -wStart / 2}, {length, -wEnd / 2}, {length, wEnd / 2}, {0, wStart / 2}})
}

// Slot returns the counter-clockwise outline of a slot of the given width whose
// two end centres lie travel apart, about c, along angle phi. A travel of zero
// gives a circle of two arcs.
func Slot(c Vec, phi, travel, width float64) Loop {
	a := Polar(travel/2, phi)
	n := Polar(width/2, phi+math.Pi/2)
	if travel == 0 {
		return Loop{{c.Sub(n), 1}, {c.Add(n), 1}}
	}
	return Loop{
		{c.Sub(a).Sub(n), 0},
		{c.Add(a).Sub(n), 1},
		{c.Add(a).Add(n), 0},
		{c.Sub(a).Add(n), 1},
	}
}

// turnAt returns the unit directions of travel into and out of vertex i.
func (l Loop) turnAt(i int) (in, out Vec) {
	_, in = l.Edge((i + len(l) - 1) % len(l)).Tangents()
	out, _ = l.Edge(i).Tangents()
	return in, out
}

// leastEdgeMM is the shortest straight that RoundCorners leaves between two roundings:
// shorter ones are strays to the programs that read a cut file.
const leastEdgeMM = 0.05

// RoundCorners returns the convex polygon l with every corner replaced by a tangent arc
// of radius r, or of the largest that its edges carry. Roundings that all but meet do
// meet: a round end has no straight in it. It returns l unchanged for r <= 0.
func RoundCorners(l Loop, r float64) Loop {
	if r <= 0 {
		return l
	}
	n := len(l)
	turns, edges := make([]float64, n), make([]float64, n)
	half := func(i int) float64 { return math.Tan(math.Abs(turns[i%n]) / 2) }
	for i := range l {
		in, next := l.turnAt(i)
		turns[i], edges[i] = math.Atan2(in.Cross(next), in.Dot(next)), l.Edge(i).Length()
	}
	for i, e := range edges {
		if both := half(i) + half(i+1); r*both > e-leastEdgeMM {
			r = e / both
		}
	}
	out := make(Loop, 0, 2*n)
	for i := range l {
		in, next := l.turnAt(i)
		out = append(out, Vertex{l[i].Sub(in.Scale(r * half(i))), math.Tan(turns[i] / 4)})
		if edges[i]-r*(half(i)+half(i+1)) >= leastEdgeMM/2 {
			out = append(out, Vertex{l[i].Add(next.Scale(r * half(i))), 0})
		}
	}
	return out
}

// Relieve returns the convex counter-clockwise polygon l with a clearance arc of
// radius r at every corner, so that a round cutter of that radius frees the
// corner of a sharp-cornered part. The arc's centre lies on the corner's
// bisector, r inside, so the circle passes through the corner and eats into
// both walls.
//
//	wall eaten = 2 r cos(half the corner's angle)
func Relieve(l Loop, r float64) Loop {
	if r <= 0 {
		return l
	}
	out := make(Loop, 0, 2*len(l))
	for i := range l {
		in, next := l.turnAt(i)
		half := (math.Pi - math.Atan2(in.Cross(next), in.Dot(next))) / 2
		eaten := 2 * r * math.Cos(half)
		p, q := l[i].Sub(in.Scale(eaten)), l[i].Add(next.Scale(eaten))
		// The arc runs outside from p through the corner to q; by the inscribed
		// angle theorem its sweep is 2 (pi - corner angle). It is halved at the
		// corner so that no bulge exceeds 1, which some readers refuse.
		sweep := 2 * (math.Pi - 2*half)
		b := math.Tan(sweep / 8)
		out = append(out, Vertex{p, b}, Vertex{l[i].Vec, b}, Vertex{q, 0})
	}
	return out
}

// Offset returns l moved outward by d (inward for d < 0), l being
// counter-clockwise. Straight corners are mitred; an arc keeps its sweep and
// changes its radius. It is exact when every arc meets its neighbours
// tangentially and d leaves every radius and edge positive.
func (l Loop) Offset(d float64) Loop {
	n := len(l)
	out := make(Loop, n)
	for i := range l {
		in, next := l.turnAt(i)
		n1, n2 := in.Left().Scale(-1), next.Left().Scale(-1)
		m := n1.Add(n2).Scale(d / (1 + n1.Dot(n2)))
		out[i] = Vertex{l[i].Add(m), l[i].Bulge}
	}
	return out
}
