package seat

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// Nest is a board lying in a window. Both outlines are convex polygons in the
// board frame, counter-clockwise, the board where it was drawn. Corner reliefs
// of the window do not locate and are left out; rounded corners are given as
// polygons.
type Nest struct {
	Window, Board []geom.Vec
	// Push lists the walls that the board is pushed square against, at its
	// middle and without friction. The board comes to rest where it can follow
	// the push no further; what freedom is left there is the float. A straight
	// side against a parallel wall loses its move across and its rotation, the
	// start end against its stop the move along.
	Push []Wall
}

// Wall is the index of a window edge: wall i runs from Window[i] to
// Window[i+1], the last one back to Window[0].
type Wall int

// WallToward returns the wall that faces most nearly in the direction dir, the
// longest one of several alike.
func (n Nest) WallToward(dir geom.Vec) Wall {
	best, bestDot, bestLen := Wall(-1), math.Inf(-1), 0.0
	d := dir.Unit()
	for i := range n.Window {
		e := n.wall(Wall(i))
		dot, l := outward(e).Dot(d), e.Norm()
		if dot > bestDot+alike || dot > bestDot-alike && l > bestLen {
			best, bestDot, bestLen = Wall(i), dot, l
		}
	}
	return best
}

// alike is the difference of cosines below which two walls face the same way:
// rounding of unit vectors, with a decade to spare.
const alike = 1e-12

// wall returns the wall as a vector from its first to its last point.
func (n Nest) wall(w Wall) geom.Vec { return n.Window[(int(w)+1)%len(n.Window)].Sub(n.Window[w]) }

// outward returns the unit normal to the right of e, which points out of a
// counter-clockwise outline.
func outward(e geom.Vec) geom.Vec { return e.Unit().Left().Scale(-1) }

// nestSeat holds the vertices of the pose set, less the place of rest.
type nestSeat struct {
	poses []Pose
	cells cells
}

// Seat returns the support, exact for the linearised pose: the pose set is a
// polytope, and a move is largest at one of its vertices. It returns an error for an
// outline that is not convex and counter-clockwise, and when the board does not go in.
func (n Nest) Seat() (Seat, error) {
	if !convex(n.Window) || !convex(n.Board) {
		return nil, fmt.Errorf("window and board are not both convex and counter-clockwise")
	}
	f := n.frame()
	p := f.poses(n, 0)
	if len(p.corners) == 0 {
		p = f.poses(n, goesInMM)
	}
	if len(p.corners) == 0 {
		return nil, fmt.Errorf("the board does not go into the window; every wall must move out by %.3g mm", f.shortfall(n))
	}
	corners := p.sorted(p.corners)
	if len(n.Push) > 0 {
		corners = n.pushed(corners, flatShare*f.reach)
	}
	return f.seat(corners, len(n.Push) > 0), nil
}

// goesInMM is by how much a board may be too large and still go in: a nanometre,
// so that a window drawn to size does not fail by rounding.
const goesInMM = 1e-6

// Place chooses a simplex by its volume and a pose in it.
func (s *nestSeat) Place(u [3]float64) Pose { return s.cells.place(s.poses, u) }

func (s *nestSeat) Turn() float64 {
	var t float64
	for _, q := range s.poses {
		t = math.Max(t, math.Abs(q.Theta))
	}
	return t
}

func (s *nestSeat) Reach(at, dir geom.Vec) float64 {
	r := math.Inf(-1)
	for _, q := range s.poses {
		if d := q.Motion(at).Dot(dir); d > r {
			r = d
		}
	}
	return r
}

// pushed returns the corners of the face that unit loads on the pushed walls end up on.
func (n Nest) pushed(corners []corner, eps float64) []corner {
	var load geom.Vec
	for _, w := range n.Push {
		load = load.Add(outward(n.wall(w)))
	}
	return best(corners, load, eps)
}

// rest makes the mean of the poses the one that moves are measured from.
func (s *nestSeat) rest() {
	mean := s.mean()
	for i, q := range s.poses {
		s.poses[i] = Pose{q.DU - mean.DU, q.DV - mean.DV, q.Theta - mean.Theta}
	}
}

func (s *nestSeat) mean() (mean Pose) {
	k := 1 / float64(len(s.poses))
	for _, q := range s.poses {
		mean.DU += k * q.DU
		mean.DV += k * q.DV
		mean.Theta += k * q.Theta
	}
	return mean
}

// flatEps bounds, relative to the product of two neighbouring edges, how far a
// corner may turn inward before the outline is called concave: a straight
// corner of computed points turns by rounding only.
const flatEps = 1e-9

// convex reports whether pts is a convex counter-clockwise outline without repeated
// corners.
func convex(pts []geom.Vec) bool {
	var area float64
	for i, a := range pts {
		b, c := pts[(i+1)%len(pts)], pts[(i+2)%len(pts)]
		in, out := b.Sub(a), c.Sub(b)
		if in.Norm() == 0 || in.Cross(out) < -flatEps*in.Norm()*out.Norm() {
			return false
		}
		area += a.Sub(pts[0]).Cross(in)
	}
	return area > 0 && finite(pts...)
}
