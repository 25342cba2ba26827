package solid

import (
	"math"

	"github.com/deadsy/sdfx/sdf"
	v3 "github.com/deadsy/sdfx/vec/v3"

	"reseat/jig"
	"reseat/jig/geom"
)

// carved is a distance field less chamfers and marks. It asks the true contours and strokes for the
// distance of a point, and nothing of the polygons that march (front.go).
type carved struct {
	sdf.SDF3
	thickness float64
	edges     []carvedEdge
	marks     []engraving
	marksBox  geom.Box
}

// carvedEdge is a contour with chamfers.
type carvedEdge struct {
	ring        *ring
	outward     bool // a void
	foot, entry float64
	mitre       float64 // how much further than the distance marched a corner can be
}

// carve takes chamfers and marks off a field.
func carve(f sdf.SDF3, p *jig.Print) sdf.SDF3 {
	c := &carved{SDF3: f, thickness: p.ThicknessMM}
	add := func(l geom.Loop, outward bool, foot, entry float64) {
		if foot > 0 || entry > 0 {
			c.edges = append(c.edges, carvedEdge{newRing(l), outward, foot, entry, longestMitre(l)})
		}
	}
	add(p.Outline, false, p.FootMM, 0)
	if p.Window != nil {
		add(p.Window, true, p.WindowFootMM, 0)
	}
	for _, h := range p.Holes {
		add(holeLoop(h, 0), true, p.FootMM, p.EntryMM)
	}
	c.marks, c.marksBox = engravings(p), geom.EmptyBox()
	for _, e := range c.marks {
		for _, m := range e.pieces {
			c.marksBox = c.marksBox.Union(m.box)
		}
	}
	if c.edges == nil && c.marks == nil {
		return f
	}
	return c
}

// Evaluate returns the distance in millimetres, negative inside. With m the
// distance of a point from the contour into the material, the slopes of 45
// degrees are
//
//	foot:   (foot - z - m) / sqrt 2
//	entry:  the lesser of entry - m and (entry - m - (thickness - z)) / sqrt 2, m taken to the entry's wide end
//
// and an engraved mark is the ground that its strokes cover, from its floor up; a
// raised one stands on that ground from inside the plate.
func (c *carved) Evaluate(at v3.Vec) float64 {
	d := c.SDF3.Evaluate(at)
	q := geom.Vec{X: at.X, Y: at.Y}
	for i := range c.edges {
		e := &c.edges[i]
		low, high := e.foot-at.Z, e.entry-c.thickness+at.Z // what is cut back at this height
		cutFoot, cutEntry := e.foot > 0 && low > 0, e.entry > 0 && high > 0
		if !cutFoot && !cutEntry {
			continue
		}
		// Only what is nearer than this can count.
		reach := (math.Max(low, high) + math.Max(0, -d)*math.Sqrt2) * e.mitre
		if e.outward && boxDistance2(e.ring.box, q) > reach*reach {
			continue
		}
		m := e.ring.marched(q, e.outward)
		if cutFoot {
			d = math.Max(d, (low-m)/math.Sqrt2)
		}
		if cutEntry {
			d = math.Max(d, math.Min(e.entry-m, (high-m)/math.Sqrt2))
		}
	}
	for i := range c.marks {
		up := at.Z - c.marks[i].floor
		if c.marks[i].floor > c.thickness {
			// The body's own distance is not below that of its top or bottom.
			if body := math.Max(up, c.thickness/2-at.Z); body < d {
				d = math.Min(d, math.Max(body, c.marks[i].distance(q, d)))
			}
			continue
		}
		if up > d {
			d = math.Max(d, math.Min(up, -c.marks[i].distance(q, -d)))
		}
	}
	return d
}

// distance returns how far p lies from the border of the ground that the strokes
// cover, or any number not below bound. Inside it can be too near to zero.
func (e *engraving) distance(p geom.Vec, bound float64) float64 {
	for i := range e.pieces {
		c := &e.pieces[i]
		if bound > 0 && boxDistance2(c.box, p) >= bound*bound || bound <= 0 && !c.box.Contains(p) {
			continue
		}
		bound = math.Min(bound, c.distance(p))
	}
	return bound
}

// byMark reports whether p lies at the wall of a mark, which may stray by
// MarkTolMM.
func (c *carved) byMark(at v3.Vec) bool {
	q := geom.Vec{X: at.X, Y: at.Y}
	if !c.marksBox.Grow(MarkTolMM).Contains(q) {
		return false
	}
	for i := range c.marks {
		if e := &c.marks[i]; at.Z > math.Min(e.floor, c.thickness)-MarkTolMM && math.Abs(e.distance(q, 2*MarkTolMM)) <= MarkTolMM {
			return true
		}
	}
	return false
}

// marched returns how far p lies to the wanted side of the contour, negative on
// the other side: the distance, but at a corner that opens to that side the
// greater of the distances from the tangents at its two edges, so that corners
// stay sharp.
func (r *ring) marched(p geom.Vec, outward bool) float64 {
	best, near, end := math.Inf(1), 0, 0
	for i := range r.edges {
		e := &r.edges[i]
		if boxDistance2(e.box, p) >= best {
			continue
		}
		if d := e.distance2(p); d < best {
			best, near, end = d, i, 0
			// Rounding must not hide that the end is nearest; where it is only almost
			// so, the tangents give the same distance.
			rounding := hairMM * math.Sqrt(d)
			switch {
			case square(p.Sub(e.P))-d <= rounding:
				end = -1
			case square(p.Sub(e.Q))-d <= rounding:
				end = 1
			}
		}
	}
	d := math.Sqrt(best)
	if r.contains(p) == outward {
		return -d
	}
	if end == 0 {
		return d
	}
	// The corner lies between edges a and b.
	n := len(r.edges)
	a, b := near, (near+1)%n
	if end < 0 {
		a, b = (near+n-1)%n, near
	}
	_, in := endDirections(r.edges[a].Edge)
	out, _ := endDirections(r.edges[b].Edge)
	sign := -1.0
	if !outward {
		sign = 1
	}
	v := p.Sub(r.edges[b].P)
	return math.Max(v.Dot(in.Left())*sign, v.Dot(out.Left())*sign)
}

// longestMitre returns how far the sharpest corner of a contour goes when its edges move by 1.
func longestMitre(l geom.Loop) float64 {
	longest, n := 1.0, len(l)
	for i := range l {
		_, in := endDirections(l.Edge((i + n - 1) % n))
		out, _ := endDirections(l.Edge(i))
		longest = math.Max(longest, math.Sqrt(2/(1+in.Dot(out))))
	}
	return longest
}
