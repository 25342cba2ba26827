package sheet

import (
	"math"

	"reseat/export/picture"
	"reseat/jig/geom"
)

// Free space in millimetres that hatching leaves round what it makes way for,
// and the shortest piece of a hatch line that is worth drawing.
const (
	hatchClear = 0.6
	hatchLeast = 1.0
)

// placeAround adds the straight strokes of g without what would cross the
// texts, filled marks and circles of f.
//
// Each stroke p + t(q - p) loses the ranges of t that the obstacles cover; the
// pieces that are left are drawn.
func (f *figure) placeAround(g *figure) {
	standing := f.Items
	for _, it := range g.Items {
		s, ok := it.(picture.Stroke)
		if !ok {
			continue
		}
		for _, e := range s.Edges() {
			left := []span{{0, 1}}
			for _, o := range standing {
				if c := covered(o, e.P, e.Q); c.lo < c.hi {
					left = without(left, c)
				}
			}
			run := e.Q.Sub(e.P)
			for _, r := range left {
				if (r.hi-r.lo)*run.Norm() >= hatchLeast {
					f.Line(s.Pen, e.P.Add(run.Scale(r.lo)), e.P.Add(run.Scale(r.hi)))
				}
			}
		}
	}
}

// covered returns the range of the segment pq, 0 to 1, that an item keeps free
// round itself; lo >= hi when there is none.
func covered(it picture.Item, p, q geom.Vec) span {
	switch it := it.(type) {
	case picture.Text, picture.Fill:
		return inside(it.Ink().Grow(hatchClear), p, q)
	case picture.Circle:
		return chord(it.C, it.R+hatchClear, p, q)
	}
	return span{1, 0}
}

// chord returns the range of the segment pq that lies in a circle:
//
//	|p + t d - c|^2 = r^2,  d = q - p,  0 <= t <= 1
func chord(c geom.Vec, r float64, p, q geom.Vec) span {
	d, m := q.Sub(p), p.Sub(c)
	a, b := d.Dot(d), m.Dot(d)
	disc := b*b - a*(m.Dot(m)-r*r)
	if a == 0 || disc <= 0 {
		return span{1, 0}
	}
	root := math.Sqrt(disc)
	return span{math.Max(0, (-b-root)/a), math.Min(1, (-b+root)/a)}
}
