package seat

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"reseat/jig/geom"
	"reseat/jig/minimax"
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

// roundTolerance is the largest relative excess of a RoundSet's Reach and Turn over
// the truth: of a float of a tenth of a millimetre a ten thousandth of a nanometre.
const roundTolerance = 1e-9

// leastRadiusMM is the radius below which a disc counts as a point.
const leastRadiusMM = 1e-12

// roundSeat is the pose set of a RoundSet. It is convex and the same seen from
// both sides: with a pose its opposite belongs to it.
type roundSeat struct {
	holes []geom.Vec
	r     []float64 // half clearances, mm
	turn  float64   // largest rotation, radians
	pivot int       // a hole that leaves no play; -1 when all do
	plate minimax.Plate

	poses []Pose // extreme poses of a polytope round the set
	cells cells
}

// Seat returns the support. Reach and Turn are exact to roundTolerance and never under
// the truth. It returns an error for holes that give no direction or less than no
// clearance.
func (s RoundSet) Seat() (Seat, error) {
	t := &roundSeat{holes: s.Holes, pivot: -1}
	for i, c := range s.Clearances {
		if !(c >= 0 && c <= largestMM) {
			return nil, fmt.Errorf("hole %d has %g mm of clearance; want zero or more", i, c)
		}
		t.r = append(t.r, c/2)
		if c/2 < leastRadiusMM {
			t.pivot = i
		}
	}
	var err error
	if t.plate, err = minimax.NewPlate(s.Holes); err != nil || !finite(s.Holes...) || len(s.Holes) != len(s.Clearances) {
		return nil, fmt.Errorf("the pins give no direction: %w", err)
	}
	if t.pivot < 0 {
		t.turn = t.plate.MostTurn(t.r, roundTolerance)
		t.enclose()
		return t, nil
	}
	t.turn = math.Inf(1)
	for i, p := range s.Holes {
		if i != t.pivot {
			t.turn = math.Min(t.turn, t.r[i]/p.Dist(s.Holes[t.pivot]))
		}
	}
	return t, nil
}

func (s *roundSeat) Turn() float64 { return s.turn }

func (s *roundSeat) Reach(at, dir geom.Vec) float64 {
	if s.pivot >= 0 {
		return s.turn * math.Abs(at.Sub(s.holes[s.pivot]).Left().Dot(dir))
	}
	return s.plate.MostMove(s.r, at, dir, roundTolerance)
}

// roundSides is how many tangents stand for each hole's disc in the polytope
// that the poses are drawn from.
const roundSides = 16

// roundShare is the part of a disc's radius at which roundSides tangents enclose just
// its area.
var roundShare = math.Sqrt(math.Pi / roundSides / math.Tan(math.Pi/roundSides))

// enclose builds the polytope and its cells. Its frame: the move at the tightest
// hole and the rotation, scaled so that each reaches r of that hole.
func (s *roundSeat) enclose() {
	k := 0
	for i := range s.r {
		if s.r[i] < s.r[k] {
			k = i
		}
	}
	r, origin := s.r[k], s.holes[k]
	perMM := s.turn / r // radians per unit of the third coordinate
	p := cube(boxRoom * r)
	for _, side := range [2]float64{-1, 1} {
		p.cut(halfspace{r3.Vec{Z: side}, r})
	}
	for i, q := range s.holes {
		for m := range roundSides {
			e := geom.Polar(1, 2*math.Pi*(float64(m)+0.5)/roundSides)
			a := r3.Vec{X: e.X, Y: e.Y, Z: e.Dot(q.Sub(origin).Left()) * perMM}
			n := r3.Norm(a)
			p.cut(halfspace{r3.Scale(1/n, a), roundShare * s.r[i] / n})
		}
	}
	var corners []r3.Vec
	for _, c := range p.sorted(p.corners) {
		corners = append(corners, c.x)
		s.poses = append(s.poses, about(origin, geom.Vec{X: c.x.X, Y: c.x.Y}, c.x.Z*perMM))
	}
	s.cells = dissect(corners, flatShare*boxRoom*r)
}

// boxRoom keeps the starting box clear of the set, whose limits are cuts of
// their own.
const boxRoom = 1.01

// Place takes a place in the polytope and draws it in where it stands out of a disc,
// which moves one in a hundred by less than a hundredth of its radius.
func (s *roundSeat) Place(u [3]float64) Pose {
	if s.pivot >= 0 {
		return about(s.holes[s.pivot], geom.Vec{}, s.turn*(2*u[0]-1))
	}
	q := s.cells.place(s.poses, u)
	k := 1.0
	for i, p := range s.holes {
		if d := q.Motion(p); d.X*d.X+d.Y*d.Y > s.r[i]*s.r[i] {
			k = math.Min(k, s.r[i]/d.Norm())
		}
	}
	return Pose{k * q.DU, k * q.DV, k * q.Theta}
}
