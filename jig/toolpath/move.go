package toolpath

import (
	"math"

	"reseat/jig/geom"
)

// Kind says how the tool travels.
type Kind uint8

// The ways to travel. Arcs lie in the XY plane and run counter-clockwise seen from above;
// Z changes in proportion to the angle, which makes a helix.
const (
	Rapid Kind = iota // as fast as the machine can, straight only when one axis moves
	Feed              // straight at the feed
	Arc
)

// Point is a place of the tool's tip, in millimetres.
type Point struct{ X, Y, Z float64 }

// XY returns the place seen from above.
func (p Point) XY() geom.Vec { return geom.Vec{X: p.X, Y: p.Y} }

func at(v geom.Vec, z float64) Point { return Point{v.X, v.Y, z} }

// Move is one piece of a path. It starts where the move before it ended.
type Move struct {
	Kind      Kind
	To        Point
	Center    geom.Vec // of an arc, absolute; unused otherwise
	FeedMMmin float64  // unused for Rapid
}

// sweep returns the angle that an arc turns through from a start, above zero. An arc that
// ends over the very point where it started is a full turn: equality is meant exactly.
func (m Move) sweep(from Point) float64 {
	if from.XY() == m.To.XY() {
		return 2 * math.Pi
	}
	a, b := from.XY().Sub(m.Center), m.To.XY().Sub(m.Center)
	turn := math.Atan2(a.Cross(b), a.Dot(b))
	if turn <= 0 {
		turn += 2 * math.Pi
	}
	return turn
}

// length returns the way of the tool's tip.
//
//	straight  sqrt(dx^2 + dy^2 + dz^2)
//	helix     sqrt((r sweep)^2 + dz^2)
func (m Move) length(from Point) float64 {
	way := from.XY().Dist(m.To.XY())
	if m.Kind == Arc {
		way = from.XY().Dist(m.Center) * m.sweep(from)
	}
	return math.Hypot(way, m.To.Z-from.Z)
}

// at returns the place after the fraction t of the move, 0 at its start, 1 at its end. A
// rapid is taken as straight, as most controllers run it.
func (m Move) at(from Point, t float64) Point {
	z := from.Z + t*(m.To.Z-from.Z)
	if m.Kind != Arc {
		return at(from.XY().Lerp(m.To.XY(), t), z)
	}
	d := from.XY().Sub(m.Center)
	phi := math.Atan2(d.Y, d.X)
	return at(m.Center.Add(geom.Polar(d.Norm(), phi+t*m.sweep(from))), z)
}

// bounds returns the box that the tip passes, seen from above.
func (m Move) bounds(from Point) geom.Box {
	b := geom.EmptyBox().Include(from.XY()).Include(m.To.XY())
	if m.Kind != Arc {
		return b
	}
	d := from.XY().Sub(m.Center)
	sweep := m.sweep(from)
	// The quarter points of the circle that the arc passes.
	for _, q := range [4]geom.Vec{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}} {
		turn := math.Atan2(d.Cross(q), d.Dot(q))
		if turn < 0 {
			turn += 2 * math.Pi
		}
		if turn <= sweep {
			b = b.Include(m.Center.Add(q.Scale(d.Norm())))
		}
	}
	return b
}
