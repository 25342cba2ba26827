package seat

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"reseat/jig/geom"
)

// Contour is a board of any outline, concave too, lying in a window that is its outline moved
// outward: every point p of the outline, with outward normal n, keeps within the gap of its
// edge to the wall opposite.
//
//	n.(d + theta left(p)) <= gap
//
// At a corner that stands out both walls hold it, as with a mitred window. On a line the ends
// decide, on an arc about C the direction of d + theta left(C), or an end.
//
// That is first-order contact. What it leaves out, against the true window: the rotation's
// second order, theta^2 r/2 with r the distance from the board's middle, and s^2/(2 rho)
// where a corner slides by s along a wall of radius rho. At usual clearances, 0.1 mm on
// boards from 60 mm on, both are under 1 % of the gap; where the first may exceed
// hardlyHeldShare of it, the board counts as not held.
type Contour struct {
	Outline geom.Loop // counter-clockwise, simple
	// Gaps are those of the outline's edges, mm, zero or more; one alone goes for all; +Inf
	// where no wall stands, as at a relief.
	Gaps []float64
	// Push is the load that the board is pushed with at the middle of its bounds, such as (-1, 1)
	// against the start end and the left; zero leaves it free.
	Push geom.Vec
}

// ContourTolerance is the largest relative excess of a Contour's moves over those of
// first-order contact, before rounding, where the outline has arcs or many edges; never
// under the truth.
const ContourTolerance = 1e-3

// exactEdges is up to how many straight edges a pose set is made exact, as a Nest's is:
// of more, most only follow a curve.
const exactEdges = 32

// flatArcMM is how high an arc stands over its chord that counts as straight: below every gap, and its
// centre is so far off that rounding would move its walls as much.
const flatArcMM = 1e-6

// hardlyHeldShare is the share of the least gap that the rotation's second order may come to
// before first-order contact says too little: practice here is far below, a board as round
// as that far above.
const hardlyHeldShare = 0.25

// Unheld is the error of a board that nothing holds: it turns about a place, or slides.
type Unheld struct {
	Turns bool
	About geom.Vec // Turns: the place, board frame
	Along geom.Vec // otherwise: the direction, a unit vector
}

func (e Unheld) Error() string {
	if e.Turns {
		tenth := func(mm float64) float64 { return math.Round(mm*10)/10 + 0 } // no -0
		return fmt.Sprintf("nothing holds the board from turning in its window, about u %.1f, v %.1f", tenth(e.About.X),
			tenth(e.About.Y))
	}
	return fmt.Sprintf("nothing holds the board from sliding out of its window, towards (%.2f, %.2f)", e.Along.X, e.Along.Y)
}

// side is one edge of a Contour, prepared. A line's normal is n, and at is where it starts;
// an arc lies about at, its normals are away from it (out 1) or towards it (-1).
type side struct {
	gap, moment float64 // moment of the normal, or of what an arc's centre moves by, at x.Z = 1
	n, at       geom.Vec
	radius, out float64 // radius 0: a line
	mid         geom.Vec
	cosHalf     float64     // of half the sweep
	end         [2]geom.Vec // an arc's normals at its ends
	edge        geom.Edge
	length      float64 // of a line
}

// contourFrame is a Contour prepared: what a query needs is one walk over the sides.
type contourFrame struct {
	frame
	sides []side
	least float64 // gap, mm
	tol   float64 // how far beyond a wall a pose may be, mm
}

func (c Contour) frame() (f contourFrame, err error) {
	n := len(c.Outline)
	if n < 2 || !finite(c.Outline.Corners()...) || !(c.Outline.Area() > 0) {
		return f, fmt.Errorf("the outline is not a counter-clockwise contour")
	}
	if len(c.Gaps) != 1 && len(c.Gaps) != n {
		return f, fmt.Errorf("%d gaps are given for %d edges", len(c.Gaps), n)
	}
	box := c.Outline.Bounds()
	f = contourFrame{frame: frameOf([]geom.Vec{box.Min, box.Max}, nil), least: math.Inf(1)}
	exact := n <= exactEdges
	for i := range c.Outline {
		g, e := c.Gaps[i%len(c.Gaps)], c.Outline.Edge(i).Straightened(flatArcMM)
		switch {
		case !(g >= 0):
			return f, fmt.Errorf("edge %d of the outline has a gap of %g mm; want zero or more", i, g)
		case math.IsInf(g, 1) || e.P == e.Q:
			continue
		}
		exact = exact && !e.IsArc()
		s := f.side(e)
		s.gap = math.Max(g, goesInMM)
		f.least = math.Min(f.least, s.gap)
		f.sides = append(f.sides, s)
	}
	if len(f.sides) == 0 {
		return f, Unheld{Along: geom.Vec{X: 1}}
	}
	f.tol = planeEps * f.reach
	if !exact {
		f.tol = math.Max(ContourTolerance*f.least, flatShare*f.reach)
	}
	return f, nil
}

func (f contourFrame) side(e geom.Edge) side {
	s := side{edge: e, at: e.P, n: outward(e.Q.Sub(e.P))}
	if e.IsArc() {
		a := e.Arc()
		s.at, s.radius, s.out = a.C, a.R, math.Copysign(1, e.Bulge)
		s.mid = geom.Polar(s.out, a.Start+a.Sweep/2)
		s.cosHalf = math.Cos(a.Sweep / 2)
		s.end = [2]geom.Vec{geom.Polar(s.out, a.Start), geom.Polar(s.out, a.Start+a.Sweep)}
		return s
	}
	s.length = e.Length()
	s.moment = e.P.Sub(f.middle).Cross(s.n) / f.length
	return s
}

