package toolpath

import (
	"math"
	"slices"

	"reseat/jig/geom"
)

// touch returns the fraction of the move at which a tool of radius r enters the obstacle.
//
// The distance between tool and obstacle can pass the tool's radius only where the
// way crosses a curve at that distance from an edge: a line beside a straight
// edge, a circle beside an arc, a circle about a corner. All those crossings have
// closed forms. Between two neighbours of them the tool is inside the obstacle all
// the way or not at all, which one look at the middle decides.
func (o Obstacle) touch(from Point, m Move, r float64) (float64, bool) {
	lo, hi, ok := below(from.Z, m.To.Z, o.TopZ-touchMM)
	if !ok {
		return 0, false
	}
	if middle, reach := m.disc(from); o.distance(middle) > r+reach {
		return 0, false // no place of the move is as near
	}
	w := newWay(from, m)
	ts := []float64{lo, hi}
	for _, l := range append([]geom.Loop{o.Outline}, o.Windows...) {
		for i := range l {
			ts = w.edge(ts, l.Edge(i), r-touchMM)
		}
	}
	slices.Sort(ts)
	for i := 0; i+1 < len(ts); i++ {
		t0, t1 := math.Max(ts[i], lo), math.Min(ts[i+1], hi)
		if t0 > t1 || (t0 == t1 && lo != hi) {
			continue
		}
		if o.distance(m.at(from, (t0+t1)/2).XY()) < r-touchMM {
			return t0, true
		}
	}
	return 0, false
}

// below returns the part of a move, as fractions, where the height lies below
// top.
func below(z0, z1, top float64) (lo, hi float64, ok bool) {
	switch {
	case z0 >= top && z1 >= top:
		return 0, 0, false
	case z0 < top && z1 < top:
		return 0, 1, true
	}
	t := (top - z0) / (z1 - z0)
	if z0 < top {
		return 0, t, true
	}
	return t, 1, true
}

// way is a move seen from above: a + t d, or the arc about c.
type way struct {
	a, d         geom.Vec
	arc          bool
	c            geom.Vec
	r            float64
	start, sweep float64
}

func newWay(from Point, m Move) way {
	w := way{a: from.XY(), d: m.To.XY().Sub(from.XY()), arc: m.Kind == Arc, c: m.Center}
	if w.arc {
		v := w.a.Sub(w.c)
		w.r, w.start, w.sweep = v.Norm(), math.Atan2(v.Y, v.X), m.sweep(from)
	}
	return w
}

// edge adds the fractions at which the way may come within s of an edge.
func (w way) edge(ts []float64, e geom.Edge, s float64) []float64 {
	ts = w.circle(ts, e.P, s) // the other end is the next edge's
	if e.IsArc() {
		a := e.Arc()
		return w.circle(w.circle(ts, a.C, a.R+s), a.C, math.Abs(a.R-s))
	}
	n := e.Q.Sub(e.P).Unit().Left()
	return w.line(w.line(ts, n, n.Dot(e.P)+s), n, n.Dot(e.P)-s)
}

// circle adds the crossings with the circle of radius s about c.
//
//	line  |a + t d - c|^2 = s^2
//	arc   r^2 + D^2 + 2 r D cos(phi - psi) = s^2,  D, psi: from c to the arc's centre
func (w way) circle(ts []float64, c geom.Vec, s float64) []float64 {
	if w.arc {
		v := w.c.Sub(c)
		dist := v.Norm()
		return w.angles(ts, math.Atan2(v.Y, v.X), (s*s-w.r*w.r-dist*dist)/(2*w.r*dist))
	}
	v := w.a.Sub(c)
	dd, dv := w.d.Dot(w.d), w.d.Dot(v)
	root := dv*dv - dd*(v.Dot(v)-s*s)
	if dd == 0 || root < 0 {
		return ts
	}
	root = math.Sqrt(root)
	return append(ts, (-dv-root)/dd, (-dv+root)/dd)
}

// line adds the crossings with the line n x = h, n being a unit vector.
//
//	line  n a + t n d = h
//	arc   n c + r cos(phi - angle of n) = h
func (w way) line(ts []float64, n geom.Vec, h float64) []float64 {
	if w.arc {
		return w.angles(ts, math.Atan2(n.Y, n.X), (h-n.Dot(w.c))/w.r)
	}
	if nd := n.Dot(w.d); nd != 0 {
		return append(ts, (h-n.Dot(w.a))/nd)
	}
	return ts
}

// angles adds the fractions of the arc at psi + acos k and psi - acos k.
func (w way) angles(ts []float64, psi, k float64) []float64 {
	if !(math.Abs(k) <= 1) { // NaN when circles share their centre
		return ts
	}
	for _, phi := range [2]float64{psi + math.Acos(k), psi - math.Acos(k)} {
		turn := math.Mod(phi-w.start, 2*math.Pi)
		if turn < 0 {
			turn += 2 * math.Pi
		}
		ts = append(ts, turn/w.sweep)
	}
	return ts
}
