package dxfread

import (
	"math"

	"reseat/jig/geom"
)

// curve is a smooth stretch of a curve: its place and its derivative at t.
type curve func(t float64) (p, d geom.Vec)

const (
	// samples are the places between the ends of a stretch where arcs are held against the curve.
	samples = 9
	// kept is the share of the tolerance that the samples may take: between them the arcs leave the curve by a little
	// more. For an error like t^2 (1-t)^2 on either arc, as of two curves that touch at both ends, by less than 4 %.
	kept = 0.9
	// halvings bound how often a stretch is halved: 2^20 pieces.
	halvings = 20
	// flatArc is how high an arc stands over its chord that is read as a line: a nanometre of a drawing in mm.
	flatArc = 1e-6
)

// arcs appends arcs from t0 to t1 that join without a corner and stay within tol of the curve; a chord where
// a piece shorter than tol is no arc, as at a cusp. It stops at about most edges.
func (c curve) arcs(out []geom.Edge, t0, t1, tol float64, most int) []geom.Edge {
	p, from := c.along(t0, t1)
	q, to := c.along(t1, t0)
	if from == (geom.Vec{}) && to == (geom.Vec{}) { // a point
		return append(out, geom.Edge{P: p, Q: q})
	}
	return c.halve(out, stretch{t0, t1, p, q, from, to.Scale(-1)}, tol, most, halvings)
}

// along returns the place at t and the unit direction in which the curve leaves it towards the other end. Where the
// derivative vanishes, as with two control points on each other, that is the direction of a point close by.
func (c curve) along(t, other float64) (p, d geom.Vec) {
	const near = 1.0 / 1024 // of the way
	p, d = c(t)
	q, _ := c(t + near*(other-t))
	if way := q.Sub(p); d.Norm()*math.Abs(near*(other-t)) < near*way.Norm() {
		return p, way.Unit()
	}
	if other < t {
		d = d.Scale(-1)
	}
	return p, d.Unit()
}

// stretch is a piece of a curve with its ends and the directions there.
type stretch struct {
	t0, t1         float64
	p, q, from, to geom.Vec
}

func (c curve) halve(out []geom.Edge, s stretch, tol float64, most, left int) []geom.Edge {
	if len(out) >= most {
		return out
	}
	first, second := s.biarc()
	if left < halvings && c.within(s, first, second, kept*tol) {
		return append(out, first.Straightened(flatArc), second.Straightened(flatArc))
	}
	if left == 0 || s.p.Dist(s.q) <= tol && c.way(s) <= tol { // about a cusp directions say nothing, and a chord is near enough
		return append(out, geom.Edge{P: s.p, Q: s.q})
	}
	t := (s.t0 + s.t1) / 2
	p, d := c(t)
	out = c.halve(out, stretch{s.t0, t, s.p, p, s.from, d.Unit()}, tol, most, left-1)
	return c.halve(out, stretch{t, s.t1, p, s.q, d.Unit(), s.to}, tol, most, left-1)
}

// biarc returns the two arcs that leave p along from, arrive at q along to, and meet without a corner, with legs of
// the same length d at both ends:
//
//	v = q - p,  2 d^2 (1 - from.to) + 2 d v.(from + to) = v^2
//
// Reference: K. M. Bolton, Biarc curves, Computer-Aided Design 7 (1975) 89-92.
func (s stretch) biarc() (first, second geom.Edge) {
	v := s.q.Sub(s.p)
	b, a := v.Dot(s.from.Add(s.to)), 2*(1-s.from.Dot(s.to))
	d := v.Dot(v) / (b + math.Sqrt(max(0, b*b+a*v.Dot(v))))
	mid := s.p.Add(s.from.Scale(d)).Lerp(s.q.Sub(s.to.Scale(d)), 0.5)
	// The chord makes half the arc's sweep with the tangent at its end.
	turn := func(a, b geom.Vec) float64 { return math.Tan(math.Atan2(a.Cross(b), a.Dot(b)) / 2) }
	return geom.Edge{P: s.p, Q: mid, Bulge: turn(s.from, mid.Sub(s.p))},
		geom.Edge{P: mid, Q: s.q, Bulge: turn(s.q.Sub(mid), s.to)}
}

// steepest bounds the bulge of an arc that replaces a stretch: a sweep of 106 degrees. A curve that turns by more
// between two samples may hide a loop.
const steepest = 0.5

// mostTurned is the cosine of 120 degrees: a stretch that leaves and arrives in directions farther apart is halved. One
// that runs back on itself has arcs of no height, its far end between two samples.
const mostTurned = -0.5

// within reports whether the curve stays within tol of the two arcs.
func (c curve) within(s stretch, first, second geom.Edge, tol float64) bool {
	// Written so that what is not a number is not within.
	if !(math.Abs(first.Bulge) <= steepest && math.Abs(second.Bulge) <= steepest && s.from.Dot(s.to) >= mostTurned) {
		return false
	}
	for i := 1; i <= samples; i++ {
		p, _ := c(s.t0 + (s.t1-s.t0)*float64(i)/(samples+1))
		if !(min(first.Distance(p), second.Distance(p)) <= tol) {
			return false
		}
	}
	return true
}

// way is how long a stretch is, from sample to sample.
func (c curve) way(s stretch) (sum float64) {
	last := s.p
	for i := 1; i <= samples; i++ {
		p, _ := c(s.t0 + (s.t1-s.t0)*float64(i)/(samples+1))
		sum, last = sum+p.Dist(last), p
	}
	return sum + s.q.Dist(last)
}

// ellipse returns the edges of an ELLIPSE: from its centre by the half axes m and n over the parameters 41 to 42.
//
//	p(t) = centre + m cos t + n sin t,  n = ratio m turned left, right where it is seen from behind
func (e *raw) ellipse(tol float64, most int) []geom.Edge {
	c, m := e.point(10, "centre"), e.point(11, "end of the long axis")
	ratio := e.need(40, "ratio of the axes")
	start, end := e.number(41, 0), e.number(42, 2*math.Pi)
	e.level(tol, 31)
	if z := e.number(31, 0); math.Abs(z) > tol {
		e.wrong("it lies in a tilted plane (its long axis rises by %g)", z)
	}
	const slim = 1e-6 // narrower than any cutter is long
	if m.Norm() == 0 || ratio < slim || ratio > 1/slim {
		e.wrong("it has no width: half axis %g, ratio %g", m.Norm(), ratio)
	}
	n := e.facing().turned(m.Left().Scale(ratio))
	if e.fault != "" {
		return nil
	}
	sweep := math.Mod(end-start, 2*math.Pi)
	if sweep <= flat {
		sweep += 2 * math.Pi
	}
	if math.Abs(ratio-1) < flat {
		side := math.Copysign(1, m.Cross(n))
		return arc(c, m.Norm(), math.Atan2(m.Y, m.X)+side*start, side*sweep)
	}
	on := curve(func(t float64) (p, d geom.Vec) {
		sin, cos := math.Sincos(t)
		return c.Add(m.Scale(cos)).Add(n.Scale(sin)), n.Scale(cos).Sub(m.Scale(sin))
	})
	var out []geom.Edge
	// Cut at the ends of the axes, where the curvature turns.
	for t := start; t < start+sweep; {
		next := (math.Floor(t/(math.Pi/2)+flat) + 1) * math.Pi / 2
		if next = min(next, start+sweep); start+sweep-next < flat {
			next = start + sweep
		}
		out = on.arcs(out, t, next, tol, most)
		t = next
	}
	if len(out) > 0 && 2*math.Pi-sweep < flat {
		out[len(out)-1].Q = out[0].P
	}
	return out
}
