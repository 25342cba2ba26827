package block

import (
	"math"
	"slices"

	"reseat/export/picture"
	"reseat/jig/geom"
)

// Directions of hatching, radians.
const (
	HatchRising  = math.Pi / 4
	HatchFalling = -math.Pi / 4
)

// Free space in millimetres that hatching leaves round what it makes way for,
// and the shortest piece of a hatch line that is worth drawing.
const (
	hatchClear = 0.6
	hatchLeast = 1.0
)

// hatch fills a polygon with thin parallel lines at the given angle (radians)
// and spacing (mm). All hatching of one figure starts from the same origin, so
// that areas of one part match.
func (f *Figure) Hatch(angle, spacing float64, poly ...geom.Vec) {
	turn, back := geom.Rigid{Angle: -angle}, geom.Rigid{Angle: angle}
	b := geom.EmptyBox()
	turned := make([]geom.Vec, len(poly))
	for i, p := range poly {
		turned[i] = turn.Apply(p)
		b = b.Include(turned[i])
	}
	for k := math.Ceil(b.Min.Y / spacing); k*spacing < b.Max.Y; k++ {
		// A line that ran exactly through a corner would count it twice or not at all.
		const nudge = 1e-7 // mm, invisible
		y := float64(k*spacing) + nudge
		var xs []float64
		for i, p := range turned {
			q := turned[(i+1)%len(turned)]
			if (p.Y > y) != (q.Y > y) {
				xs = append(xs, p.X+(y-p.Y)*(q.X-p.X)/(q.Y-p.Y))
			}
		}
		slices.Sort(xs)
		for i := 0; i+1 < len(xs); i += 2 {
			f.Line(picture.PenThin, back.Apply(geom.Vec{X: xs[i], Y: y}), back.Apply(geom.Vec{X: xs[i+1], Y: y}))
		}
	}
}

// hatchAround hatches a box without what would cross the texts, filled marks and
// circles of f.
//
// Each line p + t(q - p) loses the ranges of t that the obstacles cover; the
// pieces that are left are drawn.
func (f *Figure) HatchAround(spacing float64, b geom.Box) {
	g := &Figure{}
	g.Hatch(HatchRising, spacing, geom.Rect(b).Corners()...)
	standing := f.Items
	for _, it := range g.Items {
		e := it.(picture.Stroke).Path.Edge(0)
		p, run := e.P, e.Q.Sub(e.P)
		left := []Span{{0, 1}}
		for i, o := range standing {
			switch o := o.(type) {
			case picture.Text, picture.Fill:
				left = Subtract(left, ClipSegment(f.Obstacles()[i].Ink.Grow(hatchClear), p, p.Add(run)))
			case picture.Circle:
				left = Subtract(left, chord(o.C, o.R+hatchClear, p, p.Add(run)))
			}
		}
		for _, r := range left {
			if (r.Hi-r.Lo)*run.Norm() >= hatchLeast {
				f.Line(picture.PenThin, p.Add(run.Scale(r.Lo)), p.Add(run.Scale(r.Hi)))
			}
		}
	}
}
