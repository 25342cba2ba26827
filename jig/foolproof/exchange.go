package foolproof

import (
	"math"

	"reseat/jig/geom"
)

// track is the line between a slot's end centres; a point for a round hole.
type track struct {
	c, dir geom.Vec // middle and unit direction
	half   float64  // half the travel, mm
}

// nearest returns the point of the track nearest to p.
func (k track) nearest(p geom.Vec) geom.Vec {
	if k.half == 0 {
		return k.c
	}
	s := p.Sub(k.c).Dot(k.dir)
	return k.c.Add(k.dir.Scale(math.Max(-k.half, math.Min(k.half, s))))
}

// support returns the largest n.x over the track.
func (k track) support(n geom.Vec) float64 { return n.Dot(k.c) + math.Abs(n.Dot(k.dir))*k.half }

// facet is the linear bound that the unit normal n gives for one pin: with the
// pin at q and the plate shifted by t,
//
//	distance to the track >= n.(q + t) - support(n)
type facet struct {
	n    geom.Vec
	pin  int
	base float64 // support(n) of the pin's track
}

// basis is three facets whose normals hold the origin in their triangle, with
// the weights that balance them: sum w = 1, sum w n = 0. For any shift the
// largest distance is then at least
//
//	sum w (n.q - support(n))
//
// and, with q = R(alpha) p, that is a sine wave in alpha that bounds the miss
// from below at every angle.
type basis struct {
	f     [3]facet
	w     [3]float64
	slack float64 // by which the bound is lowered for rounding, mm
}

// balance sets the weights and returns the doubled area of the triangle of
// normals, whose corners lie on the unit circle; it is zero only when two
// facets coincide. What rounding leaves of the balance times the largest shift
// worth considering is kept as a slack, so that the bounds hold for any triangle.
func (b *basis) balance(reach float64) (d float64) {
	n := [3]geom.Vec{b.f[0].n, b.f[1].n, b.f[2].n}
	b.w = [3]float64{unitCross(n[1], n[2]), unitCross(n[2], n[0]), unitCross(n[0], n[1])}
	d = b.w[0] + b.w[1] + b.w[2]
	var rest geom.Vec
	for i := range b.w {
		b.w[i] = math.Max(0, b.w[i]/d)
		rest = rest.Add(n[i].Scale(b.w[i]))
	}
	b.slack = rest.Norm() * reach
	return d
}

// unitCross returns a x b for unit vectors, without the cancellation that the
// plain form suffers when they are nearly parallel or nearly opposite.
func unitCross(a, b geom.Vec) float64 {
	if a.Dot(b) > 0 {
		return a.Cross(b.Sub(a))
	}
	return a.Cross(b.Add(a))
}

// pose returns the largest lower bound that the three facets give for pins at
// q, and the shift at which they meet.
func (b *basis) pose(q []geom.Vec, d float64) (bound float64, t geom.Vec) {
	var e [3]float64
	for i, f := range b.f {
		e[i] = f.n.Dot(q[f.pin]) - f.base
		bound += b.w[i] * e[i]
	}
	bound -= b.slack
	// Differences of bound = e_i + n_i.t leave two equations for t.
	a, c := b.f[0].n.Sub(b.f[2].n), b.f[1].n.Sub(b.f[2].n)
	ea, ec := e[2]-e[0], e[2]-e[1]
	return bound, geom.Vec{X: (ea*c.Y - ec*a.Y) / d, Y: (a.X*ec - c.X*ea) / d}
}

// enter puts f in the place of the facet that lets the weights stay positive.
func (b *basis) enter(f facet, d float64) {
	leave, least := -1, math.Inf(1)
	for i := range b.f {
		// The entering normal's share of corner i of the triangle.
		next, last := b.f[(i+1)%3].n.Sub(f.n), b.f[(i+2)%3].n.Sub(f.n)
		share := next.Cross(last) / d
		if share > leastShare && b.w[i] < least*share {
			leave, least = i, b.w[i]/share
		}
	}
	if leave >= 0 {
		b.f[leave] = f
	}
}

// leastShare is the share of a triangle's corner in a normal below which it is
// rounding: at zero, the corner must not leave.
const leastShare = 1e-12

// firstBasis returns three facets of the first pin, a third of a turn apart.
func firstBasis(tracks []track) basis {
	var b basis
	for i := range b.f {
		n := geom.Polar(1, 2*math.Pi/3*float64(i))
		b.f[i] = facet{n, 0, tracks[0].support(n)}
	}
	return b
}

// exchange finds the shift t for which the largest distance of the points q + t
// from their tracks is least. The problem is convex. Facets are exchanged one by
// one as in the simplex method, the entering one being the tangent at the
// farthest point, so no list of facets is kept (Remez exchange). It starts from
// the facets in b, which hold for every q, and leaves the final ones there.
//
// low <= least <= high; high is reached at t. The two differ by at most
// exchangeTol unless high fell below enough, which ends the search at once. No
// shift longer than reach may be worth considering.
func exchange(q []geom.Vec, tracks []track, b *basis, reach, enough float64) (low, high float64, t geom.Vec) {
	low, high = 0, math.Inf(1)
	best := *b
	for range exchangeLimit {
		d := b.balance(reach)
		if !(d > 0) {
			break
		}
		bound, shift := b.pose(q, d)
		if bound >= low {
			low, best = bound, *b
		}
		far, f := -1.0, facet{}
		for i, k := range tracks {
			p := q[i].Add(shift)
			v := p.Sub(k.nearest(p))
			if r := v.Dot(v); r > far {
				far, f = r, facet{v, i, 0}
			}
		}
		far = math.Sqrt(far)
		if far < high {
			high, t = far, shift
		}
		if high-low <= exchangeTol || high < enough || far == 0 {
			break
		}
		f.n = f.n.Scale(1 / far)
		f.base = tracks[f.pin].support(f.n)
		b.enter(f, d)
	}
	*b = best
	b.balance(reach)
	return math.Min(low, high), high, t
}

// exchangeTol is the gap in millimetres at which exchange stops: a tenth of
// MissTolerance, so that the search over angles keeps nearly all of it.
const exchangeTol = MissTolerance / 10

// exchangeLimit ends an exchange that rounding keeps from closing its gap. The
// bounds hold all the same. 90 000 random patterns took at most 25 rounds.
const exchangeLimit = 200
