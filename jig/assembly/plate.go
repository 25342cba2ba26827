package assembly

import (
	"math"
	"slices"

	"reseat/jig/geom"
)

// move is a small pose of the plate in the solver's own unknowns: the shift of
// the middle between the two farthest joints, and the rotation times half their
// distance, so that all three are millimetres of one kind. The solver moves the
// pins, against the plate's pose.
type move struct{ u, v, turn float64 }

func (x move) dot(y move) float64 { return x.u*y.u + x.v*y.v + x.turn*y.turn }
func (x move) sub(y move) move    { return move{x.u - y.u, x.v - y.v, x.turn - y.turn} }
func (x move) cross(y move) move {
	return move{x.v*y.turn - x.turn*y.v, x.turn*y.u - x.u*y.turn, x.u*y.v - x.v*y.u}
}

func (x move) plus(k float64, y move) move {
	return move{x.u + k*y.u, x.v + k*y.v, x.turn + k*y.turn}
}
func (x move) scale(k float64) move { return move{k * x.u, k * x.v, k * x.turn} }

// seat is one joint as the solver sees it.
type seat struct {
	arm  geom.Vec // where a unit of rotation carries its pin
	dir  geom.Vec // unit direction of the slot
	half float64  // half the slot's travel, mm
}

// row returns the move's part in n.q: n.q = n.e + row.x.
func (k *seat) row(n geom.Vec) move { return move{n.X, n.Y, n.Dot(k.arm)} }

// off returns the vector from the nearest point of the track to the pin at q.
func (k *seat) off(q geom.Vec) geom.Vec {
	if k.half == 0 {
		return q
	}
	s := max(-k.half, min(k.half, q.Dot(k.dir)))
	return q.Sub(k.dir.Scale(s))
}

// support returns the largest n.x over the track.
func (k *seat) support(n geom.Vec) float64 {
	if k.half == 0 {
		return 0
	}
	return math.Abs(n.Dot(k.dir)) * k.half
}

// plate is a pattern of joints made ready for many solutions.
type plate struct {
	seats    []seat
	origin   geom.Vec // middle between the two farthest joints
	span     float64  // half their distance, mm
	a, b     int      // those two
	pair     bool     // a round hole and a slot along their line
	round    int
	slot     int
	start    basis   // balanced facets of those two
	guess    [3]pick // equations of the first pose
	guessInv [3]move // columns of the inverse of their rows
}

// pick is one equation of the first pose: the pin's offset along n vanishes.
type pick struct {
	joint int
	n     geom.Vec
}

// newPlate takes checked joints.
func newPlate(joints []Joint) *plate {
	a, b := farthest(joints)
	p := &plate{
		seats:  make([]seat, len(joints)),
		origin: joints[a].At.Lerp(joints[b].At, 0.5),
		span:   joints[a].At.Dist(joints[b].At) / 2,
		a:      a, b: b,
	}
	for i, j := range joints {
		p.seats[i] = seat{
			arm:  j.At.Sub(p.origin).Scale(1 / p.span).Left(),
			dir:  geom.Polar(1, j.AngleRad),
			half: j.TravelMM / 2,
		}
	}
	p.round, p.slot, p.pair = p.isPair()
	p.start = p.firstBasis()
	p.setGuess(joints)
	return p
}

// firstBasis balances the two farthest joints against each other: with e the
// direction from a to b and m across it, four normals, each with a quarter of
// the weight, cancel in force and in turning.
//
//	a: -e + m, -e - m    b: e + m, e - m    all over sqrt 2
func (p *plate) firstBasis() basis {
	e := p.seats[p.b].arm.Left().Scale(-1).Unit() // arm is the place turned left
	m := e.Left()
	var w basis
	for j, c := range [4]struct {
		joint int
		n     geom.Vec
	}{{p.a, m.Sub(e)}, {p.a, m.Add(e).Scale(-1)}, {p.b, e.Add(m)}, {p.b, e.Sub(m)}} {
		w.f[j] = p.facet(c.joint, c.n.Unit())
	}
	w.invert()
	return w
}

// setGuess picks three equations that place the plate by its tightest joints, as
// drawn: a round hole centres its pin both ways, a slot across only. Where the
// rest is roomy, as with a round hole, a slot and clear holes, the pose that
// they give is already the best one.
func (p *plate) setGuess(joints []Joint) {
	order := make([]int, len(joints))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch x, y := joints[a].ClearMM, joints[b].ClearMM; {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
	var picks []pick
	for _, i := range order {
		if k := p.seats[i]; k.half > 0 {
			picks = append(picks, pick{i, k.dir.Left()})
			continue
		}
		// Square to the line from the tightest joint first: that is what a turn
		// about it can mend.
		n := p.seats[i].arm.Sub(p.seats[order[0]].arm).Unit()
		if n == (geom.Vec{}) {
			n = geom.Vec{X: 1}
		}
		picks = append(picks, pick{i, n}, pick{i, n.Left()})
	}
	for _, i := range order { // only when slots alone leave the plate free
		if k := p.seats[i]; k.half > 0 {
			picks = append(picks, pick{i, k.dir})
		}
	}
	var rows [3]move
	var square [3]move // rows made square to one another
	n := 0
	for _, c := range picks {
		r := p.seats[c.joint].row(c.n)
		s := r
		for _, q := range square[:n] {
			s = s.sub(q.scale(q.dot(r)))
		}
		if l := math.Sqrt(s.dot(s)); l > leastIndependence {
			rows[n], square[n], p.guess[n] = r, s.scale(1/l), c
			if n++; n == 3 {
				break
			}
		}
	}
	d := rows[0].dot(rows[1].cross(rows[2]))
	p.guessInv = [3]move{
		rows[1].cross(rows[2]).scale(1 / d),
		rows[2].cross(rows[0]).scale(1 / d),
		rows[0].cross(rows[1]).scale(1 / d),
	}
}

// leastIndependence is the part of a unit equation that must not follow from
// those before it. The first pose is only a start, so any figure will do that
// keeps its equations well conditioned; two distinct places give at least 1.
const leastIndependence = 0.05

// first returns the pose of the picked equations for the pins' offsets e.
func (p *plate) first(e *[mostJoints]geom.Vec) (x move) {
	for k, c := range p.guess {
		x = x.plus(-c.n.Dot(e[c.joint]), p.guessInv[k])
	}
	return x
}
