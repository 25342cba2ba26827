package toolpath

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// Kind says how the tool travels.
type Kind uint8

// The four ways to travel. Arcs lie in the XY plane; Z changes in proportion to
// the angle, which makes a helix.
const (
	Rapid  Kind = iota // as fast as the machine can, straight only when one axis moves
	Feed               // straight at the feed
	ArcCW              // clockwise seen from above
	ArcCCW             // counter-clockwise seen from above
)

func (k Kind) String() string {
	switch k {
	case Rapid:
		return "rapid"
	case Feed:
		return "feed"
	case ArcCW:
		return "clockwise arc"
	case ArcCCW:
		return "counter-clockwise arc"
	}
	return fmt.Sprintf("kind %d", uint8(k))
}

// IsArc reports whether the tool travels on a circle.
func (k Kind) IsArc() bool { return k == ArcCW || k == ArcCCW }

// Point is a place of the tool's tip, in millimetres.
type Point struct{ X, Y, Z float64 }

// XY returns the place seen from above.
func (p Point) XY() geom.Vec { return geom.Vec{X: p.X, Y: p.Y} }

// Dist returns the distance between p and q in space.
func (p Point) Dist(q Point) float64 {
	return math.Hypot(p.XY().Dist(q.XY()), p.Z-q.Z)
}

func at(v geom.Vec, z float64) Point { return Point{v.X, v.Y, z} }

// Move is one piece of a path. It starts where the move before it ended.
type Move struct {
	Kind      Kind
	To        Point
	Center    geom.Vec // of an arc, absolute; unused otherwise
	FeedMMmin float64  // unused for Rapid
}

// Sweep returns the angle that an arc turns through from a start, positive
// counter-clockwise; zero for straight moves. An arc that ends over the very
// point where it started is a full turn, never none: equality is meant exactly.
func (m Move) Sweep(from Point) float64 {
	if !m.Kind.IsArc() {
		return 0
	}
	full := 2 * math.Pi
	turn := full
	if from.XY() != m.To.XY() {
		a, b := from.XY().Sub(m.Center), m.To.XY().Sub(m.Center)
		turn = math.Atan2(a.Cross(b), a.Dot(b))
		if m.Kind == ArcCW {
			turn = -turn
		}
		if turn <= 0 {
			turn += full
		}
	}
	if m.Kind == ArcCW {
		return -turn
	}
	return turn
}

// Length returns the way of the tool's tip.
//
//	straight  sqrt(dx^2 + dy^2 + dz^2)
//	helix     sqrt((r sweep)^2 + dz^2)
func (m Move) Length(from Point) float64 {
	if !m.Kind.IsArc() {
		return from.Dist(m.To)
	}
	return math.Hypot(from.XY().Dist(m.Center)*m.Sweep(from), m.To.Z-from.Z)
}

// At returns the place after the fraction t of the move, 0 at its start, 1 at its
// end. A rapid is taken as straight, as most controllers run it.
func (m Move) At(from Point, t float64) Point {
	z := from.Z + t*(m.To.Z-from.Z)
	if !m.Kind.IsArc() {
		return at(from.XY().Lerp(m.To.XY(), t), z)
	}
	d := from.XY().Sub(m.Center)
	phi := math.Atan2(d.Y, d.X)
	return at(m.Center.Add(geom.Polar(d.Norm(), phi+t*m.Sweep(from))), z)
}

// bounds returns the box that the tip passes, seen from above.
func (m Move) bounds(from Point) geom.Box {
	b := geom.EmptyBox().Include(from.XY()).Include(m.To.XY())
	if !m.Kind.IsArc() {
		return b
	}
	d := from.XY().Sub(m.Center)
	r, start, sweep := d.Norm(), math.Atan2(d.Y, d.X), m.Sweep(from)
	lo, hi := math.Min(start, start+sweep), math.Max(start, start+sweep)
	// The quarter points that the arc passes.
	for q := math.Ceil(lo / (math.Pi / 2)); q*math.Pi/2 <= hi; q++ {
		b = b.Include(m.Center.Add(quarter(int(q)).Scale(r)))
	}
	return b
}

// quarter returns the unit vector after q quarter turns from +X, exactly.
func quarter(q int) geom.Vec {
	return [4]geom.Vec{{X: 1}, {Y: 1}, {X: -1}, {Y: -1}}[((q%4)+4)%4]
}
