package layout

import (
	"container/heap"
	"math"

	"reseat/jig/geom"
)

// The pair of locating pins is searched by branch and bound over boxes of spots.
// Two boxes stand for every pair with one pin in each; a lower bound on the
// error of all of them tells whether the pair of boxes can hold a better one.
// The least bound is opened first, the larger box is halved, and the search ends
// when no bound is below the best pair found by more than searchGap. The answer is
// therefore never worse than the best pair of the whole grid by more than that.
//
// With z = (f - a)/(b - a) as complex numbers, the error of a feature f for pins
// at a and b is
//
//	e(z) = hypot(max(1, |2 Re z - 1|), 1 + 2 |Im z|)
//
// times the error at a pin (see PairError). It is bounded from below in three
// ways, for a within rA of A, b within rB of B, all of them L apart at most:
//
//   - z moves by at most (rA |f-B| + rB |f-A|) / (d (d - rA - rB)), d = |B - A|,
//     and e falls by no more than that allows;
//   - two features D apart have z that lie D/L apart, and e <= E leaves a set of
//     diameter sqrt(E^2 - 1): so e >= sqrt(1 + (D/L)^2) for one of them;
//   - |2z - 1|^2 = 2 |z|^2 + 2 |z-1|^2 - 1 (parallelogram law), so a feature at
//     least hA from box A and hB from box B has e^2 >= 2 (hA^2 + hB^2)/L^2.

const (
	// searchGap is how much below the best pair found a pair may lie that was
	// not looked at: a small part of the 2 % that the search may lose; the rest is
	// spent on longer baselines and tidier places (pairEqual).
	searchGap = 0.0004
	// mostOpened bounds the work. No job of the tests comes near it.
	mostOpened = 60000
)

// block is a box of spots, halved when the search asks for it.
type block struct {
	spots  []spot
	box    geom.Box
	middle geom.Vec
	radius float64
	most   float64 // the largest slack
	rep    spot    // a good one among them
	kids   [2]*block
}

func newBlock(spots []spot) *block {
	b := &block{spots: spots, box: geom.EmptyBox(), most: math.Inf(-1)}
	for _, s := range spots {
		b.box = b.box.Include(s.at)
		b.most = math.Max(b.most, s.slack)
	}
	b.middle = b.box.Center()
	b.radius = b.box.Size().Norm() / 2
	least := math.Inf(1)
	for _, s := range spots {
		// The middle stands for the box best, room to spare permitting.
		if d := s.at.Dist(b.middle) - math.Min(s.slack, enoughSlackMM); d < least {
			least, b.rep = d, s
		}
	}
	return b
}

// halve splits the block across its longer side. It must hold more than one spot.
func (b *block) halve() [2]*block {
	if b.kids[0] != nil {
		return b.kids
	}
	size := b.box.Size()
	low := func(s spot) bool { return s.at.X < b.middle.X }
	if size.Y > size.X {
		low = func(s spot) bool { return s.at.Y < b.middle.Y }
	}
	n := 0
	for i, s := range b.spots {
		if low(s) {
			b.spots[i], b.spots[n] = b.spots[n], b.spots[i]
			n++
		}
	}
	b.kids = [2]*block{newBlock(b.spots[:n]), newBlock(b.spots[n:])}
	return b.kids
}

// gauge measures a pair against a list of features, for an error of 1 at a pin.
type gauge struct {
	at       []geom.Vec
	diameter float64 // largest distance between two of them
}

// newGauge keeps the corners of the features' convex hull: the error is a convex
// function of the feature's place, so the worst is always at one of them.
func newGauge(features []geom.Vec) gauge {
	g := gauge{at: hull(features)}
	for i, f := range g.at {
		for _, o := range g.at[:i] {
			g.diameter = math.Max(g.diameter, f.Dist(o))
		}
	}
	return g
}

func (g gauge) error(a, b geom.Vec) float64 { return PairError(a, b, 1, g.at) }

