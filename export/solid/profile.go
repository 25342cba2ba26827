package solid

import (
	"math"

	"github.com/deadsy/sdfx/sdf"
	v2 "github.com/deadsy/sdfx/vec/v2"

	"reseat/jig/geom"
)

// profile is the region inside one contour and outside others, as an sdf.SDF2.
// The distance is exact when the voids lie inside the contour and apart from
// each other, and has the right sign and is exact at the border's surroundings
// in any case where borders do not cross.
type profile struct {
	outer  *ring
	voids  []*ring
	bounds sdf.Box2
}

// ring is a contour made ready for many questions.
type ring struct {
	loop  geom.Loop
	box   geom.Box
	edges []ringEdge
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
	r := &ring{loop: l, box: l.Bounds()}
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
		r.edges = append(r.edges, e)
	}
	return r
}

// newProfile returns the region inside outer and outside all voids.
func newProfile(outer *ring, voids ...*ring) *profile {
	b := outer.box
	return &profile{outer, voids, sdf.Box2{Min: v2.Vec{X: b.Min.X, Y: b.Min.Y}, Max: v2.Vec{X: b.Max.X, Y: b.Max.Y}}}
}

// Evaluate returns the distance to the border in millimetres, negative inside.
func (p *profile) Evaluate(at v2.Vec) float64 {
	q := geom.Vec{X: at.X, Y: at.Y}
	d2 := p.outer.distance2(q, math.Inf(1))
	inside := p.outer.contains(q)
	for _, v := range p.voids {
		if boxDistance2(v.box, q) < d2 {
			d2 = v.distance2(q, d2)
		}
		if inside && v.contains(q) {
			inside = false
		}
	}
	if inside {
		return -math.Sqrt(d2)
	}
	return math.Sqrt(d2)
}

// BoundingBox returns the box of the outer contour.
func (p *profile) BoundingBox() sdf.Box2 { return p.bounds }

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
	d := e.Q.Sub(e.P)
	t := 0.0
	if l := square(d); l > 0 {
		t = math.Max(0, math.Min(1, p.Sub(e.P).Dot(d)/l))
	}
	return square(p.Sub(e.P.Add(d.Scale(t))))
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

func square(v geom.Vec) float64 { return v.X*v.X + v.Y*v.Y }

func boxDistance2(b geom.Box, p geom.Vec) float64 {
	dx := max(0, b.Min.X-p.X, p.X-b.Max.X)
	dy := max(0, b.Min.Y-p.Y, p.Y-b.Max.Y)
	return dx*dx + dy*dy
}
