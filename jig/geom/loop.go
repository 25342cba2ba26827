package geom

import "math"

// Vertex is a corner of a contour; Bulge belongs to the edge that leaves it.
type Vertex struct {
	Vec
	Bulge float64
}

// Loop is a closed contour. The last vertex is joined to the first, which is
// not repeated. Counter-clockwise loops have positive area.
type Loop []Vertex

// Edge returns the edge that leaves vertex i.
func (l Loop) Edge(i int) Edge {
	return Edge{l[i].Vec, l[(i+1)%len(l)].Vec, l[i].Bulge}
}

// Area returns the signed area in square millimetres, positive for a
// counter-clockwise loop. The circular segments of arcs are included exactly.
func (l Loop) Area() float64 {
	var sum float64
	for i := range l {
		e := l.Edge(i)
		sum += e.P.Cross(e.Q) / 2
		if e.IsArc() {
			a := e.Arc()
			sum += a.R * a.R * (a.Sweep - math.Sin(a.Sweep)) / 2
		}
	}
	return sum
}

// Length returns the length of the whole contour.
func (l Loop) Length() float64 {
	var sum float64
	for i := range l {
		sum += l.Edge(i).Length()
	}
	return sum
}

// Bounds returns the smallest box around the contour, arcs included.
func (l Loop) Bounds() Box {
	b := EmptyBox()
	for i := range l {
		b = b.Union(l.Edge(i).Bounds())
	}
	return b
}

// Corners returns the vertices as plain points.
func (l Loop) Corners() []Vec {
	out := make([]Vec, len(l))
	for i, v := range l {
		out[i] = v.Vec
	}
	return out
}

// Contains reports whether p lies inside. A point on the contour may go either way.
//
// The chords form a polygon; a point between a chord and its arc changes sides.
func (l Loop) Contains(p Vec) bool {
	in := false
	for i := range l {
		e := l.Edge(i)
		c := chord{e.P, e.Q, e.Q.Sub(e.P).Cross(p.Sub(e.P))}
		if c.crossed(p) {
			in = !in
		}
		if e.IsArc() && !e.beyond(p, 0) {
			if a := e.Arc(); p.Dist(a.C) < a.R && c.rightOf() == (e.Bulge > 0) {
				in = !in
			}
		}
	}
	return in
}

// chord is an edge's chord seen from a point; side is positive when the point
// lies to its left. The polygon's test and the arc's ask the same product, so that
// a point exactly on a chord, such as the middle of a round hole made of two
// arcs, falls on the same side in both.
type chord struct {
	p, q Vec
	side float64
}

// crossed reports whether the ray from the point towards +X crosses the chord.
func (c chord) crossed(at Vec) bool {
	up := c.q.Y > c.p.Y
	return (c.p.Y > at.Y) != (c.q.Y > at.Y) && (up && c.side > 0 || !up && c.side < 0)
}

// rightOf reports whether the point lies to the right of the chord. On the chord,
// the answer that goes with crossed: right of an upward chord, and of a level one
// that runs towards -X.
func (c chord) rightOf() bool {
	if c.side != 0 {
		return c.side < 0
	}
	return c.q.Y > c.p.Y || c.q.Y == c.p.Y && c.q.X < c.p.X
}

// Distance returns the distance from p to the contour, never negative.
func (l Loop) Distance(p Vec) float64 {
	d := math.Inf(1)
	for i := range l {
		if e := l.Edge(i); !e.IsArc() || !e.beyond(p, d) {
			d = min(d, e.Distance(p))
		}
	}
	return d
}

// Depth returns how far p lies inside the contour; negative outside.
func (l Loop) Depth(p Vec) float64 {
	if l.Contains(p) {
		return l.Distance(p)
	}
	return -l.Distance(p)
}

// Reverse returns the same contour run the other way round.
func (l Loop) Reverse() Loop {
	n := len(l)
	out := make(Loop, n)
	for i := range out {
		out[i] = Vertex{l[n-1-i].Vec, 0 - l[(2*n-2-i)%n].Bulge} // 0 - 0 is not -0
	}
	return out
}

// Scale returns l with every length multiplied by k about the origin.
func (l Loop) Scale(k float64) Loop {
	out := make(Loop, len(l))
	for i, v := range l {
		out[i] = Vertex{v.Vec.Scale(k), v.Bulge}
	}
	return out
}

// Flatten returns the corners of a polygon that follows the contour: line ends
// as they are, arcs replaced by equal chords whose middle is at most tol from
// the arc. Chord ends lie on the arc.
//
//	n = ceil(sweep / (2 acos(1 - tol/r)))
func (l Loop) Flatten(tol float64) []Vec {
	out := make([]Vec, 0, len(l))
	for i := range l {
		e := l.Edge(i)
		out = append(out, e.P)
		if !e.IsArc() {
			continue
		}
		a := e.Arc()
		n := ArcSegments(a.R, math.Abs(a.Sweep), tol)
		for k := 1; k < n; k++ {
			out = append(out, a.At(float64(k)/float64(n)))
		}
	}
	return out
}

// ArcSegments returns how many equal chords follow an arc of radius r and the
// given sweep with a sagitta of at most tol; at least one.
func ArcSegments(r, sweep, tol float64) int {
	if r <= tol {
		return max(1, int(math.Ceil(sweep/(math.Pi/2))))
	}
	return max(1, int(math.Ceil(sweep/(2*math.Acos(1-tol/r)))))
}
