package layout

import (
	"cmp"
	"math"
	"slices"

	"reseat/jig/geom"
)

const (
	// lineCost is what share of the error the locating pins may cost to stand on the datum
	// line, where a hand marks and finds them most easily. Common practice, no source.
	lineCost = 0.01
	// pairEqual is how much worse than the best at the features a pair may be to
	// win by a longer baseline, by being roomier or tidier. With lineCost and searchGap it
	// stays inside the 2 % that the search as a whole may lose against an exhaustive one.
	pairEqual = 0.009
	// sameError is the difference between two errors that may be rounding, mm.
	sameError = 1e-9
	// endsEqual is the like of pairEqual for the error at the board's ends.
	endsEqual = 0.01
)

// pair is a choice of the two locating pins.
type pair struct {
	round, slot place
	err         float64 // at the features, mm
	ends        float64 // the like at the board's ends
}

// isPlaceable reports whether a round hole and a slot have room at a and b.
func (s *search) isPlaceable(a, b place) bool {
	return a.at.Dist(b.at) >= s.apart+s.half-roundingMM && (s.slotFits(a) || s.slotFits(b))
}

func (s *search) slotFits(a place) bool { return a.clearance >= s.half-roundingMM }

// measure judges a pair: the round hole where less errs, nearer the start end when both
// ways are alike, and not where only a round hole has room for the slot.
func (s *search) measure(a, b place) pair {
	if turned(a, b) {
		a, b = b, a
	}
	p, q := s.as(a, b), s.as(b, a)
	if s.slotFits(a) && (!s.slotFits(b) || q.err < p.err-sameError) {
		return q
	}
	return p
}

// as judges a round hole and a slot.
func (s *search) as(round, slot place) pair {
	p := pair{round, slot, s.features.error(round.at, slot.at), s.ends.error(round.at, slot.at)}
	p.slot.clearance -= s.half
	return p
}

// onLine reports whether both stand on the datum line.
func (p pair) onLine() bool { return math.Abs(p.round.at.Y)+math.Abs(p.slot.at.Y) < roundingMM }

// turned reports whether b is nearer the start end.
func turned(a, b place) bool { return a.at.X > b.at.X || a.at.X == b.at.X && a.at.Y > b.at.Y }

// isPreferredTo decides between pairs that are equally good: the round hole nearer the start end, more
// clearance, nearer the datum line, a longer baseline. Exact ties keep the earlier, so the order is fixed.
func (p pair) isPreferredTo(q pair) bool {
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
	class := func(p pair) float64 { return math.Round(math.Log(p.err) / searchGap) }
	slices.SortStableFunc(all, func(p, q pair) int {
		return cmp.Or(cmp.Compare(class(p), class(q)),
			cmp.Compare(math.Round(p.ends/sameError), math.Round(q.ends/sameError)))
	})
}

// bestPair returns the best pair of the given places, or false when no two can locate: on the
// datum line where that costs less than lineCost.
func (s *search) bestPair(places []place) (pair, bool) {
	var line []place
	for _, p := range places {
		if math.Abs(p.at.Y) < roundingMM {
			line = append(line, p)
		}
	}
	onLine := s.bound(line)
	p, least := onLine.least(nil, math.Inf(1))
	all := s.bound(places)
	if q, e := all.least(nil, least/(1+lineCost)); q != nil {
		best := s.breakTies(all, places, q, e*(1+pairEqual))
		if least > best.err*(1+lineCost) {
			return best, true
		}
		return s.breakTies(onLine, line, p, max(least, e*(1+lineCost+pairEqual))), true
	}
	if p == nil {
		return pair{}, false
	}
	return s.breakTies(onLine, line, p, least*(1+pairEqual)), true
}

// breakTies returns, of the pairs whose error at the features is at most limit, the one with the
// least at the board's ends, and from there the tidiest near by. places are those of b in
// their order.
func (s *search) breakTies(b *bound, places []place, p *[2]place, limit float64) pair {
	b.aim, b.within, b.limit = &s.ends, &s.features, limit
	q, ends := b.least(p, s.as(p[0], p[1]).ends)
	best := s.as(q[0], q[1])
	take := func(a, b place) bool {
		if !s.isPlaceable(a, b) || !s.slotFits(b) {
			return false
		}
		r := s.as(a, b)
		if r.err > limit || r.ends > ends*(1+endsEqual) || !r.isPreferredTo(best) {
			return false
		}
		best = r
		return true
	}
	take(q[1], q[0])
	step := s.Region.StepMM
	shift(step, freeMoves, func(da, db geom.Vec) bool {
		a, okA := find(places, best.round.at.Add(da), step)
		b, okB := find(places, best.slot.at.Add(db), step)
		return okA && okB && take(a, b)
	})
	return best
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
	dirs := [...]geom.Vec{{}, {X: d}, {X: -d}, {Y: d}, {Y: -d}}
	out := make([][2]geom.Vec, 0, len(dirs)*len(dirs))
	for _, p := range dirs {
		for _, q := range dirs {
			out = append(out, [2]geom.Vec{p, q})
		}
	}
	return out
}