// deepest returns the wall, at the place of it, that a pose lies farthest beyond; of several
// alike the first, so that a symmetrical outline does not hang on the last digits.
func (f contourFrame) deepest(x r3.Vec) (h halfspace, id [2]int, excess float64) {
	excess = math.Inf(-1)
	tie := flatShare * f.reach
	d, theta := geom.Vec{X: x.X, Y: x.Y}, x.Z/f.length
	for i := range f.sides {
		s := &f.sides[i]
		if s.radius == 0 {
			// The turn moves the end by theta times the length less than the start.
			e, end := s.n.Dot(d)+float64(s.moment*x.Z)-s.gap, 0
			if x.Z < -tie {
				e, end = e-float64(theta*s.length), 1
			}
			if e > excess+tie {
				excess, id = e, [2]int{i, end}
			}
			continue
		}
		m := d.Add(s.at.Sub(f.middle).Left().Scale(theta))
		most, end := m.Norm(), -1
		if m.Dot(s.mid) < most*s.cosHalf {
			most, end = m.Dot(s.end[0]), 0
			if other := m.Dot(s.end[1]); other > most+tie {
				most, end = other, 1
			}
		}
		if most-s.gap > excess+tie {
			excess, id = most-s.gap, [2]int{i, end}
		}
	}
	p, n := f.place(x, id)
	return f.halfspace(p, n, f.sides[id[0]].gap), id, excess
}

// place is where on the outline a limit that deepest names holds a pose, and its normal.
func (f contourFrame) place(x r3.Vec, id [2]int) (p, n geom.Vec) {
	s := f.sides[id[0]]
	p, n = s.edge.P, s.n
	if id[1] == 1 {
		p = s.edge.Q
	}
	if s.radius > 0 {
		if id[1] >= 0 {
			n = s.end[id[1]]
		} else {
			d, theta := geom.Vec{X: x.X, Y: x.Y}, x.Z/f.length
			n = d.Add(s.at.Sub(f.middle).Left().Scale(theta)).Unit()
			p = s.at.Add(n.Scale(s.out * s.radius))
		}
	}
	return p, n
}

// poses returns the polytope round the pose set. The error is Unheld or of a wrong outline.
func (c Contour) poses() (contourFrame, polytope, error) {
	f, err := c.frame()
	if err != nil {
		return f, polytope{}, err
	}
	p := cube(f.reach)
	p.bound(f.tol, f.deepest)
	return f, p, f.unheld(p)
}

// unheld returns the error of poses that only the starting box ends, or that turn so far that
// first-order contact says little.
func (f contourFrame) unheld(p polytope) error {
	const shifts, turns = 1<<4 - 1, 3 << 4 // planes of the starting box
	far := p.corners[0]
	for _, c := range p.corners {
		if c.on[0]&shifts != 0 {
			return Unheld{Along: geom.Vec{X: c.x.X, Y: c.x.Y}.Unit()}
		}
		if math.Abs(c.x.Z) > math.Abs(far.x.Z) {
			far = c
		}
	}
	q := f.pose(far.x)
	r := f.reach / 8 // of the board's farthest place from its middle
	if far.on[0]&turns == 0 && q.Theta*q.Theta*r/2 <= hardlyHeldShare*f.least {
		return nil
	}
	return Unheld{Turns: true, About: geom.Vec{X: -q.DV, Y: q.DU}.Scale(1 / q.Theta)}
}

// Seat returns the support. Moves are those of first-order contact, exact for few straight
// sides and else to ContourTolerance above; of a pushed board what friction leaves on round
// walls (Home.FrictionMove). The error is of an outline that is none, or Unheld.
func (c Contour) Seat() (Seat, error) {
	f, p, err := c.poses()
	if err != nil {
		return nil, err
	}
	if c.Push == (geom.Vec{}) {
		return f.seat(p.sorted(p.corners), false), nil
	}
	face, x := f.home(&p, c.Push)
	if _, slack := f.carry(f.touching(x), c.Push); slack != (r3.Vec{}) {
		face = []corner{{x: r3.Sub(x, slack)}, {x: r3.Add(x, slack)}}
	}
	return f.seat(face, true), nil
}

// restTolMM is how far beyond a wall the place of rest may lie: on a wall round with a gap of
// 0.1 mm it is then found to sqrt(2 gap restTolMM), 0.05 micrometres. Rounding is below it.
const restTolMM = 1e-8

// restCuts ends the search for a face with a round rim, whose corners would never end.
const restCuts = 200

// home returns the corners of the face that the push ends up on, and their mean, and makes p
// exact there.
func (f contourFrame) home(p *polytope, push geom.Vec) (face []corner, rest r3.Vec) {
	flat := flatShare * f.reach
	for range restCuts {
		face = p.sorted(best(p.corners, push, flat))
		wall, most := halfspace{}, 0.0
		for _, c := range face {
			if h, _, excess := f.deepest(c.x); excess > most+flat {
				wall, most = h, excess
			}
		}
		if most <= math.Max(restTolMM, flat) {
			break
		}
		p.cut(wall)
	}
	for _, c := range face {
		rest = r3.Add(rest, r3.Scale(1/float64(len(face)), c.x))
	}
	return face, rest
}
