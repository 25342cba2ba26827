package seat

import (
	"math"
	"slices"

	"reseat/jig/geom"
)

// roundSides is how many tangents stand for each hole's disc in the polytope
// round the pose set. Sixteen enclose 1.3 % more than the disc, so that about
// one place in thirty is refused; more make the polytope slower to build.
const roundSides = 16

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
		p.cut(halfspace{[3]float64{0, 0, side}, r})
	}
	for i, q := range s.holes {
		for m := range roundSides {
			e := geom.Polar(1, 2*math.Pi*(float64(m)+0.5)/roundSides)
			a := [3]float64{e.X, e.Y, e.Dot(q.Sub(origin).Left()) * perMM}
			n := norm3(a)
			p.cut(halfspace{scale3(a, 1/n), s.r[i] / n})
		}
	}
	var corners [][3]float64
	for _, c := range p.corners {
		theta := c.x[2] * perMM
		corners = append(corners, c.x)
		s.poses = append(s.poses, Pose{c.x[0] + theta*origin.Y, c.x[1] - theta*origin.X, theta})
	}
	s.cells = dissect(corners, pushEps*boxRoom*r)
	for i, q := range s.holes {
		if slices.ContainsFunc(s.poses, func(c Pose) bool { return c.Motion(q).Norm() > s.r[i] }) {
			s.check = append(s.check, i)
		}
	}
}

// boxRoom keeps the starting box clear of the set, whose limits are cuts of
// their own.
const boxRoom = 1.01

// mostTries ends the search for a pose in the set; at one refusal in three it is
// reached once in 10^15 places.
const mostTries = 32

// Place takes a place in the polytope and, while a hole refuses it, another one
// that follows from u alone. If all are refused, the last is drawn in until the
// holes allow it.
func (s *roundSeat) Place(u [3]float64) Pose {
	if s.pivot >= 0 {
		p, theta := s.holes[s.pivot], s.turn*(2*unit(u[0])-1)
		return Pose{theta * p.Y, -theta * p.X, theta}
	}
	s.once.Do(s.enclose)
	var q Pose
	for range mostTries {
		q = s.cells.place(s.poses, u)
		if s.allows(q) {
			return q
		}
		u = scatter(u)
	}
	k := 1.0
	for i, p := range s.holes {
		k = math.Min(k, s.r[i]/q.Motion(p).Norm())
	}
	return Pose{k * q.DU, k * q.DV, k * q.Theta}
}

func (s *roundSeat) allows(q Pose) bool {
	for _, i := range s.check {
		if d := q.Motion(s.holes[i]); d.X*d.X+d.Y*d.Y > s.r[i]*s.r[i] {
			return false
		}
	}
	return true
}

// scatter returns a point of the unit cube that has nothing visible to do with u.
//
// Reference: the mixing step of SplitMix64, Steele, Lea and Flood, Fast splittable
// pseudorandom number generators, 2014 (constants recalled, not seen).
func scatter(u [3]float64) (v [3]float64) {
	var state uint64
	for i, x := range u {
		state = mix(state + math.Float64bits(unit(x)) + uint64(i))
	}
	for i := range v {
		state += 0x9e3779b97f4a7c15
		v[i] = float64(mix(state)>>11) / (1 << 53)
	}
	return v
}

func mix(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}
