package geom

import "math"

// Edge is one piece of a contour: the straight line from P to Q when Bulge is
// zero, otherwise a circular arc.
//
//	bulge = tan(sweep/4),  sweep > 0 counter-clockwise
//
// Reference: DXF reference, LWPOLYLINE group code 42.
type Edge struct {
	P, Q  Vec
	Bulge float64
}

// Arc is the circular arc that starts at angle Start and turns by Sweep
// (radians, positive counter-clockwise) about C at radius R.
type Arc struct {
	C            Vec
	R            float64
	Start, Sweep float64
}

// IsArc reports whether the edge is curved.
func (e Edge) IsArc() bool { return e.Bulge != 0 }

// Arc returns the arc of a curved edge. It must not be called on a straight one.
//
//	r = chord (1 + b^2) / (4 |b|),  centre on the chord's bisector
func (e Edge) Arc() Arc {
	b := e.Bulge
	chord := e.Q.Sub(e.P)
	// Signed distance from the chord's middle to the centre, to the left of the chord.
	h := (1 - b*b) / (4 * b)
	c := e.P.Lerp(e.Q, 0.5).Add(chord.Left().Scale(h))
	d := e.P.Sub(c)
	return Arc{C: c, R: d.Norm(), Start: math.Atan2(d.Y, d.X), Sweep: 4 * math.Atan(b)}
}

// At returns the point of the arc at fraction t of its sweep.
func (a Arc) At(t float64) Vec { return a.C.Add(Polar(a.R, a.Start+t*a.Sweep)) }

// ArcEdge is an edge that is asked often: its arc is worked out once.
type ArcEdge struct {
	Edge
	arc Arc
}

// WithArc returns the edge with its arc.
func (e Edge) WithArc() ArcEdge {
	k := ArcEdge{Edge: e}
	if e.IsArc() {
		k.arc = e.Arc()
	}
	return k
}

// Arc is that of the edge.
func (k ArcEdge) Arc() Arc { return k.arc }

// At returns the point of the edge at share t of its length: P at 0, Q at 1.
func (e Edge) At(t float64) Vec { return e.WithArc().At(t) }

// At is that of the edge.
func (k ArcEdge) At(t float64) Vec {
	if k.IsArc() {
		return k.arc.At(t)
	}
	return k.P.Lerp(k.Q, t)
}

// covers reports whether the direction from the centre to p lies within the sweep.
func (a Arc) covers(p Vec) bool {
	phi := math.Atan2(p.Y-a.C.Y, p.X-a.C.X) - a.Start
	if a.Sweep < 0 {
		phi = -phi
	}
	phi = math.Mod(phi, 2*math.Pi)
	if phi < 0 {
		phi += 2 * math.Pi
	}
	return phi <= math.Abs(a.Sweep)
}

// Length returns the length of the edge along the line or arc.
func (e Edge) Length() float64 {
	if !e.IsArc() {
		return e.P.Dist(e.Q)
	}
	a := e.Arc()
	return a.R * math.Abs(a.Sweep)
}

// Distance returns the distance from p to the nearest point of the edge.
func (e Edge) Distance(p Vec) float64 { return e.WithArc().Distance(p) }

// Distance is that of the edge.
func (k ArcEdge) Distance(p Vec) float64 {
	if !k.IsArc() {
		return p.Dist(nearestOnSegment(p, k.P, k.Q))
	}
	if k.arc.covers(p) {
		return math.Abs(p.Dist(k.arc.C) - k.arc.R)
	}
	return math.Min(p.Dist(k.P), p.Dist(k.Q))
}

// beyond reports whether all of the edge lies plainly farther from p than d.
//
//	its points lie within max(1, |b|) half chords of the chord's middle
func (e Edge) beyond(p Vec, d float64) bool {
	half := e.Q.Sub(e.P).Scale(0.5)
	off := p.Sub(e.P.Add(half))
	reach := d + math.Sqrt(half.Dot(half))*max(1, math.Abs(e.Bulge))
	return off.Dot(off) > reach*reach*plainly
}

// Bounds returns the smallest box around the edge.
func (e Edge) Bounds() Box {
	b := EmptyBox().Include(e.P).Include(e.Q)
	if e.IsArc() {
		a := e.Arc()
		for _, d := range [4]Vec{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
			if p := a.C.Add(d.Scale(a.R)); a.covers(p) {
				b = b.Include(p)
			}
		}
	}
	return b
}

// Tangents returns the unit directions of travel at P and at Q.
func (e Edge) Tangents() (start, end Vec) {
	d := e.Q.Sub(e.P).Unit()
	if !e.IsArc() {
		return d, d
	}
	// The chord makes half the sweep's half with either tangent: sweep/2.
	half := 2 * math.Atan(e.Bulge)
	return rotate(d, -half), rotate(d, half)
}

func rotate(v Vec, phi float64) Vec {
	s, c := math.Sincos(phi)
	return Vec{c*v.X - s*v.Y, s*v.X + c*v.Y}
}

func nearestOnSegment(p, a, b Vec) Vec {
	d := b.Sub(a)
	l := d.Dot(d)
	if l == 0 {
		return a
	}
	t := p.Sub(a).Dot(d) / l
	return a.Lerp(b, max(0, min(1, t)))
}

// SegmentDistance returns the least distance between the straight segments ab
// and cd; zero when they meet.
func SegmentDistance(a, b, c, d Vec) float64 {
	ab, cd := b.Sub(a), d.Sub(c)
	s1, s2 := ab.Cross(c.Sub(a)), ab.Cross(d.Sub(a))
	s3, s4 := cd.Cross(a.Sub(c)), cd.Cross(b.Sub(c))
	if s1*s2 < 0 && s3*s4 < 0 {
		return 0
	}
	return math.Min(
		math.Min(a.Dist(nearestOnSegment(a, c, d)), b.Dist(nearestOnSegment(b, c, d))),
		math.Min(c.Dist(nearestOnSegment(c, a, b)), d.Dist(nearestOnSegment(d, a, b))),
	)
}