// floor is a lower bound on the error of every pair with a pin in each block.
func (g gauge) floor(p, q *block) float64 {
	d := q.middle.Sub(p.middle)
	l2 := d.Dot(d)
	l := math.Sqrt(l2)
	near, far := l-p.radius-q.radius, l+p.radius+q.radius
	if far == 0 {
		return math.Inf(1)
	}
	least2 := math.Max(2, 1+g.diameter*g.diameter/(far*far))
	for _, f := range g.at {
		wp, wq := f.Sub(p.middle), f.Sub(q.middle)
		np, nq := wp.Norm(), wq.Norm()
		hp, hq := math.Max(0, np-p.radius), math.Max(0, nq-q.radius)
		least2 = math.Max(least2, 2*(hp*hp+hq*hq)/(far*far))
		if near <= 0 {
			continue
		}
		off := (p.radius*nq + q.radius*np) / (l * near)
		s, n := wp.Dot(d)/l2, math.Abs(wp.Cross(d))/l2
		across := math.Max(1, math.Abs(2*s-1)-2*off)
		along := 1 + 2*math.Max(0, n-off)
		least2 = math.Max(least2, across*across+along*along)
	}
	return math.Sqrt(least2)
}

// blockPair is two blocks that are still to be looked at.
type blockPair struct {
	p, q  *block
	floor float64
	order int // of making; keeps equal floors in a fixed order
}

type blockHeap []blockPair

func (h blockHeap) Len() int { return len(h) }
func (h blockHeap) Less(i, k int) bool {
	if h[i].floor != h[k].floor {
		return h[i].floor < h[k].floor
	}
	return h[i].order > h[k].order // the younger is the smaller and nearer to an answer
}
func (h blockHeap) Swap(i, k int) { h[i], h[k] = h[k], h[i] }
func (h *blockHeap) Push(x any)   { *h = append(*h, x.(blockPair)) }
func (h *blockHeap) Pop() any {
	old := *h
	last := old[len(old)-1]
	*h = old[:len(old)-1]
	return last
}

// pairSearch looks for the best pair of the spots.
type pairSearch struct {
	root   *block
	least  float64 // distance between the two
	travel float64 // half the slot's travel: one of the two needs that much slack
	aim    gauge   // the error that is made small
	within *gauge  // nil, or an error that must stay at or below limit
	limit  float64
	opened int // blocks looked at, for tests
}

// legal reports whether a slot and a round hole can stand there.
func (s *pairSearch) legal(a, b spot) bool {
	return a.at.Dist(b.at) >= s.least && math.Max(a.slack, b.slack) >= s.travel &&
		(s.within == nil || s.within.error(a.at, b.at) <= s.limit)
}

// run returns the best pair and its error, starting from one that is known
// already (nil: none); nil when there is none.
func (s *pairSearch) run(known *[2]spot) (*[2]spot, float64) {
	best := math.Inf(1)
	if known != nil {
		best = s.aim.error(known[0].at, known[1].at)
	}
	if s.root == nil {
		return known, best
	}
	var todo blockHeap
	made := 0
	add := func(p, q *block) {
		if p == q && len(p.spots) == 1 || math.Max(p.most, q.most) < s.travel ||
			p.middle.Dist(q.middle)+p.radius+q.radius < s.least {
			return
		}
		floor := s.aim.floor(p, q)
		if floor >= best*(1-searchGap) || s.within != nil && s.within.floor(p, q) > s.limit {
			return
		}
		if p != q && s.legal(p.rep, q.rep) {
			if e := s.aim.error(p.rep.at, q.rep.at); e < best {
				best, known = e, &[2]spot{p.rep, q.rep}
			}
		}
		if len(p.spots) > 1 || len(q.spots) > 1 {
			made++
			heap.Push(&todo, blockPair{p, q, floor, made})
		}
	}
	add(s.root, s.root)
	for len(todo) > 0 && s.opened < mostOpened {
		t := heap.Pop(&todo).(blockPair)
		if t.floor >= best*(1-searchGap) {
			break
		}
		s.opened++
		switch {
		case t.p == t.q:
			k := t.p.halve()
			add(k[0], k[1])
			add(k[0], k[0])
			add(k[1], k[1])
		case t.p.radius >= t.q.radius:
			for _, k := range t.p.halve() {
				add(k, t.q)
			}
		default:
			for _, k := range t.q.halve() {
				add(t.p, k)
			}
		}
	}
	return known, best
}
