package layout

import (
	"math"

	"reseat/jig/geom"
)

// Errors is how the errors of two plates add up at the pins between them.
type Errors struct {
	PositionMM  float64 // of both holes together, each way
	GrowthPerMM float64 // of both plates, per mm of distance
}

// leastTravelMM keeps a slot long enough to see that it is one. Practice.
const leastTravelMM = 1.0

// TravelMM is the free travel that a slot at distance l from the round hole
// needs, in half millimetres, never under 1 mm.
//
//	travel = 2 (l growth + position)
func (e Errors) TravelMM(l float64) float64 {
	return math.Max(leastTravelMM, math.Ceil(2*(l*e.GrowthPerMM+e.PositionMM)*2)/2)
}

// AllowanceMM is how much wider than the pin a clear hole must be so that it never
// binds: its own position error, the pose error of the plate at that place from the
// errors of the two locating pins, and the growth from the round pin.
//
//	H - F = 2 (position + pose + growth)
//
// Reference: fixed-fastener formula H - F = T1 + T2 (the zones T are diameters;
// testdata/reference/position_cases.csv), with the pose error of a plate on two
// pins (pairError) added since the plate is not free to find its best place.
func (e Errors) AllowanceMM(at, round, slot geom.Vec) float64 {
	pose := pairError(round, slot, e.PositionMM, []geom.Vec{at})
	return 2 * (e.PositionMM + pose + e.GrowthPerMM*at.Dist(round))
}

// pairError returns the largest error at any of the features for locating pins at a
// and b that are off by r across, in the worst case. A feature at s along the line between
// the pins and n beside it moves by at most
//
//	across = |1 - s/L| r + |s/L| r
//	along  = r + 2 r |n| / L
//	error  = hypot(along, across)
//
// Derived from the pose of a plate on a round and a slotted hole, small angles (jig/seat).
func pairError(a, b geom.Vec, r float64, features []geom.Vec) float64 {
	d := b.Sub(a)
	l := d.Norm()
	t := d.Scale(1 / l)
	worst := 0.0
	for _, f := range features {
		w := f.Sub(a)
		s, n := w.Dot(t)/l, math.Abs(w.Cross(t))
		across := (math.Abs(1-s) + math.Abs(s)) * r
		along := r + 2*r*n/l
		worst = max(worst, across*across+along*along)
	}
	return math.Sqrt(worst)
}

// LargestMM is the allowance of the clear pin that needs it most; all get the same, so
// that one drill makes their holes.
func (e Errors) LargestMM(pins []Pin) float64 {
	most := 0.0
	for _, q := range pins {
		if q.Role == Clear {
			most = math.Max(most, e.AllowanceMM(q.At, pins[0].At, pins[1].At))
		}
	}
	return most
}

// BoundMM bounds the allowance before the pins have places: every pin beside or between
// the locating ones of a plate l long and w wide.
//
// Between the pins the pose error is at most hypot(1, 1 + 2 n/l) of the position
// error, n being the distance beside the line.
func (e Errors) BoundMM(l, w float64) float64 {
	pose := e.PositionMM * math.Hypot(1, 1+w/l)
	return 2 * (e.PositionMM + pose + e.GrowthPerMM*l)
}
