package seat

import "reseat/jig/geom"

// Pose is a small move of a board from the place where it was drawn: DU and DV
// in millimetres, Theta in radians.
type Pose struct{ DU, DV, Theta float64 }

// Motion returns how far the pose carries the point p.
//
//	(u, v) -> (du - theta v, dv + theta u)
func (q Pose) Motion(p geom.Vec) geom.Vec {
	return geom.Vec{X: q.DU - float64(q.Theta*p.Y), Y: q.DV + float64(q.Theta*p.X)}
}

// about returns the pose that turns by theta and carries the point p by move.
func about(p, move geom.Vec, theta float64) Pose {
	return Pose{move.X + float64(theta*p.Y), move.Y - float64(theta*p.X), theta}
}

// Seat is a support whose poses form a convex set. PinPair.Seat, RoundSet.Seat and
// Nest.Seat make one.
type Seat interface {
	// Reach returns the largest move of the point at along the unit vector dir,
	// from the place of rest. It is a support function: convex in dir.
	Reach(at, dir geom.Vec) float64
	// Turn returns the largest rotation each way, in radians.
	Turn() float64
	// Place carries the unit cube onto the pose set, measured from the place of
	// rest: uniform u gives poses uniform over the set (by volume in du, dv and
	// theta; over its face, edge or point where the set is flat). It allocates
	// nothing and may be called from several goroutines at once.
	Place(u [3]float64) Pose
}
