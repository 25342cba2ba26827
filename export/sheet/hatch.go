package sheet

import (
	"math"
	"sort"

	"reseat/export/picture"
	"reseat/jig/geom"
)

// hatch fills a polygon with thin parallel lines at the given angle (radians)
// and spacing (mm). All hatching of one figure starts from the same origin, so
// that areas of one part match. Holes in the area are further polygons (even-odd).
func (f *figure) hatch(angle, spacing float64, polygons ...[]geom.Vec) {
	turn := geom.Rigid{Angle: -angle}
	back := geom.Rigid{Angle: angle}
	b := geom.EmptyBox()
	var turned [][]geom.Vec
	for _, poly := range polygons {
		t := make([]geom.Vec, len(poly))
		for i, p := range poly {
			t[i] = turn.Apply(p)
			b = b.Include(t[i])
		}
		turned = append(turned, t)
	}
	if b.Min.X > b.Max.X {
		return
	}
	for k := math.Ceil(b.Min.Y / spacing); k*spacing < b.Max.Y; k++ {
		// A line that ran exactly through a corner would count it twice or not at all.
		const nudge = 1e-7 // mm, invisible
		y := k*spacing + nudge
		var xs []float64
		for _, poly := range turned {
			for i, p := range poly {
				q := poly[(i+1)%len(poly)]
				if (p.Y > y) != (q.Y > y) {
					xs = append(xs, p.X+(y-p.Y)*(q.X-p.X)/(q.Y-p.Y))
				}
			}
		}
		sort.Float64s(xs)
		for i := 0; i+1 < len(xs); i += 2 {
			f.Line(picture.PenThin, back.Apply(geom.Vec{X: xs[i], Y: y}), back.Apply(geom.Vec{X: xs[i+1], Y: y}))
		}
	}
}
