package dxfread

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// affine is how a block lies in the drawing: turned, scaled, mirrored, shifted.
//
//	(x, y) -> (a x + b y, c x + d y) + s
type affine struct {
	a, b, c, d float64
	s          geom.Vec
}

func shifted(s geom.Vec) affine { return affine{a: 1, d: 1, s: s} }

func (m affine) apply(p geom.Vec) geom.Vec {
	return geom.Vec{X: m.a*p.X + m.b*p.Y, Y: m.c*p.X + m.d*p.Y}.Add(m.s)
}

// then returns the map that does m first, then n.
func (m affine) then(n affine) affine {
	return affine{n.a*m.a + n.b*m.c, n.a*m.b + n.b*m.d, n.c*m.a + n.d*m.c, n.c*m.b + n.d*m.d, n.apply(m.s)}
}

// det is by how much areas grow, negative where the map mirrors.
func (m affine) det() float64 { return m.a*m.d - m.b*m.c }

// keepsCircles reports whether lengths grow alike in every direction, to the rounding of turns.
func (m affine) keepsCircles() bool {
	const round = 1e-9 // of the scale: some turns and scales, 1e-16 each, with room
	e, f := math.Hypot(m.a, m.c), math.Hypot(m.b, m.d)
	return math.Abs(e-f) <= round*e && math.Abs(m.a*m.b+m.c*m.d) <= round*e*f
}

// place moves an entity. One that comes to lie beyond every drawing has a problem.
func (m affine) place(e *Entity) {
	e.At = m.apply(e.At)
	for i, g := range e.Edges {
		if p, q := m.apply(g.P), m.apply(g.Q); !beyond(p) && !beyond(q) {
			e.Edges[i].P, e.Edges[i].Q = p, q
		} else {
			e.Edges, e.Problem = nil, fmt.Sprintf("it reaches beyond %g", float64(largest))
			return
		}
		if g.IsArc() && !m.keepsCircles() {
			e.Edges, e.Problem = nil, "it has arcs and its block is inserted with unequal scales"
			return
		}
		if m.det() < 0 && g.IsArc() {
			e.Edges[i].Bulge = -g.Bulge
		}
	}
}

// beyond reports whether a place lies in no drawing, or is no number.
func beyond(p geom.Vec) bool { return !(math.Abs(p.X) <= largest && math.Abs(p.Y) <= largest) }

// turned returns the image of a displacement; of a mirror it is the side to which what was left now lies.
func (m affine) turned(v geom.Vec) geom.Vec {
	if m.det() < 0 {
		return v.Scale(-1)
	}
	return v
}
