package solid

import (
	"math"

	"reseat/jig"
	"reseat/jig/geom"
)

// projection holds the facets seen from above, with their boxes.
type projection []facet2

type facet2 struct {
	a, b, c geom.Vec
	box     geom.Box
}

// projection casts all facets onto the plan. Upright walls become segments.
func (m *Mesh) projection() projection {
	s := make(projection, len(m.Facets))
	at := func(v int32) geom.Vec {
		p := m.Vertices[v]
		return geom.Vec{X: float64(p[0]), Y: float64(p[1])}
	}
	for i, f := range m.Facets {
		a, b, c := at(f[0]), at(f[1]), at(f[2])
		s[i] = facet2{a, b, c, geom.EmptyBox().Include(a).Include(b).Include(c)}
	}
	return s
}

// free returns the diameter of the largest upright cylinder that can stand
// anywhere along the hole's travel without touching a facet; 0 when one lies in
// its way.
//
//	free = 2 min over facets of the distance from the travel's segment
func (s projection) free(h jig.PrintHole) float64 {
	half := geom.Polar(h.Travel/2, h.Angle)
	p, q := h.Center.Sub(half), h.Center.Add(half)
	box := geom.EmptyBox().Include(p).Include(q)
	least := math.Inf(1)
	for i := range s { // a bound first: no more than the way to any corner
		least = math.Min(least, square(s[i].a.Sub(p)))
	}
	least = math.Sqrt(least)
	for i := range s {
		t := &s[i]
		gapX := math.Max(t.box.Min.X-box.Max.X, box.Min.X-t.box.Max.X)
		gapY := math.Max(t.box.Min.Y-box.Max.Y, box.Min.Y-t.box.Max.Y)
		if math.Max(gapX, gapY) >= least {
			continue
		}
		least = math.Min(least, t.distance(p, q))
	}
	return 2 * least
}

// distance returns the distance from the segment pq to the triangle, 0 when they
// meet.
func (t *facet2) distance(p, q geom.Vec) float64 {
	if t.holds(p) {
		return 0
	}
	return math.Min(geom.SegmentDistance(p, q, t.a, t.b),
		math.Min(geom.SegmentDistance(p, q, t.b, t.c), geom.SegmentDistance(p, q, t.c, t.a)))
}

// holds reports whether p lies inside the triangle, whichever way it turns; a
// triangle seen edge-on holds nothing.
func (t *facet2) holds(p geom.Vec) bool {
	x := t.b.Sub(t.a).Cross(p.Sub(t.a))
	y := t.c.Sub(t.b).Cross(p.Sub(t.b))
	z := t.a.Sub(t.c).Cross(p.Sub(t.c))
	return x > 0 && y > 0 && z > 0 || x < 0 && y < 0 && z < 0
}
