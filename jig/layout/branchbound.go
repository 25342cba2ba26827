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

// searchGap is how much below the best pair found a pair may lie that was
// not looked at: a small part of the 2 % that the search may lose; the rest is
// spent on longer baselines and tidier places (pairEqual).
const searchGap = 0.0004

// block is a box of places, halved when the search asks for it.
type block struct {
	places []place
	box    geom.Box
	middle geom.Vec
	half   geom.Vec // half its sides
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
	b.half = b.box.Size().Scale(0.5)
	b.radius = b.half.Norm()
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

// bound looks for the best pair of the places under root.
type bound struct {
	*search
	root   *block
	aim    *objective // its error is made small
	within *objective // nil, or one whose error must stay at or below limit
	limit  float64
	gap    float64 // share of the error that a pair which was not looked at may be better by
}

// bound returns the search for the pair of places that errs least at the features.
func (s *search) bound(places []place) *bound {
	return &bound{search: s, root: newBlock(slices.Clone(places)), aim: &s.features, gap: searchGap}
}

// least returns the best pair, round hole first, and its error, of those that are better than
// the pair start with the error best; start when none is.
func (b *bound) least(start *[2]place, best float64) (*[2]place, float64) {
	type blocks struct {
		p, q  *block
		floor float64
	}
	// Of two places or blocks either may have the round hole.
	try := func(round, slot place) {
		if !b.slotFits(slot) || b.within != nil && b.within.error(round.at, slot.at) > b.limit {
			return
		}
		if e := b.aim.error(round.at, slot.at); e < best-sameError {
			best, start = e, &[2]place{round, slot}
		}
	}
	floor := func(round, slot *block) float64 {
		if slot.most < b.half-roundingMM || b.within != nil && b.within.floor(round, slot) > b.limit {
			return math.Inf(1)
		}
		return b.aim.floor(round, slot)
	}
	var open func(p, q *block)
	open = func(p, q *block) {
		var room [3]blocks
		next := room[:0]
		add := func(p, q *block) {
			if p == q && len(p.places) == 1 || p.middle.Dist(q.middle)+p.radius+q.radius < b.apart+b.half-roundingMM {
				return
			}
			if p != q && b.isPlaceable(p.rep, q.rep) {
				try(p.rep, q.rep)
				try(q.rep, p.rep)
			}
			if len(p.places) > 1 || len(q.places) > 1 {
				next = append(next, blocks{p, q, min(floor(p, q), floor(q, p))})
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
			if n.floor < best*(1-b.gap) {
				open(n.p, n.q)
			}
		}
	}
	if len(b.root.places) > 1 {
		open(b.root, b.root)
	}
	return start, best
}
