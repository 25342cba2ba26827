package layout

import (
	"cmp"
	"slices"

	"reseat/jig/geom"
)

// Limit is what keeps the locating pins from better places: one constraint, or
// several together.
type Limit struct {
	Constraints []Constraint // each was moved away by its RelaxMM for the figures below
	Pins        []int        // those that it stops: 0 and 1
	GainMM      float64      // by how much the worst error at a feature would then fall
	WouldMM     float64      // to what
	Apart       bool         // the pins would then stand farther apart
}

const (
	// leastGain is the least share of the pins' error by which more room must lower it to be
	// worth a wider blank or plate. Common practice, no source.
	leastGain = 0.05
	// coarser is how much coarser the grid is on which pairs are searched anew, as long as
	// it has coarsePlaces; the walk from there is on the fine one.
	coarser      = 4
	coarsePlaces = 300
	// walkGain is the least share of the error that a step must gain, so that a walk
	// along a valley of rounding ends.
	walkGain = 1e-6
)

// Limits tells what would let the locating pins of a pattern do better, the most
// helpful first: for each constraint by itself, and for all edges together when none by
// itself helps, the pair walks to better places with the constraint moved away. It walks
// with the same strides without, so that the difference is the constraint's alone.
func (s Spec) Limits(pins []Pin) []Limit {
	s.ElsewhereMM = nil
	if s.AllRound {
		s.TravelMM = 0
	}
	a, b, now := s.walk(s.Region, pins[0].At, pins[1].At)
	var out []Limit
	try := func(off []int) {
		g := s.Region.relaxed(off)
		p, q, e := s.walk(g, a, b)
		if r, ok := s.leastPair(g, min(e, now*(1-leastGain))); ok {
			// The best places may lie where no short way leads.
			if r, t, f := s.walk(g, r.round.at, r.slot.at); f < e {
				p, q, e = r, t, f
			}
		}
		if now-e < leastGain*now {
			return
		}
		l := Limit{GainMM: now - e, WouldMM: e, Apart: p.Dist(q) > a.Dist(b)+s.Region.StepMM}
		for _, i := range off {
			l.Constraints = append(l.Constraints, s.Region.Constraints[i])
		}
		for i, at := range []geom.Vec{p, q} {
			if _, ok := s.Region.allowed(at); !ok {
				l.Pins = append(l.Pins, i)
			}
		}
		out = append(out, l)
	}
	var all, edges []int
	for i, c := range s.Region.Constraints {
		if c.RelaxMM > 0 {
			all = append(all, i)
			if c.Edge {
				edges = append(edges, i)
			}
		}
	}
	if try(all); len(out) == 0 {
		return nil // not even all of it together
	}
	out = nil
	for _, i := range all {
		try([]int{i})
	}
	if len(out) == 0 && len(edges) > 1 {
		try(edges)
	}
	slices.SortStableFunc(out, func(a, b Limit) int { return cmp.Compare(b.GainMM, a.GainMM) })
	return out
}

// relaxed returns the region with some constraints moved away.
func (g *Region) relaxed(off []int) *Region {
	r := *g
	r.Constraints = slices.Clone(g.Constraints)
	for _, i := range off {
		relax := g.Constraints[i].RelaxMM
		r.Constraints[i].NeedMM -= relax
		r.Box = r.Box.Grow(relax)
	}
	return &r
}

// leastPair searches anew, on a coarse grid of the region, a pair whose error is less than best.
func (s Spec) leastPair(g *Region, best float64) (pair, bool) {
	s.Region = g
	q := s.on(1.0 / coarser)
	for k := coarser / 2; k > 0 && len(q.places) < coarsePlaces; k /= 2 {
		q = s.on(1 / float64(k))
	}
	if s.Flip != NoFlip {
		return q.choosePair()
	}
	b := q.bound(q.places)
	b.gap = leastGain / 5 // the walk from there finds the rest
	p, _ := b.least(nil, best)
	if p == nil {
		return pair{}, false
	}
	return q.as(p[0], p[1]), true
}

// walk returns the places to which a pair comes from a and b as long as its error at the
// features falls, and that error, mm.
func (s Spec) walk(g *Region, a, b geom.Vec) (_, _ geom.Vec, err float64) {
	f := newObjective(s.Features, nil, s.Causes)
	least, half := 2*g.HoleRadiusMM+g.WebMM+s.TravelMM/2, s.TravelMM/2
	err = f.error(a, b)
	shift(g.StepMM, s.moves(a, b), func(da, db geom.Vec) bool {
		p, q := a.Add(da), b.Add(db)
		if p.Dist(q) < least-roundingMM {
			return false
		}
		e := f.error(p, q)
		if e >= err*(1-walkGain) {
			return false
		}
		_, okP := g.allowed(p)
		rq, okQ := g.allowed(q)
		if !okP || !okQ || rq.clearance < half-roundingMM {
			return false
		}
		a, b, err = p, q, e
		return true
	})
	return a, b, err
}

// moves returns the moves of both pins that the flip allows a pair at a and b: along the
// axis that both stand on, or one the image of the other.
func (s Spec) moves(a, b geom.Vec) func(d float64) [][2]geom.Vec {
	images := s.image(a).Dist(b) < roundingMM
	ways := Spec{Flip: s.Flip} // about the origin: of moves
	return func(d float64) (out [][2]geom.Vec) {
		for _, m := range freeMoves(d) {
			onAxis := m[0].Y == 0 && m[1].Y == 0
			if s.Flip == FlipShort {
				onAxis = m[0].X == 0 && m[1].X == 0
			}
			follows := ways.image(m[0]) == m[1]
			if s.Flip == NoFlip || images && follows || !images && onAxis {
				out = append(out, m)
			}
		}
		return out
	}
}
