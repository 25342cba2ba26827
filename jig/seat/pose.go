package seat

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// Pose is a small move of a board from the place where it was drawn: DU and DV
// in millimetres, Theta in radians.
type Pose struct{ DU, DV, Theta float64 }

// Motion returns how far the pose carries the point p.
//
//	(u, v) -> (du - theta v, dv + theta u)
//
// The rotation is linearised. At the 1e-3 rad that a seat allows, the neglected
// term is theta^2/2 of the distance from the origin: 0.3 micrometres at 600 mm.
func (q Pose) Motion(p geom.Vec) geom.Vec {
	return geom.Vec{X: q.DU - q.Theta*p.Y, Y: q.DV + q.Theta*p.X}
}

// Motion is the largest move of one feature over every pose that a seat allows,
// each way, in millimetres, measured from the seat's resting pose. Along is the
// largest |move| along u, Across along v, Worst in any direction.
type Motion struct{ Along, Across, Worst float64 }

// Float is how far a seated board can still move.
type Float struct {
	ThetaMax float64  // largest rotation each way, radians
	Rest     Pose     // the pose that the moves are measured from; zero unless the board is pushed
	At       []Motion // one per feature, in the caller's order
}

// Seat is a checked support whose poses form a convex set. PinPair.Seat,
// RoundSet.Seat and Nest.Seat make one; the methods cannot fail.
type Seat interface {
	// Reach returns the largest move of the point at along the unit vector dir,
	// from the resting pose. It is a support function: convex in dir.
	Reach(at, dir geom.Vec) float64
	// Turn returns the largest rotation each way, in radians.
	Turn() float64
	// Rest returns the resting pose.
	Rest() Pose
	// Place carries the unit cube onto the pose set, measured from the resting
	// pose: uniform u gives poses uniform over the set (by volume in du, dv and
	// theta; over its face, edge or point where the set is flat). Components
	// outside 0..1 are clamped. It allocates nothing and may be called from
	// several goroutines at once.
	Place(u [3]float64) Pose
}

// largestMM bounds every length that the package accepts: a hundred metres.
// No board is near it, and squares of it stay far from overflow.
const largestMM = 1e5

// finite reports whether every x is a number of a size that can be a length in
// millimetres.
func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.Abs(x) > largestMM {
			return false
		}
	}
	return true
}

// checkPoints returns an *InputError for the first point with a coordinate that
// is not a length.
func checkPoints(what string, pts []geom.Vec) error {
	for i, p := range pts {
		for _, x := range [2]float64{p.X, p.Y} {
			if !finite(x) {
				return &InputError{fmt.Sprintf("%s %d (mm)", what, i), x, "finite coordinates below 100 m"}
			}
		}
	}
	return nil
}
