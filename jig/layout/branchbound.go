package layout

import (
	"cmp"
	"math"
	"slices"

	"reseat/jig/geom"
)

// The pair of locating pins is searched by branch and bound over boxes of places.
// Two boxes stand for every pair with one pin in each; a lower bound on the
// error of all of them tells whether the pair of boxes can hold a better one.
// The larger box is halved, the half with the lesser bound is looked at first, and no
// pair of boxes is looked at whose bound is not below the best pair found by more than
// searchGap. The answer is therefore never worse than the best pair of the whole grid
// by more than that.
//
// With z = (f - a)/(b - a) as complex numbers, the error of a feature f for pins
// at a and b is
//
//	e(z) = hypot(max(1, |2 Re z - 1|), 1 + 2 |Im z|)
//
// times the error at a pin (see pairError). It is bounded from below in three
// ways, for a within rA of A, b within rB of B, all of them L apart at most:
//
//   - z moves by at most (rA |f-B| + rB |f-A|) / (d (d - rA - rB)), d = |B - A|,
//     and e falls by no more than that allows;
//   - two features D apart have z that lie D/L apart, and e <= E leaves a set of
//     diameter sqrt(E^2 - 1): so e >= sqrt(1 + (D/L)^2) for one of them;
//   - |2z - 1|^2 = 2 |z|^2 + 2 |z-1|^2 - 1 (parallelogram law), so a feature at
//     least hA from box A and hB from box B has e^2 >= 2 (hA^2 + hB^2)/L^2.

// searchGap is how much below the best pair found a pair may lie that was
// not looked at: a small part of the 2 % that the search may lose; the rest is
// spent on longer baselines and tidier places (pairEqual).
const searchGap = 0.0004

// block is a box of places, halved when the search asks for it.
type block struct {
	places []place
	box    geom.Box
	middle geom.Vec
	radius float64
	most   float64 // the largest clearance
	rep    place   // a good one among them
	kids   [2]*block
}

func newBlock(places []place) *block {
	b := &block{places: places, box: geom.EmptyBox(), most: math.Inf(-1)}
	for _, s := range places {
		b.box = b.box.Include(s.at)
		b.most = max(b.most, s.clearance)
	}
	b.middle = b.box.Center()
	b.radius = b.box.Size().Norm() / 2
	least := math.Inf(1)
	for _, s := range places {
		// The middle stands for the box best, room to spare permitting.
		w := s.at.Sub(b.middle)
		if d := math.Sqrt(w.Dot(w)) - min(s.clearance, enoughMM); d < least {
			least, b.rep = d, s
		}
	}
	return b
}

// halve splits the block across its longer side. It must hold more than one place.
func (b *block) halve() [2]*block {
	if b.kids[0] != nil {
		return b.kids
	}
	size := b.box.Size()
	low := func(s place) bool { return s.at.X < b.middle.X }
	if size.Y > size.X {
		low = func(s place) bool { return s.at.Y < b.middle.Y }
	}
	n := 0
	for i, s := range b.places {
		if low(s) {
			b.places[i], b.places[n] = b.places[n], b.places[i]
			n++
		}
	}
	b.kids = [2]*block{newBlock(b.places[:n]), newBlock(b.places[n:])}
	return b.kids
}

// floor is a lower bound on the error of every pair with a pin in each block.
func (o objective) floor(p, q *block) float64 {
	d := q.middle.Sub(p.middle)
	l2 := d.Dot(d)
	l := math.Sqrt(l2)
	near, far := l-p.radius-q.radius, l+p.radius+q.radius
	if far == 0 {
		return math.Inf(1)
	}
	least2 := max(2, 1+o.diameter*o.diameter/(far*far))
	for _, f := range o.at {
		wp, wq := f.Sub(p.middle), f.Sub(q.middle)
		np, nq := wp.Norm(), wq.Norm()
		hp, hq := max(0, np-p.radius), max(0, nq-q.radius)
		least2 = max(least2, 2*(hp*hp+hq*hq)/(far*far))
		if near <= 0 {
			continue
		}
		off := (p.radius*nq + q.radius*np) / (l * near)
		s, n := wp.Dot(d)/l2, math.Abs(wp.Cross(d))/l2
		across := max(1, math.Abs(2*s-1)-2*off)
		along := 1 + 2*max(0, n-off)
		least2 = max(least2, across*across+along*along)
	}
	return math.Sqrt(least2)
}

// bound looks for the best pair of the places under root.
type bound struct {
	*search
	root   *block
	aim    objective  // its error is made small
	within *objective // nil, or one whose error must stay at or below limit
	limit  float64
}

// least returns the best pair and its error, from the pair start on (nil: from none);
// nil when there is none.
func (b *bound) least(start *[2]place) (*[2]place, float64) {
	best := math.Inf(1)
	if start != nil {
		best = b.aim.error(start[0].at, start[1].at)
	}
	type blocks struct {
		p, q  *block
		floor float64
	}
	var open func(p, q *block)
	open = func(p, q *block) {
		var next []blocks
		add := func(p, q *block) {
			if p == q && len(p.places) == 1 || max(p.most, q.most) < b.half-roundingMM ||
				p.middle.Dist(q.middle)+p.radius+q.radius < b.apart+b.half-roundingMM ||
				b.within != nil && b.within.floor(p, q) > b.limit {
				return
			}
			if p != q && b.legal(p.rep, q.rep) && (b.within == nil || b.within.error(p.rep.at, q.rep.at) <= b.limit) {
				if e := b.aim.error(p.rep.at, q.rep.at); e < best-sameError {
					best, start = e, &[2]place{p.rep, q.rep}
				}
			}
			if len(p.places) > 1 || len(q.places) > 1 {
				next = append(next, blocks{p, q, b.aim.floor(p, q)})
			}
		}
		switch {
		case p == q:
			k := p.halve()
			add(k[0], k[1])
			add(k[0], k[0])
			add(k[1], k[1])
		case p.radius >= q.radius:
			for _, k := range p.halve() {
				add(k, q)
			}
		default:
			for _, k := range q.halve() {
				add(p, k)
			}
		}
		slices.SortStableFunc(next, func(a, b blocks) int {
			return cmp.Compare(math.Round(a.floor/sameError), math.Round(b.floor/sameError))
		})
		for _, n := range next {
			if n.floor < best*(1-searchGap) {
				open(n.p, n.q)
			}
		}
	}
	if len(b.root.places) > 1 {
		open(b.root, b.root)
	}
	return start, best
}
