package layout

import (
	"cmp"
	"math"
	"slices"

	"reseat/jig/geom"
)

// The two locating pins are chosen so that the worst error at any feature is
// smallest. With an error of r across at either pin (half the clearance plus the
// position error of the holes), a feature at s along the line between the pins
// and n beside it moves by at most
//
//	across = |1 - s/L| r + |s/L| r
//	along  = r + 2 r |n| / L
//	error  = hypot(along, across)
//
// Derived from the pose of a plate on a round and a slotted hole, small angles (jig/seat).
// Between the pins the error across does not depend on the baseline L; beside and beyond
// them a longer one helps. Features near one another would let a short pair win, so among
// nearly equal pairs the one with the smallest error at the board's ends is taken: the
// longest useful baseline.

const (
	// pairEqual is how much worse than the best at the features a pair may be to
	// win by a longer baseline, by being roomier or tidier. With searchGap it stays
	// inside the 2 % that the search as a whole may lose against an exhaustive one.
	pairEqual = 0.0195
	// sameError is the difference between two errors that may be rounding.
	sameError = 1e-9
	// endsEqual is the like for the error at the board's ends.
	endsEqual = 0.01
)

// pairError returns the largest error at any of the features for locating pins at a
// and b that are off by r.
func pairError(a, b geom.Vec, r float64, features []geom.Vec) float64 {
	d := b.Sub(a)
	l := d.Norm()
	t := d.Scale(1 / l)
	worst := 0.0
	for _, f := range features {
		w := f.Sub(a)
		s, n := w.Dot(t)/l, math.Abs(w.Cross(t))
		across := (math.Abs(1-s) + math.Abs(s)) * r
		along := r + 2*r*n/l
		worst = max(worst, across*across+along*along)
	}
	return math.Sqrt(worst)
}

// objective is the points whose largest error is made small.
type objective struct {
	at       []geom.Vec
	diameter float64 // largest distance between two of them
}

// newObjective keeps the corners of the points' convex hull: the error is a convex
// function of the place, so the worst is always at one of them.
func newObjective(points []geom.Vec) objective {
	o := objective{at: hull(points)}
	for i, f := range o.at {
		for _, g := range o.at[:i] {
			o.diameter = max(o.diameter, f.Dist(g))
		}
	}
	return o
}

// error is the largest error for an error of 1 at a pin.
func (o objective) error(a, b geom.Vec) float64 { return pairError(a, b, 1, o.at) }

// pair is a choice of the two locating pins; round stands nearer the start end.
type pair struct {
	round, slot place
	err         float64 // at the features, for an error of 1 at a pin
	ends        float64 // the like at the board's ends
}

// legal reports whether a round hole and a slot have room at a and b.
func (s *search) legal(a, b place) bool {
	return a.at.Dist(b.at) >= s.apart+s.half-roundingMM && max(a.clearance, b.clearance) >= s.half-roundingMM
}

// measure judges a pair. The round hole is the one nearer the start end, unless
// only that one has the room that a slot takes.
func (s *search) measure(a, b place) pair {
	if turned(a, b) {
		a, b = b, a
	}
	if b.clearance < s.half-roundingMM {
		a, b = b, a
	}
	b.clearance -= s.half
	return pair{a, b, s.features.error(a.at, b.at), s.ends.error(a.at, b.at)}
}

// turned reports whether b is nearer the start end.
func turned(a, b place) bool { return a.at.X > b.at.X || a.at.X == b.at.X && a.at.Y > b.at.Y }

// tidier prefers the round hole nearer the start end, more clearance, nearer the datum
// line, a longer baseline. Exact ties keep the earlier, so the order is fixed.
func (p pair) tidier(q pair) bool {
	if pt, qt := turned(p.round, p.slot), turned(q.round, q.slot); pt != qt {
		return qt
	}
	pc := min(enoughMM, p.round.clearance, p.slot.clearance)
	qc := min(enoughMM, q.round.clearance, q.slot.clearance)
	if math.Abs(pc-qc) > sameMM {
		return pc > qc
	}
	pv := math.Abs(p.round.at.Y) + math.Abs(p.slot.at.Y)
	qv := math.Abs(q.round.at.Y) + math.Abs(q.slot.at.Y)
	if math.Abs(pv-qv) > sameMM {
		return pv < qv
	}
	return p.round.at.Dist(p.slot.at) > q.round.at.Dist(q.slot.at)+sameMM
}

// sortPairs puts the least error first, in steps of searchGap, then the least at
// the ends; equals keep their order.
func sortPairs(all []pair) {
	class := func(p pair) float64 { return math.Round(p.err / searchGap) }
	slices.SortStableFunc(all, func(p, q pair) int {
		return cmp.Or(cmp.Compare(class(p), class(q)),
			cmp.Compare(math.Round(p.ends/sameError), math.Round(q.ends/sameError)))
	})
}

// bestPair returns the best pair of the given places, or false when no two can locate:
// the least error at the features by branch and bound, then among those that come within
// pairEqual of it the least error at the board's ends, and from there to the tidiest
// place near by.
func (s *search) bestPair(places []place) (pair, bool) {
	if len(places) < 2 {
		return pair{}, false
	}
	b := bound{search: s, root: newBlock(slices.Clone(places)), aim: s.features}
	p, least := b.least(nil)
	if p == nil {
		return pair{}, false
	}
	limit := least * (1 + pairEqual)
	b.aim, b.within, b.limit = s.ends, &s.features, limit
	q, ends := b.least(p)
	best := s.measure(q[0], q[1])
	step := s.Region.StepMM
	shift(step, freeMoves, func(da, db geom.Vec) bool {
		a, okA := find(places, best.round.at.Add(da), step)
		b, okB := find(places, best.slot.at.Add(db), step)
		if !okA || !okB || !s.legal(a, b) {
			return false
		}
		r := s.measure(a, b)
		if r.err > limit || r.ends > ends*(1+endsEqual) || !r.tidier(best) {
			return false
		}
		best = r
		return true
	})
	return best, true
}

// strides is how many steps of the grid a pin is moved at a time, longest first, and
// mostRounds how often all of them are tried; two or three rounds are usual.
var strides = []float64{32, 16, 8, 4, 2, 1}

const mostRounds = 20

// shift moves two pins about, one or both at a time, by ever shorter strides and as long
// as take accepts a move.
func shift(step float64, moves func(d float64) [][2]geom.Vec, take func(da, db geom.Vec) bool) {
	for range mostRounds {
		moved := false
		for _, k := range strides {
			for again := true; again; {
				again = false
				for _, m := range moves(k * step) {
					if take(m[0], m[1]) {
						again, moved = true, true
					}
				}
			}
		}
		if !moved {
			return
		}
	}
}

// freeMoves are the moves of two pins that do not depend on one another.
func freeMoves(d float64) [][2]geom.Vec {
	dirs := []geom.Vec{{}, {X: d}, {X: -d}, {Y: d}, {Y: -d}}
	var out [][2]geom.Vec
	for _, p := range dirs {
		for _, q := range dirs {
			out = append(out, [2]geom.Vec{p, q})
		}
	}
	return out
}
