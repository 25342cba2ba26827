package seat

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// PinPair is a board or plate on two locating pins: one in a round hole, one in
// a slot that lies along the line between them.
type PinPair struct {
	Round, Slot    geom.Vec // hole centres
	RoundClearance float64  // largest hole less smallest pin, on the diameter, mm; zero or more
	SlotClearance  float64  // largest slot width less smallest pin, mm; zero or more
}

// leastBaselineMM is the least distance between two locating pins: below a
// micrometre the direction between them is rounding, not geometry.
const leastBaselineMM = 1e-3

// pinSeat is the pose set of a PinPair in its own coordinates: (a, b) is the
// move at the round pin along and across the pin line, s the move across at the
// slot.
//
//	a^2 + b^2 <= r^2,  |s| <= t,  theta = (s - b)/L
type pinSeat struct {
	round, along geom.Vec // along: unit vector from round to slot
	l, r, t      float64
}

// Seat returns the support. It returns an error when the pins stand in one place or a
// clearance is less than none.
func (p PinPair) Seat() (Seat, error) {
	d := p.Slot.Sub(p.Round)
	l := d.Norm()
	if !(l >= leastBaselineMM && finite(p.Round, p.Slot)) {
		return nil, fmt.Errorf("the two locating pins are %.4g mm apart; no direction can be taken from less than %g mm", l,
			leastBaselineMM)
	}
	if !(p.RoundClearance >= 0 && p.SlotClearance >= 0 && finite(geom.Vec{X: p.RoundClearance, Y: p.SlotClearance})) {
		return nil, fmt.Errorf("the pins have %g and %g mm of clearance; want zero or more", p.RoundClearance,
			p.SlotClearance)
	}
	return &pinSeat{p.Round, d.Scale(1 / l), l, p.RoundClearance / 2, p.SlotClearance / 2}, nil
}

// Turn:
//
//	theta max = (round clearance + slot clearance) / (2 L)
func (s *pinSeat) Turn() float64 { return (s.r + s.t) / s.l }

// Reach is linear in (a, b, s), so its largest value over disc and interval is
//
//	r hypot(coefficient of a, of b) + t |coefficient of s|
func (s *pinSeat) Reach(at, dir geom.Vec) float64 {
	d := at.Sub(s.round)
	x, y := d.Dot(s.along), s.along.Cross(d)
	dx, dy := dir.Dot(s.along), s.along.Cross(dir)
	cs := (dy*x - dx*y) / s.l
	return s.r*math.Hypot(dx, dy-cs) + s.t*math.Abs(cs)
}

// Place is linear in (a, b, s), so disc and interval are filled uniformly each.
func (s *pinSeat) Place(u [3]float64) Pose {
	sin, cos := math.Sincos(2 * math.Pi * u[1])
	r := s.r * math.Sqrt(u[0])
	a, b := r*cos, r*sin
	move := geom.Vec{
		X: float64(s.along.X*a) - float64(s.along.Y*b),
		Y: float64(s.along.Y*a) + float64(s.along.X*b),
	}
	return about(s.round, move, (float64(s.t*(2*u[2]-1))-b)/s.l)
}
