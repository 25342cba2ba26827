package layout

import (
	"cmp"
	"math"
	"slices"
	"sort"

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
// Reference: the pose of a plate on a round and a slotted hole, small angles;
// derived in jig/seat. Between the pins the error across does not depend on
// the baseline L; beside and beyond them a longer one helps. Features near one
// another would let a short pair win, so among nearly equal pairs the one with the
// smallest error at the board's ends is taken: the longest useful baseline.

const (
	// pairEqual is how much worse than the best at the features a pair may be to
	// win by a longer baseline, by being roomier or tidier. With searchGap it stays
	// inside the 2 % that the search as a whole may lose against an exhaustive one.
	pairEqual = 0.0195
	// endsEqual is the like for the error at the board's ends.
	endsEqual = 0.01
	// enoughSlackMM is the room beyond the needed web that is still worth
	// having when positions are compared; more has no value to a maker.
	enoughSlackMM = 3.0
	// seedSpots bounds the first survey, which knows the tidy places: a few spots
	// of every so many columns.
	seedSpots = 60
)

// pair is a choice of the two locating pins; round stands nearer the start end.
type pair struct {
	round, slot spot
	err         float64 // objective, for an error of 1 at a pin
	ends        float64 // the like at the board's ends
}

// turned reports whether the slot is nearer the start end.
func (p pair) turned() bool {
	a, b := p.round.at, p.slot.at
	return a.X > b.X || a.X == b.X && a.Y > b.Y
}

// PairError is the objective above, the worst over the features.
func PairError(a, b geom.Vec, r float64, features []geom.Vec) float64 {
	d := b.Sub(a)
	l := d.Norm()
	t := d.Scale(1 / l)
	worst := 0.0
	for _, f := range features {
		w := f.Sub(a)
		s, n := w.Dot(t)/l, math.Abs(w.Cross(t))
		across := (math.Abs(1-s) + math.Abs(s)) * r
		along := r + 2*r*n/l
		worst = math.Max(worst, across*across+along*along)
	}
	return math.Sqrt(worst)
}

// finder chooses the pair among spots of the grid.
type finder struct {
	step     float64
	least    float64 // distance between the two pins
	travel   float64 // half the slot's travel
	features gauge
	ends     gauge
}

// legal reports whether a round hole and a slot have room at a and b.
func (f finder) legal(a, b spot) bool {
	return a.at.Dist(b.at) >= f.least && math.Max(a.slack, b.slack) >= f.travel
}

// measure judges a pair. The round hole is the one nearer the start end, unless
// only that one has the room that a slot takes.
func (f finder) measure(a, b spot) pair {
	if a.at.X > b.at.X || a.at.X == b.at.X && a.at.Y > b.at.Y {
		a, b = b, a
	}
	if b.slack < f.travel {
		a, b = b, a
	}
	b.slack -= f.travel
	return pair{a, b, f.features.error(a.at, b.at), f.ends.error(a.at, b.at)}
}

// best returns the best pair of the spots in cols, or false when no two are far
// enough apart: the least error at the features by branch and bound, then among
// those that come within pairEqual of it the least error at the board's ends, and
// from there to the tidiest place near by.
func (f finder) best(cols [][]spot) (pair, bool) {
	var all []spot
	for _, c := range cols {
		all = append(all, c...)
	}
	if len(all) < 2 {
		return pair{}, false
	}
	seeds := seedSpotsOf(cols, f.step)
	root := newBlock(all)
	search := &pairSearch{root: root, least: f.least, travel: f.travel, aim: f.features}
	p, least := search.run(f.bestSeed(seeds, math.Inf(1)))
	if p == nil {
		return pair{}, false
	}
	limit := least * (1 + pairEqual)
	known := f.bestSeed(seeds, limit)
	if known == nil {
		known = p
	}
	search = &pairSearch{root: root, least: f.least, travel: f.travel, aim: f.ends, within: &f.features, limit: limit}
	q, ends := search.run(known)
	tidy := tidier{finder: f, at: newLattice(cols, f.step), limit: limit, ends: ends * (1 + endsEqual)}
	return tidy.from(f.measure(q[0], q[1])), true
}

// bestSeed returns the pair of seeds with the least error at the features, or
// with the least error at the ends of those within a finite limit; nil: none.
func (f finder) bestSeed(seeds []spot, limit float64) *[2]spot {
	var win *[2]spot
	var best pair
	for i, a := range seeds {
		for _, b := range seeds[i+1:] {
			if !f.legal(a, b) {
				continue
			}
			p := f.measure(a, b)
			if p.err > limit {
				continue
			}
			if win == nil || math.IsInf(limit, 1) && p.err < best.err || !math.IsInf(limit, 1) && p.better(best) {
				best, win = p, &[2]spot{a, b}
			}
		}
	}
	return win
}

// tidier moves the pins of a pair to tidier places while it stays as good.
type tidier struct {
	finder
	at          lattice
	limit, ends float64
}

// tidyReach is how many steps of the grid a pin is moved at a time, longest first.
var tidyReach = []float64{32, 16, 8, 4, 2, 1}

// from walks from p, one pin or both moved at a time, as long as the pair gets better.
func (t tidier) from(p pair) pair {
	for range tidyRounds {
		old := p
		for _, k := range tidyReach {
			p = t.walk(p, k*t.step)
		}
		if p == old {
			break
		}
	}
	return p
}

// tidyRounds bounds the walk; two or three rounds are usual.
const tidyRounds = 20

func (t tidier) walk(p pair, d float64) pair {
	dirs := []geom.Vec{{}, {X: d}, {X: -d}, {Y: d}, {Y: -d}}
	for moved := true; moved; {
		moved = false
		for _, da := range dirs {
			for _, db := range dirs {
				a, okA := t.at.spot(p.round.at.Add(da))
				b, okB := t.at.spot(p.slot.at.Add(db))
				if !okA || !okB || !t.legal(a, b) {
					continue
				}
				if q := t.measure(a, b); q.err <= t.limit && q.ends <= t.ends && q.tidier(p) {
					p, moved = q, true
				}
			}
		}
	}
	return p
}

// lattice finds the spots of a survey by their place.
type lattice struct {
	step  float64
	first int // column number of cols[0]
	cols  [][]spot
}

func newLattice(cols [][]spot, step float64) lattice {
	l := lattice{step: step}
	if len(cols) == 0 {
		return l
	}
	number := func(c []spot) int { return int(math.Round(c[0].at.X / step)) }
	l.first = number(cols[0])
	l.cols = make([][]spot, number(cols[len(cols)-1])-l.first+1)
	for _, c := range cols {
		l.cols[number(c)-l.first] = c
	}
	return l
}

// spot returns the spot at p, which is on the grid but for rounding.
func (l lattice) spot(p geom.Vec) (spot, bool) {
	i := int(math.Round(p.X/l.step)) - l.first
	if i < 0 || i >= len(l.cols) {
		return spot{}, false
	}
	col := l.cols[i]
	k := sort.Search(len(col), func(k int) bool { return col[k].at.Y > p.Y-l.step/2 })
	if k == len(col) || col[k].at.Y > p.Y+l.step/2 {
		return spot{}, false
	}
	return col[k], true
}

// better orders pairs of nearly equal error at the features: less error at the
// board's ends, then tidier.
func (p pair) better(q pair) bool {
	if d := p.ends - q.ends; math.Abs(d) > endsEqual*math.Min(p.ends, q.ends) {
		return d < 0
	}
	return p.tidier(q)
}

// tidier prefers the round hole nearer the start end, more slack, nearer the datum line, a longer baseline. Exact ties
// keep the earlier, so the order is fixed.
func (p pair) tidier(q pair) bool {
	if p.turned() != q.turned() {
		return q.turned()
	}
	ps := math.Min(enoughSlackMM, math.Min(p.round.slack, p.slot.slack))
	qs := math.Min(enoughSlackMM, math.Min(q.round.slack, q.slot.slack))
	if math.Abs(ps-qs) > slackEqual {
		return ps > qs
	}
	pv := math.Abs(p.round.at.Y) + math.Abs(p.slot.at.Y)
	qv := math.Abs(q.round.at.Y) + math.Abs(q.slot.at.Y)
	if math.Abs(pv-qv) > slackEqual {
		return pv < qv
	}
	return p.round.at.Dist(p.slot.at) > q.round.at.Dist(q.slot.at)+slackEqual
}

// sortPairs puts the least error first, in steps of searchGap, then the least at
// the ends; equals keep their order.
func sortPairs(all []pair) {
	class := func(p pair) float64 { return math.Round(math.Log(p.err) / searchGap) }
	slices.SortStableFunc(all, func(p, q pair) int {
		return cmp.Or(cmp.Compare(class(p), class(q)), cmp.Compare(p.ends, q.ends))
	})
}

// seedSpotsOf thins the survey: from every stride-th column the roomiest
// spot and the ends of each stretch, and always the first and last columns.
func seedSpotsOf(cols [][]spot, step float64) []spot { return thinned(cols, step, seedSpots) }

// thinned is the like for at most the given number of spots, or those of one column.
func thinned(cols [][]spot, step float64, most int) []spot {
	stride := 1
	for {
		var out []spot
		for i, col := range cols {
			if i%stride != 0 && i != len(cols)-1 {
				continue
			}
			for _, run := range runs(col, step) {
				out = append(out, roomiest(run, enoughSlackMM))
				if len(run) > 2 {
					out = append(out, run[0], run[len(run)-1])
				}
			}
		}
		if len(out) <= most || stride > len(cols) {
			return out
		}
		stride++
	}
}
