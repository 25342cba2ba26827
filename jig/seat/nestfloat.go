package seat

import (
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
// longest one of several alike; -1 when the window has no edge or dir is zero.
func (n Nest) WallToward(dir geom.Vec) Wall {
	best, bestDot, bestLen := Wall(-1), math.Inf(-1), 0.0
	d := dir.Unit()
	if d == (geom.Vec{}) {
		return -1
	}
	for i, p := range n.Window {
		e := n.Window[(i+1)%len(n.Window)].Sub(p)
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

// outward returns the unit normal to the right of e, which points out of a
// counter-clockwise outline.
func outward(e geom.Vec) geom.Vec { return e.Unit().Left().Scale(-1) }

// Float returns the float of the board in its window at the given features. It
// is exact for the linearised pose: the pose set is a polytope, and a move is
// largest at one of its vertices. Errors: *InputError, *OutlineError,
// *WindowError when the board does not go in.
func (n Nest) Float(features []geom.Vec) (Float, error) {
	s, err := n.seat()
	if err != nil {
		return Float{}, err
	}
	if err := checkPoints("feature", features); err != nil {
		return Float{}, err
	}
	f := Float{ThetaMax: s.Turn(), Rest: s.rest, At: make([]Motion, len(features))}
	for i, at := range features {
		m := &f.At[i]
		for _, q := range s.poses {
			d := q.Motion(at)
			m.Along = math.Max(m.Along, math.Abs(d.X))
			m.Across = math.Max(m.Across, math.Abs(d.Y))
			m.Worst = math.Max(m.Worst, d.Norm())
		}
	}
	return f, nil
}

// Seat checks n and returns its support. Errors as for Float.
func (n Nest) Seat() (Seat, error) {
	s, err := n.seat()
	if err != nil {
		return nil, err
	}
	s.cells = dissect(s.corners, s.flat)
	return s, nil
}

// nestSeat holds the vertices of the pose set, less the resting pose.
type nestSeat struct {
	poses []Pose
	rest  Pose

	corners [][3]float64 // the same vertices in the polytope's frame, rest included, mm
	flat    float64      // thickness below which the set counts as flat, mm
	cells   cells        // made by Nest.Seat; a float alone does without
}

// Place chooses a simplex by its volume and a pose in it.
func (s *nestSeat) Place(u [3]float64) Pose { return s.cells.place(s.poses, u) }

func (s *nestSeat) Rest() Pose { return s.rest }

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

func (n Nest) seat() (*nestSeat, error) {
	if err := n.check(); err != nil {
		return nil, err
	}
	f := n.frame()
	p := f.poses(n, 0)
	if len(p.corners) == 0 {
		p = f.poses(n, goesInMM)
	}
	if len(p.corners) == 0 {
		return nil, &WindowError{f.shortfall(n)}
	}
	corners := p.corners
	if len(n.Push) > 0 {
		corners = pushed(corners, n.load(), pushEps*f.reach)
	}
	s := &nestSeat{flat: pushEps * f.reach}
	for _, c := range corners {
		s.corners = append(s.corners, c.x)
		theta := c.x[2] / f.length
		s.poses = append(s.poses, Pose{c.x[0] + theta*f.middle.Y, c.x[1] - theta*f.middle.X, theta})
	}
	if len(n.Push) > 0 {
		s.settle()
	}
	return s, nil
}

// goesInMM is by how much a board may be too large and still go in: a nanometre,
// so that a window drawn to size does not fail by rounding.
const goesInMM = 1e-6
