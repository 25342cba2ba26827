package register

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
	if !finitePoints(features) {
		return Float{}, errFeature
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
func (n Nest) Seat() (Seat, error) { return n.seat() }

// nestSeat holds the vertices of the pose set, less the resting pose.
type nestSeat struct {
	poses []Pose
	rest  Pose
}

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
	s := &nestSeat{}
	for _, c := range corners {
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

// settle makes the mean of the poses the resting pose.
func (s *nestSeat) settle() {
	k := 1 / float64(len(s.poses))
	for _, q := range s.poses {
		s.rest.DU += k * q.DU
		s.rest.DV += k * q.DV
		s.rest.Theta += k * q.Theta
	}
	for i := range s.poses {
		q := &s.poses[i]
		*q = Pose{q.DU - s.rest.DU, q.DV - s.rest.DV, q.Theta - s.rest.Theta}
	}
}

// nestFrame is the frame that the polytope is built in: origin at the board's
// middle, the rotation scaled by the board's length so that all three
// coordinates are millimetres.
type nestFrame struct {
	middle geom.Vec
	length float64 // largest extent of the board, mm
	reach  float64 // beyond any pose that can be, mm

	normals []geom.Vec // of the window's walls, outward
}

// frame chooses the reach so that the starting box never limits a pose: a
// corner of the board in the window moves by less than the diagonal of both
// together, the middle likewise, and the rotation times the length by less than
// twice that.
func (n Nest) frame() nestFrame {
	board, all := geom.EmptyBox(), geom.EmptyBox()
	for _, p := range n.Board {
		board, all = board.Include(p), all.Include(p)
	}
	for _, p := range n.Window {
		all = all.Include(p)
	}
	size := board.Size()
	f := nestFrame{middle: board.Center(), length: math.Max(size.X, size.Y), reach: 4 * all.Size().Norm()}
	for i, w := range n.Window {
		f.normals = append(f.normals, outward(n.Window[(i+1)%len(n.Window)].Sub(w)))
	}
	return f
}

// poses returns the polytope of the poses that leave every board corner inside
// every wall, the walls moved outward by grow. Only the walls that cut something
// off are ever looked at twice: each vertex is checked once, and while a wall
// still cuts one off, the one that cuts deepest is taken.
func (f nestFrame) poses(n Nest, grow float64) polytope {
	p := cube(f.reach + grow)
	taken := map[[2]int]bool{}
	for i := 0; i < len(p.corners); {
		c := &p.corners[i]
		if c.ok {
			i++
			continue
		}
		h, id, excess := f.deepest(n, grow, c.x)
		if excess <= p.eps || taken[id] { // a wall cuts once; what is left beyond it is rounding
			c.ok = true
			continue
		}
		taken[id] = true
		p.cut(h)
		i = 0
	}
	return p
}

// deepest returns, of all board corners at all walls, the half-space that x
// lies farthest beyond.
//
//	n.d + theta (p x n) <= c + grow - n.p
//
// For one wall the deepest corner is the one farthest along m = n - theta left(n).
// Walls and corners both run counter-clockwise, so one walk round each is enough.
func (f nestFrame) deepest(n Nest, grow float64, x [3]float64) (h halfspace, id [2]int, excess float64) {
	theta := x[2] / f.length
	excess = math.Inf(-1)
	k := -1
	for i, w := range n.Window {
		normal := f.normals[i]
		m := normal.Sub(normal.Left().Scale(theta))
		if k < 0 {
			k = 0
			for j := range n.Board {
				if n.Board[j].Dot(m) > n.Board[k].Dot(m) {
					k = j
				}
			}
		}
		far := n.Board[k].Dot(m)
		for range n.Board {
			next := k + 1
			if next == len(n.Board) {
				next = 0
			}
			d := n.Board[next].Dot(m)
			if d < far {
				break
			}
			k, far = next, d
		}
		p := n.Board[k]
		g := halfspace{
			a: [3]float64{normal.X, normal.Y, p.Sub(f.middle).Cross(normal) / f.length},
			b: normal.Dot(w.Sub(p)) + grow,
		}
		if e := g.excess(x); e > excess {
			h, id, excess = g, [2]int{i, k}, e
		}
	}
	return h, id, excess
}

// shortfall returns by how much every wall must move outward before the board
// goes in, to shortfallTolMM.
func (f nestFrame) shortfall(n Nest) float64 {
	lo, hi := 0.0, f.reach
	for hi-lo > shortfallTolMM {
		mid := (lo + hi) / 2
		if p := f.poses(n, mid); len(p.corners) == 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

// shortfallTolMM is the tolerance of the shortfall: a tenth of the last digit
// that WindowError prints.
const shortfallTolMM = 1e-5

// load returns the sum of unit loads along the pushed walls' normals. It acts at
// the board's middle, so its work is load . (du, dv) there.
func (n Nest) load() geom.Vec {
	var sum geom.Vec
	for _, w := range n.Push {
		sum = sum.Add(outward(n.Window[(int(w)+1)%len(n.Window)].Sub(n.Window[w])))
	}
	return sum
}

// pushEps, times the reach, is how much work two vertices may differ by and
// still lie on the same face: ten times planeEps, since each vertex may be off
// its planes by that much.
const pushEps = 10 * planeEps

// pushed returns the corners of the face that the load ends up on.
func pushed(corners []corner, load geom.Vec, eps float64) []corner {
	best := math.Inf(-1)
	for _, c := range corners {
		best = math.Max(best, load.X*c.x[0]+load.Y*c.x[1])
	}
	var out []corner
	for _, c := range corners {
		if load.X*c.x[0]+load.Y*c.x[1] >= best-eps {
			out = append(out, c)
		}
	}
	return out
}
