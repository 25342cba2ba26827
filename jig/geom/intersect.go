package geom

import (
	"cmp"
	"math"
	"slices"
)

// MeetTol is how near edges must pass to meet, mm: points of outlines are known to about
// 1e-12 mm after some steps of float64, and nothing that is cut is smaller than 1e-3.
const MeetTol = 1e-9

// Intersect returns the points in which two edges meet, ends included, in their order along
// a: none, one, two, or the ends of the stretches that they share where they lie on each
// other. Edges that pass within MeetTol touch; points within it of each other are one. A
// point lies within MeetTol of both edges (and the rounding of an arc's radius, if that
// is kilometres); where they cross at a small angle alpha its place along them is known to
// about 1e-12/alpha mm.
func Intersect(a, b Edge) []Vec {
	a, b = a.Straightened(MeetTol/10), b.Straightened(MeetTol/10)
	tolA, tolB := a.meetTol(), b.meetTol()
	var out []Vec
	add := func(p Vec) {
		known := func(q Vec) bool { return p.Dist(q) <= MeetTol }
		if a.Distance(p) <= tolA && b.Distance(p) <= tolB && !slices.ContainsFunc(out, known) {
			out = append(out, p)
		}
	}
	for _, p := range [4]Vec{a.P, a.Q, b.P, b.Q} {
		add(p)
	}
	for _, p := range carriersMeet(a, b) {
		add(p)
	}
	slices.SortFunc(out, func(p, q Vec) int { return cmp.Compare(a.Along(p), a.Along(q)) })
	return out
}

// Straightened returns the edge without a bulge that stands off its chord by less than so
// much, in the unit of its ends: a radius that long is lost in rounding.
func (e Edge) Straightened(least float64) Edge {
	if math.Abs(e.Bulge)*e.P.Dist(e.Q)/2 < least {
		e.Bulge = 0
	}
	return e
}

// meetTol is MeetTol with the rounding of the radius: some units in its last place.
func (e Edge) meetTol() float64 {
	if !e.IsArc() {
		return MeetTol
	}
	return MeetTol + 1e-15*e.Arc().R
}

// carriersMeet returns where the lines and circles that the edges lie on meet.
func carriersMeet(a, b Edge) []Vec {
	switch {
	case !a.IsArc() && !b.IsArc():
		d, e := a.Q.Sub(a.P), b.Q.Sub(b.P)
		det := d.Cross(e)
		if det == 0 {
			return nil
		}
		return []Vec{a.P.Add(d.Scale(b.P.Sub(a.P).Cross(e) / det))}
	case !a.IsArc():
		return lineMeetsCircle(a, b.Arc())
	case !b.IsArc():
		return lineMeetsCircle(b, a.Arc())
	}
	return circlesMeet(a.Arc(), b.Arc())
}

// lineMeetsCircle returns where the line through e meets the arc's circle: two points
// beside the foot of its centre, or the foot where they touch.
func lineMeetsCircle(e Edge, c Arc) []Vec {
	u := e.Q.Sub(e.P).Unit()
	foot := e.P.Add(u.Scale(c.C.Sub(e.P).Dot(u)))
	h := foot.Dist(c.C)
	return beside(foot, u, (c.R-h)*(c.R+h), h-c.R)
}

// circlesMeet returns where two circles meet. From the smaller one's centre, with s
// between them,
//
//	x = (s^2 + r1^2 - r2^2) / 2s,  y^2 = (r1 - x)(r1 + x)
func circlesMeet(a, b Arc) []Vec {
	if a.R > b.R {
		a, b = b, a
	}
	u := b.C.Sub(a.C)
	s := u.Norm()
	if s == 0 {
		return nil
	}
	u = u.Scale(1 / s)
	x := ((s-b.R)*(s+b.R) + a.R*a.R) / (2 * s)
	apart := math.Max(s-a.R-b.R, b.R-a.R-s)
	return beside(a.C.Add(u.Scale(x)), u.Left(), (a.R-x)*(a.R+x), apart)
}

// beside returns the points at the square root of y2 on either side of p along u; p
// alone where that is negative, but what should meet lies no more than MeetTol apart.
func beside(p, u Vec, y2, apart float64) []Vec {
	switch {
	case y2 > 0:
		d := u.Scale(math.Sqrt(y2))
		return []Vec{p.Sub(d), p.Add(d)}
	case apart <= MeetTol:
		return []Vec{p}
	}
	return nil
}

// Along returns how far along the edge the point of it nearest to p lies, as a share of
// its length: 0 at P, 1 at Q.
func (e Edge) Along(p Vec) float64 { return e.WithArc().Along(p) }

// Along is that of the edge.
func (e ArcEdge) Along(p Vec) float64 {
	if !e.IsArc() {
		d := e.Q.Sub(e.P)
		if n := d.Dot(d); n > 0 {
			return math.Max(0, math.Min(1, p.Sub(e.P).Dot(d)/n))
		}
		return 0
	}
	a := e.arc
	if a.covers(p) {
		phi := math.Atan2(p.Y-a.C.Y, p.X-a.C.X) - a.Start
		return math.Mod(math.Copysign(1, a.Sweep)*phi+4*math.Pi, 2*math.Pi) / math.Abs(a.Sweep)
	}
	if p.Dist(e.P) <= p.Dist(e.Q) {
		return 0
	}
	return 1
}
