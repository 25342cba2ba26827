package layout

import (
	"cmp"
	"math"
	"slices"

	"reseat/jig/geom"
)

// Causes are what errs at the two locating pins and in the plate that they hold, each
// independent of the others, as the half width of its middle 95 %.
type Causes struct {
	AlongMM float64 // along the line between the pins; the round hole holds the plate there
	RoundMM float64 // across that line at the round hole
	SlotMM  float64 // across it at the slot
	// The plate's growth from the round pin, mm per mm, along the datum line and across it.
	GrowthAlong, GrowthAcross float64
	// Holds: growth moves the board by the place Held, where the plate holds it. Otherwise
	// the board is the plate, and each feature moves by itself.
	Holds bool
	Held  geom.Vec
}

// The two locating pins are chosen so that the error of the worst feature is smallest: the
// root of the mean square of what moves it, as the half width of 95 % (1.96 standard
// deviations of a normal law). With A along and R across at the round hole at a, S across at
// the slot at b, L between them and growth g, a feature at f errs by
//
//	E^2 = A^2 + (R^2 |f-b|^2 + S^2 |f-a|^2)/L^2 + |g (f-a)|^2
//	    = A^2 + R^2 S^2/W + W |f-m|^2/L^2 + |g (f-a)|^2,
//	W = R^2 + S^2,  m = (S^2 a + R^2 b)/W
//
// m is the point that errs least across; a long baseline and features near m are good, and
// growth draws the round pin to what it moves (Held in place of f where the plate holds the
// board there). Derived from the pose of a plate on a round and a slotted hole, small angles
// (jig/seat), the squares of independent causes added. It ranks pairs as the simulated budget
// does (rank correlation 0.99 to 1.00), the sum of worst cases less (0.70 to 0.99; jig/account,
// TestCausesRankAsTheBudget).

// objective is the points whose largest error is made small, and what moves them.
type objective struct {
	Causes
	at       []geom.Vec
	other    []float64 // square of what errs elsewhere at each, mm^2
	diameter float64   // largest distance between two of them
	fixed    float64   // A^2 + R^2 S^2/W, mm^2
	turn     float64   // W, mm^2
	share    float64   // of the way from a to b at which m lies
}

// newObjective keeps, of the points, those that may err most. What pins and plate do is a convex
// function of the place: it is largest at a corner of a hull. So a point within the hull of
// others at each of which no less errs elsewhere need not be asked. elsewhere as
// Spec.ElsewhereMM.
func newObjective(points []geom.Vec, elsewhere []float64, c Causes) objective {
	// No hole is true to a thousandth, and without any error all pairs were equal.
	c.RoundMM, c.SlotMM = max(c.RoundMM, sameMM), max(c.SlotMM, sameMM)
	r, s := c.RoundMM*c.RoundMM, c.SlotMM*c.SlotMM
	o := objective{Causes: c, at: geom.Hull(points), turn: r + s, share: r / (r + s)}
	o.fixed = float64(c.AlongMM*c.AlongMM) + float64(r*s)/(r+s)
	o.other = make([]float64, len(o.at))
	if elsewhere != nil {
		order := make([]int, len(points))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(i, k int) int { return cmp.Compare(elsewhere[k], elsewhere[i]) })
		o.at, o.other = nil, nil
		for _, i := range order {
			f, e := points[i], elsewhere[i]
			if !slices.Contains(o.at, f) && slices.Contains(geom.Hull(append(slices.Clone(o.at), f)), f) {
				o.at, o.other = append(o.at, f), append(o.other, e*e)
			}
		}
	}
	for i, f := range o.at {
		for _, g := range o.at[:i] {
			o.diameter = max(o.diameter, f.Dist(g))
		}
	}
	return o
}

// error is the largest error for a round hole at a and a slot at b, mm.
func (o *objective) error(a, b geom.Vec) float64 {
	d := b.Sub(a)
	m, per := a.Add(d.Scale(o.share)), o.turn/square(d.X, d.Y)
	worst := 0.0
	for i, f := range o.at {
		grown := o.grown(f).Sub(a)
		worst = max(worst, o.other[i]+float64(per*square(f.X-m.X, f.Y-m.Y))+
			square(o.GrowthAlong*grown.X, o.GrowthAcross*grown.Y))
	}
	return math.Sqrt(o.fixed + worst)
}

// grown is the place that the plate's growth moves the feature f by.
func (o *objective) grown(f geom.Vec) geom.Vec {
	if o.Holds {
		return o.Held
	}
	return f
}

// floor is a lower bound on the error of every pair with the round hole in block p and the
// slot in q: m stands in a box between theirs, the baseline is no longer than the boxes
// allow, and one of two features D apart is at least D/2 from any m.
func (o *objective) floor(p, q *block) float64 {
	d := q.middle.Sub(p.middle)
	far := square(math.Abs(d.X)+p.half.X+q.half.X, math.Abs(d.Y)+p.half.Y+q.half.Y)
	if far == 0 {
		return math.Inf(1)
	}
	m, per := p.middle.Add(d.Scale(o.share)), o.turn/far
	off := p.half.Add(q.half.Sub(p.half).Scale(o.share))
	least, grows := 0.0, math.Inf(1)
	for i, f := range o.at {
		g := beyond(o.grown(f).Sub(p.middle), p.half)
		grown := o.other[i] + square(o.GrowthAlong*g.X, o.GrowthAcross*g.Y)
		n := beyond(f.Sub(m), off)
		least, grows = max(least, float64(per*square(n.X, n.Y))+grown), min(grows, grown)
	}
	return math.Sqrt(o.fixed + max(least, float64(per*o.diameter*o.diameter/4)+grows))
}

// beyond is how far v lies outside a box of the given half sides about the origin, both ways.
func beyond(v, half geom.Vec) geom.Vec {
	return geom.Vec{X: max(0, math.Abs(v.X)-half.X), Y: max(0, math.Abs(v.Y)-half.Y)}
}

// square is the square of a vector's length, mm^2.
func square(x, y float64) float64 { return float64(x*x) + float64(y*y) }
