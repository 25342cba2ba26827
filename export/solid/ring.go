package solid

import (
	"math"

	"reseat/jig/geom"
)

// ring is a contour made ready for many questions.
type ring struct {
	box   geom.Box
	edges []ringEdge
	mitre float64 // how much further than the offset a corner can be
}

type ringEdge struct {
	geom.Edge
	box geom.Box
	// For an arc: centre, radius and the directions to its ends.
	c        geom.Vec
	r        float64
	from, to geom.Vec
	ccw      bool
	wide     bool // more than half a turn
}

func newRing(l geom.Loop) *ring {
	r := &ring{box: l.Bounds(), mitre: 1}
	for i := range l {
		e := ringEdge{Edge: l.Edge(i)}
		e.box = e.Bounds()
		if e.IsArc() {
			a := e.Arc()
			e.c, e.r, e.ccw = a.C, a.R, a.Sweep > 0
			e.from, e.to = e.P.Sub(a.C), e.Q.Sub(a.C)
			if !e.ccw {
				e.from, e.to = e.to, e.from
			}
			e.wide = math.Abs(a.Sweep) > math.Pi
		}
		_, in := endDirections(l.Edge((i + len(l) - 1) % len(l)))
		out, _ := endDirections(e.Edge)
		r.mitre = math.Max(r.mitre, math.Sqrt(2/(1+in.Dot(out))))
		r.edges = append(r.edges, e)
	}
	return r
}

// contains reports whether p lies inside the contour: the chords form a polygon,
// and a point between a chord and its arc changes sides. A point on a chord must
// fall on the same side of it in both tests, or a point in the middle of a round
// hole goes wrong; so both ask the same product, and a point on a chord counts
// as lying to its right in x, above it when the chord is level.
func (r *ring) contains(p geom.Vec) bool {
	if !r.box.Contains(p) {
		return false
	}
	in := false
	for i := range r.edges {
		e := &r.edges[i]
		side := e.Q.Sub(e.P).Cross(p.Sub(e.P)) // > 0: p left of P-Q
		up := e.Q.Y > e.P.Y
		if (e.P.Y > p.Y) != (e.Q.Y > p.Y) && (up && side > 0 || !up && side < 0) {
			in = !in
		}
		if e.r > 0 && square(p.Sub(e.c)) < e.r*e.r {
			level := e.Q.Y == e.P.Y
			right := side < 0 || side == 0 && (up || level && e.Q.X < e.P.X)
			if right == e.ccw {
				in = !in
			}
		}
	}
	return in
}

// distance2 returns the squared distance from p to the contour, or any number
// not below bound when it is not below bound.
func (r *ring) distance2(p geom.Vec, bound float64) float64 {
	best := bound
	for i := range r.edges {
		e := &r.edges[i]
		if boxDistance2(e.box, p) < best {
			best = math.Min(best, e.distance2(p))
		}
	}
	return best
}

func (e *ringEdge) distance2(p geom.Vec) float64 {
	if e.r > 0 {
		v := p.Sub(e.c)
		if e.covers(v) {
			d := math.Sqrt(square(v)) - e.r
			return d * d
		}
		return math.Min(square(p.Sub(e.P)), square(p.Sub(e.Q)))
	}
	return segmentDistance2(p, e.P, e.Q)
}

// covers reports whether direction v lies between the directions to the arc's
// ends, going counter-clockwise from the first.
func (e *ringEdge) covers(v geom.Vec) bool {
	after, before := e.from.Cross(v) >= 0, v.Cross(e.to) >= 0
	if e.wide {
		return after || before
	}
	return after && before
}

// offsetDistance returns how far p lies to the wanted side of the contour, negative on
// the other side: the distance, but at a corner that opens to that side the
// greater of the distances from the tangents at its two edges, so that corners
// stay sharp.
func (r *ring) offsetDistance(p geom.Vec, outward bool) float64 {
	best, near, end := math.Inf(1), 0, 0
	for i := range r.edges {
		e := &r.edges[i]
		if boxDistance2(e.box, p) >= best {
			continue
		}
		if d := e.distance2(p); d < best {
			best, near, end = d, i, 0
			// Rounding must not hide that the end is nearest; where it is only almost
			// so, the tangents give the same distance.
			rounding := hairMM * math.Sqrt(d)
			switch {
			case square(p.Sub(e.P))-d <= rounding:
				end = -1
			case square(p.Sub(e.Q))-d <= rounding:
				end = 1
			}
		}
	}
	d := math.Sqrt(best)
	if r.contains(p) == outward {
		return -d
	}
	if end == 0 {
		return d
	}
	// The corner lies between edges a and b.
	n := len(r.edges)
	a, b := near, (near+1)%n
	if end < 0 {
		a, b = (near+n-1)%n, near
	}
	_, in := endDirections(r.edges[a].Edge)
	out, _ := endDirections(r.edges[b].Edge)
	sign := -1.0
	if !outward {
		sign = 1
	}
	v := p.Sub(r.edges[b].P)
	return math.Max(v.Dot(in.Left())*sign, v.Dot(out.Left())*sign)
}

// segmentDistance2 returns the squared distance from p to the segment ab.
func segmentDistance2(p, a, b geom.Vec) float64 {
	d, t := b.Sub(a), 0.0
	if l := square(d); l > 0 {
		t = math.Max(0, math.Min(1, p.Sub(a).Dot(d)/l))
	}
	return square(p.Sub(a.Add(d.Scale(t))))
}

func square(v geom.Vec) float64 { return v.X*v.X + v.Y*v.Y }

func boxDistance2(b geom.Box, p geom.Vec) float64 {
	dx := max(0, b.Min.X-p.X, p.X-b.Max.X)
	dy := max(0, b.Min.Y-p.Y, p.Y-b.Max.Y)
	return dx*dx + dy*dy
}
