package assembly

import (
	"math"

	"reseat/jig/geom"
)

// facet is the linear bound that the unit normal n gives at one joint:
//
//	d - c/2 >= n.e + row.x - support(n) - c/2
type facet struct {
	joint   int
	row     move    // n, and n.arm for the rotation
	support float64 // largest n.x over the track
}

func (p *plate) facet(joint int, n geom.Vec) facet {
	k := &p.seats[joint]
	return facet{joint, k.row(n), k.support(n)}
}

// along returns n.e of the facet's normal.
func (f *facet) along(e geom.Vec) float64 { return f.row.u*e.X + f.row.v*e.Y }

// basis is four facets whose rows balance: w >= 0, sum w = 1, sum w row = 0.
type basis struct {
	f    [4]facet
	w    [4]float64
	inv  [3]move // columns of the inverse of the rows less the last one
	rest float64 // what rounding leaves of the balance
	ok   bool    // the rows span the space
}

// invert sets inverse, weights and rest. With D_j = row_j - row_4,
//
//	sum_j<4 w_j D_j = -row_4
func (b *basis) invert() {
	r := b.f[3].row
	d0, d1, d2 := b.f[0].row.sub(r), b.f[1].row.sub(r), b.f[2].row.sub(r)
	c0 := d1.cross(d2)
	det := d0.dot(c0)
	b.ok = math.Abs(det) > leastVolume
	if !b.ok {
		return
	}
	k := 1 / det
	b.inv = [3]move{c0.scale(k), d2.cross(d0).scale(k), d0.cross(d1).scale(k)}
	b.w[0], b.w[1], b.w[2] = -r.dot(b.inv[0]), -r.dot(b.inv[1]), -r.dot(b.inv[2])
	b.w[3] = 1 - b.w[0] - b.w[1] - b.w[2]
	sum := 0.0
	for j, w := range b.w {
		b.w[j] = max(0, w) // a pivot keeps them so; rounding may not
		sum += b.w[j]
	}
	var rest move
	for j := range b.w {
		b.w[j] /= sum
		rest = rest.plus(b.w[j], b.f[j].row)
	}
	b.rest = math.Abs(rest.u) + math.Abs(rest.v) + math.Abs(rest.turn)
}

// leastVolume is the determinant of four rows (of size 1) at which they count as
// lying in a plane. It only keeps the inverse finite: nearly equal normals of one
// joint, which an exchange ends with, give a small volume that is right all the
// same, and where it is not, rest says so.
const leastVolume = 1e-30

// enter puts f in the place of the facet that lets the weights stay positive.
func (b *basis) enter(f facet) bool {
	d := f.row.sub(b.f[3].row)
	y := [4]float64{d.dot(b.inv[0]), d.dot(b.inv[1]), d.dot(b.inv[2]), 0}
	y[3] = 1 - y[0] - y[1] - y[2]
	leave, least := -1, math.Inf(1)
	for j, y := range y {
		if y > leastShare && b.w[j] < least*y {
			leave, least = j, b.w[j]/y
		}
	}
	if leave < 0 {
		return false
	}
	b.f[leave] = f
	return true
}

// leastShare is the share of a facet in a row below which it is rounding: at
// zero, the facet must not leave.
const leastShare = 1e-12

// SolveTolerance is the width in millimetres at which the bracket round s* counts
// as closed: a millionth of a micrometre. Rounding may leave a wider one where
// errors are far beyond any fit (three of 100 000 random patterns, up to 2e-8 mm,
// all with half a millimetre of error); Simulate reports the widest.
const SolveTolerance = 1e-9

// exchangeLimit ends an exchange that rounding keeps from closing its gap; the
// bounds hold all the same.
const exchangeLimit = 100

// solution is a bracket of s*: low <= s* <= high, high reached at x.
type solution struct {
	low, high float64
	x         move
	binding   uint16 // a bit for each joint that holds s* up
	rounds    int
}

// solve finds s* for pins off their holes by e, with radial clearances r (c/2).
//
// First a pose set by the tightest joints is tried: no pose does better than
// -r for any joint, so when the tightest one decides, all is done. Otherwise
// facets are exchanged one by one as in the simplex method, the entering one
// being the tangent at the worst joint of the pose where the four meet.
func (p *plate) solve(e *[mostJoints]geom.Vec, r *[mostJoints]float64) solution {
	n := len(p.seats)
	floor := -r[0]
	for i := 1; i < n; i++ {
		floor = max(floor, -r[i])
	}
	s := solution{low: floor, x: p.first(e)}
	s.high, _, _, _ = p.worst(e, r, s.x)
	if s.high-s.low <= SolveTolerance {
		s.binding = p.tightest(r, floor)
		return s
	}
	// No move larger than reach is worth considering: it would be worse at a or b.
	ra, rb := s.high+r[p.a]+p.seats[p.a].half, s.high+r[p.b]+p.seats[p.b].half
	reach := 2 * (ra + rb + e[p.a].Norm() + e[p.b].Norm())

	b := p.start
	for ; s.rounds < exchangeLimit && b.ok; s.rounds++ {
		var g [4]float64
		bound := -b.rest * reach
		for j := range b.f {
			f := &b.f[j]
			g[j] = f.along(e[f.joint]) - f.support - r[f.joint]
			bound += b.w[j] * g[j]
		}
		var x move
		for j := range b.inv {
			x = x.plus(g[3]-g[j], b.inv[j])
		}
		if bound > s.low {
			s.low, s.binding = bound, b.binding()
		}
		high, joint, v, d := p.worst(e, r, x)
		if high < s.high {
			s.high, s.x = high, x
		}
		if s.high-s.low <= SolveTolerance || d == 0 {
			break
		}
		if !b.enter(p.facet(joint, v.Scale(1/d))) {
			break
		}
		b.invert()
	}
	s.low = min(s.low, s.high)
	if s.low == floor {
		s.binding = p.tightest(r, floor)
	}
	return s
}

// binding returns the joints that carry weight.
func (b *basis) binding() (bits uint16) {
	for j := range b.f {
		if b.w[j] > leastWeight {
			bits |= 1 << b.f[j].joint
		}
	}
	return bits
}

// leastWeight is the weight at which a joint counts as binding: below it, a
// micrometre more at that joint changes s* by less than SolveTolerance.
const leastWeight = 1e-6

// tightest returns the joints whose own clearance sets the floor.
func (p *plate) tightest(r *[mostJoints]float64, floor float64) (bits uint16) {
	for i := range p.seats {
		if -r[i] >= floor-SolveTolerance {
			bits |= 1 << i
		}
	}
	return bits
}

// worst returns the largest shortage at the move x, its joint, and that pin's
// offset from its track as a vector and a length.
func (p *plate) worst(e *[mostJoints]geom.Vec, r *[mostJoints]float64, x move) (high float64, joint int, v geom.Vec, d float64) {
	high = math.Inf(-1)
	for i := range p.seats {
		k := &p.seats[i]
		o := k.off(geom.Vec{X: e[i].X + x.u + x.turn*k.arm.X, Y: e[i].Y + x.v + x.turn*k.arm.Y})
		l := math.Sqrt(o.X*o.X + o.Y*o.Y)
		if h := l - r[i]; h > high {
			high, joint, v, d = h, i, o, l
		}
	}
	return high, joint, v, d
}
