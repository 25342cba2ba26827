package solid

import (
	"math"

	"github.com/deadsy/sdfx/sdf"
	v3 "github.com/deadsy/sdfx/vec/v3"

	"reseat/jig"
	"reseat/jig/geom"
)

// carved is a distance field less chamfers. It asks the true contours for the
// distance of a point, and nothing of the polygons that march (front.go).
type carved struct {
	sdf.SDF3
	thickness float64
	edges     []carvedEdge
}

// carvedEdge is a contour with chamfers.
type carvedEdge struct {
	ring        *ring
	outward     bool // a void
	foot, entry float64
}

// carve takes the chamfers off a field.
func carve(f sdf.SDF3, p *jig.Print) sdf.SDF3 {
	c := &carved{SDF3: f, thickness: p.ThicknessMM}
	add := func(l geom.Loop, outward bool, foot, entry float64) {
		if foot > 0 || entry > 0 {
			c.edges = append(c.edges, carvedEdge{newRing(l), outward, foot, entry})
		}
	}
	add(p.Outline, false, p.FootMM, 0)
	if p.Window != nil {
		add(p.Window, true, p.WindowFootMM, 0)
	}
	for _, h := range p.Holes {
		add(holeLoop(h, 0), true, p.FootMM, p.EntryMM)
	}
	if c.edges == nil {
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
		reach := math.Max(0, -d) * math.Sqrt2
		if e.outward && boxDistance2(e.ring.box, q) > square(geom.Vec{X: math.Max(low, high) + reach}) {
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
	return d
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
			best, near = d, i
			switch d {
			case square(p.Sub(e.P)):
				end = -1
			case square(p.Sub(e.Q)):
				end = 1
			default:
				end = 0
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
