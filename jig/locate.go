package jig

import (
	"math"

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
// derived in jig/register. Between the pins the error across does not depend on
// the baseline L; beside and beyond them a longer one helps. Features near one
// another would let a short pair win, so among nearly equal pairs the one with the
// smallest error at the board's ends is taken: the longest useful baseline.

const (
	// pairSpots bounds the coarse survey for the pair search, so that a long board
	// costs no more than a short one: at most pairSpots^2/2 pairs are judged.
	pairSpots = 260
	// pairEqual is how much worse than the best at the features a pair may be to
	// win by a longer baseline, by being roomier or tidier: 1.8 %, just inside the
	// 2 % that the search as a whole may lose against an exhaustive one.
	pairEqual = 0.018
	// endsEqual is the like for the error at the board's ends.
	endsEqual = 0.01
	// enoughSlackMM is the room beyond the needed web that is still worth
	// having when positions are compared; more has no value to a maker.
	enoughSlackMM = 3.0
)

// pair is a choice of the two locating pins; round stands nearer the start end.
type pair struct {
	round, slot spot
	err         float64 // objective, mm
	ends        float64 // error at the board's ends, mm
}

// pairError is the objective above, the worst over the features.
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
		worst = math.Max(worst, across*across+along*along)
	}
	return math.Sqrt(worst)
}

// choosePair returns the best pair, or false when there are not two spots far
// enough apart. least is the smallest distance between two pins.
func choosePair(spots []spot, r, least float64, features, ends []geom.Vec, allowed func(a, b geom.Vec) bool) (pair, bool) {
	type cand struct {
		i, k int
		err  float64
	}
	var all []cand
	best := math.Inf(1)
	for i := range spots {
		for k := i + 1; k < len(spots); k++ {
			a, b := spots[i].at, spots[k].at
			if a.Dist(b) < least || !allowed(a, b) {
				continue
			}
			e := pairError(a, b, r, features)
			best = math.Min(best, e)
			if e <= best*(1+pairEqual) {
				all = append(all, cand{i, k, e})
			}
		}
	}
	var win pair
	found := false
	for _, c := range all {
		if c.err > best*(1+pairEqual) {
			continue
		}
		a, b := spots[c.i], spots[c.k]
		p := pair{a, b, c.err, pairError(a.at, b.at, r, ends)}
		if p.round.at.X > p.slot.at.X {
			p.round, p.slot = p.slot, p.round
		}
		if !found || p.better(win) {
			win, found = p, true
		}
	}
	return win, found
}

// better orders pairs of nearly equal error at the features: less error at the
// board's ends, more slack, nearer the datum line, longer baseline. Exact ties keep
// the earlier, so the order is fixed.
func (p pair) better(q pair) bool {
	if d := p.ends - q.ends; math.Abs(d) > endsEqual*math.Min(p.ends, q.ends) {
		return d < 0
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

// pairCandidates thins the survey: from every stride-th column the roomiest
// spot and the ends of each stretch, and always the first and last columns.
func pairCandidates(cols [][]spot, step float64) []spot {
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
		if len(out) <= pairSpots || stride > len(cols) {
			return out
		}
		stride++
	}
}
