package seat

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"reseat/jig/geom"
)

// frame is the frame that a polytope of poses is built in: origin at the board's
// middle, the rotation scaled by the board's length so that all three
// coordinates are millimetres.
type frame struct {
	middle geom.Vec
	length float64 // largest extent of the board, mm
	reach  float64 // beyond any pose that can be, mm
}

// frameOf chooses the reach so that the starting box never limits a pose: a
// corner of the board in the window moves by less than the diagonal of both
// together, the middle likewise, and the rotation times the length by less than
// twice that.
func frameOf(board, window []geom.Vec) frame {
	box, all := geom.EmptyBox(), geom.EmptyBox()
	for _, p := range board {
		box, all = box.Include(p), all.Include(p)
	}
	for _, p := range window {
		all = all.Include(p)
	}
	size := box.Size()
	return frame{middle: box.Center(), length: math.Max(size.X, size.Y), reach: 4 * all.Size().Norm()}
}

// pose is the pose at a place of the polytope.
func (f frame) pose(x r3.Vec) Pose { return about(f.middle, geom.Vec{X: x.X, Y: x.Y}, x.Z/f.length) }

// halfspace is the limit of a place on the outline with a normal.
func (f frame) halfspace(p, n geom.Vec, gap float64) halfspace {
	return halfspace{a: r3.Vec{X: n.X, Y: n.Y, Z: p.Sub(f.middle).Cross(n) / f.length}, b: gap}
}

// seat is the seat of a board whose poses have the given extreme ones; pushed, its moves are
// measured from their mean.
func (f frame) seat(extreme []corner, pushed bool) *nestSeat {
	s := &nestSeat{}
	var corners []r3.Vec
	for _, c := range extreme {
		corners = append(corners, c.x)
		s.poses = append(s.poses, f.pose(c.x))
	}
	if pushed {
		s.rest()
	}
	s.cells = dissect(corners, flatShare*f.reach)
	return s
}

// flatShare, times the size of a pose set's starting box, is how much work two
// vertices may differ by and still lie on the same face: ten times planeEps, since
// each vertex may be off its planes by that much.
const flatShare = 10 * planeEps

// best returns the corners of the face that a load ends up on, which acts at the board's
// middle.
func best(corners []corner, load geom.Vec, eps float64) (out []corner) {
	work := func(c corner) float64 { return float64(load.X*c.x.X) + float64(load.Y*c.x.Y) }
	most := math.Inf(-1)
	for _, c := range corners {
		most = math.Max(most, work(c))
	}
	for _, c := range corners {
		if work(c) >= most-eps {
			out = append(out, c)
		}
	}
	return out
}

// bound cuts p by limits until none of its corners lies more than tol beyond one. deepest
// tells the limit that a place lies farthest beyond, by how much, and which one it is: a
// limit with an id of its own cuts once, one whose second number is negative is of a
// continuous family.
//
// Only the limits that cut something off are ever looked at twice: each corner is checked
// once, and while a limit still cuts one off, the one that cuts deepest is taken.
func (p *polytope) bound(tol float64, deepest func(x r3.Vec) (h halfspace, id [2]int, excess float64)) {
	taken := map[[2]int]bool{}
	for i := 0; i < len(p.corners); {
		c := &p.corners[i]
		if c.ok {
			i++
			continue
		}
		h, id, excess := deepest(c.x)
		if excess <= tol || taken[id] { // what is left beyond a limit that has cut is rounding
			c.ok = true
			continue
		}
		taken[id] = id[1] >= 0
		p.cut(h)
		i = 0
	}
}
