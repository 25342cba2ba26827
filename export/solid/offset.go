package solid

import (
	"fmt"
	"math"

	"reseat/jig/geom"
)

// leastArcMM is the least radius that an arc may shrink to under a chamfer; a
// tenth of what a nozzle lays down. Common practice, no source.
const leastArcMM = 0.02

// smoothTurn is the turn, in radians, below which two edges count as running on
// from each other: the gap or overlap that is ignored is a ten-thousandth of the
// way moved, far below the grid.
const smoothTurn = 1e-4

// offset returns the counter-clockwise contour l moved outward or inward by t >= 0:
// lines move parallel, arcs keep their centres. At a corner that opens, the gap
// is closed by the end tangents up to where they meet (a mitre); at one that
// closes, the two edges end where they cross. It is exact. A corner that is too
// sharp, or an edge of which nothing is left, is an error with its place and figures; edges that
// meet others than their neighbours are not looked for, and those shorter than
// hairMM are left out.
func offset(l geom.Loop, outward bool, t float64) (geom.Loop, error) {
	l = withoutHairs(l)
	n := len(l)
	sign := -1.0 // of a turn that opens
	if outward {
		sign = 1
	}
	moved := make([]movedEdge, n)
	for i := range l {
		e := l.Edge(i)
		start, end := endDirections(e)
		m := movedEdge{Edge: e, in: start, out: end, nIn: start.Left().Scale(-sign), nOut: end.Left().Scale(-sign)}
		if e.IsArc() {
			m.arc = e.Arc()
			m.r = m.arc.R + t
			if (e.Bulge > 0) != outward {
				m.r = m.arc.R - t
			}
			if m.r < leastArcMM {
				return nil, &cornerError{e.P, fmt.Sprintf("the arc of radius %.3f vanishes under a chamfer of %.3f", m.arc.R, t)}
			}
		}
		moved[i] = m
	}
	// joints[i] are the new corners at vertex i, from edge i-1 to edge i.
	joints := make([][]geom.Vec, n)
	for i := range l {
		a, b := &moved[(i+n-1)%n], &moved[i]
		v := l[i].Vec
		turn := math.Atan2(a.out.Cross(b.in), a.out.Dot(b.in))
		if 1+math.Cos(turn) < least1Cos {
			return nil, &cornerError{v, fmt.Sprintf("the corner of %.1f degrees is too sharp for a chamfer", (math.Pi-math.Abs(turn))*180/math.Pi)}
		}
		mitre := v.Add(a.nOut.Add(b.nIn).Scale(t / (1 + a.nOut.Dot(b.nIn))))
		switch {
		case math.Abs(turn) < smoothTurn:
			joints[i] = []geom.Vec{v.Add(a.nOut.Scale(t))}
		case turn*sign > 0:
			joints[i] = []geom.Vec{v.Add(a.nOut.Scale(t)), mitre, v.Add(b.nIn.Scale(t))}
		default:
			p, ok := crossing(a, b, mitre, t)
			if !ok {
				return nil, &cornerError{v, fmt.Sprintf("the edges at this corner do not meet again %.3f further on", t)}
			}
			joints[i] = []geom.Vec{p}
		}
	}
	var out geom.Loop
	for i := range l {
		j := joints[i]
		from, to := j[len(j)-1], joints[(i+1)%n][0]
		for _, p := range j[:len(j)-1] {
			out = append(out, geom.Vertex{Vec: p})
		}
		bulge, ok := moved[i].between(from, to)
		if !ok {
			return nil, &cornerError{l[i].Vec, fmt.Sprintf("nothing is left of the edge of %.3f that starts here under a chamfer of %.3f", l.Edge(i).Length(), t)}
		}
		out = append(out, geom.Vertex{Vec: from, Bulge: bulge})
	}
	return out, nil
}

// withoutHairs leaves out edges shorter than hairMM, which have no direction to
// speak of.
func withoutHairs(l geom.Loop) geom.Loop {
	out := make(geom.Loop, 0, len(l))
	for i, v := range l {
		if e := l.Edge(i); e.P.Dist(e.Q) >= hairMM {
			out = append(out, v)
		}
	}
	return out
}

// movedEdge is an edge with its directions of travel at both ends, the directions
// in which it is moved there, and for an arc its new radius.
type movedEdge struct {
	geom.Edge
	in, out, nIn, nOut geom.Vec
	arc                geom.Arc
	r                  float64
}

// between returns the bulge of the moved edge between two points of it, and
// whether anything is left of it.
func (m *movedEdge) between(p, q geom.Vec) (bulge float64, ok bool) {
	if !m.IsArc() {
		return 0, q.Sub(p).Dot(m.in) > -hairMM
	}
	// What the ends have gained (negative: lost), in radians.
	c, s := m.arc.C, 1.0
	if m.arc.Sweep < 0 {
		s = -1
	}
	lost := angle(m.P.Sub(c), p.Sub(c)) * s
	gained := angle(m.Q.Sub(c), q.Sub(c)) * s
	sweep := math.Abs(m.arc.Sweep) - lost + gained
	return s * math.Tan(sweep/4), sweep > 0
}

// angle returns the angle from a to b, within half a turn either way.
func angle(a, b geom.Vec) float64 { return math.Atan2(a.Cross(b), a.Dot(b)) }

// crossing returns where the moved edges a and b cross, nearest to the given
// place.
func crossing(a, b *movedEdge, near geom.Vec, t float64) (geom.Vec, bool) {
	switch {
	case !a.IsArc() && !b.IsArc():
		return near, true
	case a.IsArc() && b.IsArc():
		d := b.arc.C.Sub(a.arc.C)
		l := d.Norm()
		along := (l*l + a.r*a.r - b.r*b.r) / (2 * l)
		return nearer(a.arc.C.Add(d.Scale(along/l)), d.Left().Scale(1/l), a.r*a.r-along*along, near)
	case a.IsArc():
		return lineCrossing(b.P.Add(b.nIn.Scale(t)), b.in, a, near)
	}
	return lineCrossing(a.P.Add(a.nIn.Scale(t)), a.in, b, near)
}

// lineCrossing returns where the line through p along d crosses the circle of c.
func lineCrossing(p, d geom.Vec, c *movedEdge, near geom.Vec) (geom.Vec, bool) {
	foot := p.Add(d.Scale(c.arc.C.Sub(p).Dot(d)))
	off := foot.Sub(c.arc.C)
	return nearer(foot, d, c.r*c.r-off.Dot(off), near)
}

// nearer returns the one of middle +- sqrt(h2) d that is nearer to a place.
func nearer(middle, d geom.Vec, h2 float64, near geom.Vec) (geom.Vec, bool) {
	if !(h2 >= 0) {
		return geom.Vec{}, false
	}
	p, q := middle.Add(d.Scale(math.Sqrt(h2))), middle.Sub(d.Scale(math.Sqrt(h2)))
	if q.Dist(near) < p.Dist(near) {
		p = q
	}
	return p, true
}
