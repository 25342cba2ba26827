package seat

import (
	"fmt"
	"math"
	"sync"

	"reseat/jig/geom"
)

// RoundSet is a board or plate on 2 to 12 pins that all stand in round holes.
// Every hole keeps its pin within half its clearance, in any direction:
//
//	|motion at hole i| <= clearance i / 2
//
// The more pins, the smaller the float, and the worse the odds that every pin
// enters.
type RoundSet struct {
	Holes      []geom.Vec
	Clearances []float64 // largest hole less smallest pin, on the diameter, mm; one per hole
}

// fewestRound and mostRound are how many pins locate a plate: one leaves it free
// to turn, and no pattern has more than a dozen.
const fewestRound, mostRound = 2, 12

// roundSeat is the pose set of a RoundSet. It is convex and the same seen from
// both sides: with a pose its opposite belongs to it.
type roundSeat struct {
	holes []geom.Vec
	r     []float64 // half clearances, mm
	turn  float64   // largest rotation, radians, never under the truth
	pivot int       // a hole that leaves no play; -1 when all do

	once  sync.Once // at the first Place: a float alone does without
	poses []Pose    // extreme poses of a polytope round the set
	cells cells
	check []int // the holes that refuse some place in it
}

// Seat checks s and returns its support. Reach is exact to RoundTolerance, Turn
// to rounding; neither is ever under the truth. Errors: *InputError,
// *BaselineError.
func (s RoundSet) Seat() (Seat, error) {
	t, err := s.seat()
	if err != nil {
		return nil, err
	}
	return t, nil
}

// Float returns the float of a board on the pins at the given features, never
// under the truth: rotation exact to rounding, Along and Across to
// RoundTolerance, Worst to RoundWorstTolerance. Errors: *InputError, *BaselineError.
func (s RoundSet) Float(features []geom.Vec) (Float, error) {
	t, err := s.seat()
	if err != nil {
		return Float{}, err
	}
	return Series(features, t)
}

func (s RoundSet) seat() (*roundSeat, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	t := &roundSeat{pivot: -1}
	for i, c := range s.Clearances {
		t.holes, t.r = append(t.holes, s.Holes[i]), append(t.r, c/2)
		if c/2 < leastRadiusMM {
			t.pivot = i
		}
	}
	t.turn = t.largestTurn()
	return t, nil
}

func (s RoundSet) check() error {
	if n := len(s.Holes); n < fewestRound || n > mostRound {
		return &InputError{"number of round holes", float64(n), fmt.Sprintf("%d to %d", fewestRound, mostRound)}
	}
	if len(s.Clearances) != len(s.Holes) {
		return &InputError{"number of clearances", float64(len(s.Clearances)), fmt.Sprintf("one per hole, %d", len(s.Holes))}
	}
	for i, c := range s.Clearances {
		if !finite(c) || c < 0 {
			return &InputError{fmt.Sprintf("clearance of round hole %d (mm)", i), c, "zero or more"}
		}
	}
	if err := checkPoints("round hole", s.Holes); err != nil {
		return err
	}
	for i, p := range s.Holes {
		for _, q := range s.Holes[:i] {
			if l := p.Dist(q); l < leastBaselineMM {
				return &BaselineError{l, leastBaselineMM}
			}
		}
	}
	return nil
}

func (s *roundSeat) Turn() float64 { return s.turn }
func (s *roundSeat) Rest() Pose    { return Pose{} }

// largestTurn returns the smallest of the bounds that every two and every three
// holes give. Turned by theta about y, hole i moves by theta |p_i - y|, so the
// largest theta belongs to the y with the smallest
//
//	max over i of |p_i - y| / r_i
//
// This is the smallest enclosing circle with weights; two or three holes
// determine it (Helly's theorem).
func (s *roundSeat) largestTurn() float64 {
	turn := math.Inf(1)
	for i, p := range s.holes {
		for j, q := range s.holes[:i] {
			turn = math.Min(turn, (s.r[i]+s.r[j])/p.Dist(q))
			for k := range j {
				turn = math.Min(turn, s.tripleTurn(i, j, k))
			}
		}
	}
	return turn
}

// tripleTurn returns a bound on the rotation from three holes; infinite when two
// of them bind before the third.
//
// With a at hole i, |y - p| = r sqrt(sigma) for all three makes y linear in sigma:
//
//	2 y.(p_j - p_i) = |p_j - p_i|^2 - (r_j^2 - r_i^2) sigma, likewise k
//	|y|^2 = r_i^2 sigma
//
// Forces mu_i square to p_i - y that are in balance then turn the plate against
// the holes (virtual work):
//
//	theta sum(mu_i |p_i - y|) <= sum(mu_i r_i)
//
// That holds for every y within the triangle, so an error of y does no harm.
func (s *roundSeat) tripleTurn(i, j, k int) float64 {
	a, b := s.holes[j].Sub(s.holes[i]), s.holes[k].Sub(s.holes[i])
	det := 2 * a.Cross(b)
	if det == 0 {
		return math.Inf(1)
	}
	solve := func(x, y float64) geom.Vec { // v with 2 v.a = x, 2 v.b = y
		return geom.Vec{X: (x*b.Y - y*a.Y) / det, Y: (y*a.X - x*b.X) / det}
	}
	ri, rj, rk := s.r[i], s.r[j], s.r[k]
	o := solve(a.Dot(a), b.Dot(b))
	d := solve(ri*ri-rj*rj, ri*ri-rk*rk)
	// |o + d sigma|^2 = ri^2 sigma.
	qa, qb, qc := d.Dot(d), 2*o.Dot(d)-ri*ri, o.Dot(o)
	disc := qb*qb - 4*qa*qc
	if disc < 0 || qb >= 0 {
		return math.Inf(1)
	}
	q := -qb + math.Sqrt(disc)
	turn := math.Inf(1)
	for _, sigma := range [2]float64{2 * qc / q, q / (2 * qa)} {
		y := o.Add(d.Scale(sigma))
		e, f, g := y.Scale(-1), a.Sub(y), b.Sub(y)
		me, mf, mg := f.Unit().Cross(g.Unit()), g.Unit().Cross(e.Unit()), e.Unit().Cross(f.Unit())
		if det < 0 {
			me, mf, mg = -me, -mf, -mg
		}
		lever := me*e.Norm() + mf*f.Norm() + mg*g.Norm()
		if me >= 0 && mf >= 0 && mg >= 0 && lever > 0 {
			turn = math.Min(turn, (me*ri+mf*rj+mg*rk)/lever)
		}
	}
	return turn
}
