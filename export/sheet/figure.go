package sheet

import (
	"math"

	"reseat/export/picture"
	"reseat/jig/geom"
)

// Letter heights in millimetres, from the series of ISO 3098 (2.5, 3.5, 5).
const (
	small  = 2.5 // tables, notes, dimensions
	middle = 3.5 // ids, headings
	large  = 5.0 // the title
)

// Arrowheads and gaps in millimetres. ISO 129-1 leaves them to the drawing as
// long as they are uniform; a narrow filled head of 15 degrees is one of its
// terminators.
const (
	arrowLong = 3.0
	arrowHalf = 0.4 // half the width at the back: 15 degrees in all
	dotRadius = 0.5 // leader that ends inside a surface
)

// figure collects items in a frame of its own before it finds its place.
type figure struct {
	picture.Figure
	found []obstacle // of the first items; see obstacles
}

// obstacles returns what each item is to others. Items are only ever added.
func (f *figure) obstacles() []obstacle {
	for _, it := range f.Items[len(f.found):] {
		f.found = append(f.found, newObstacle(it))
	}
	return f.found
}

// ink returns the box that covers all items.
func (f *figure) ink() geom.Box {
	b := geom.EmptyBox()
	for _, o := range f.obstacles() {
		b = b.Union(o.ink)
	}
	return b
}

// heading adds bold letters.
func (f *figure) heading(at geom.Vec, h float64, s string) {
	f.Add(picture.Text{At: at, Height: h, Bold: true, S: picture.Plain(s)})
}

// arrow adds a filled head with its tip at p, pointing along dir.
func (f *figure) arrow(p, dir geom.Vec) {
	d := dir.Unit()
	back := p.Sub(d.Scale(arrowLong))
	f.Fill(p, back.Add(d.Left().Scale(arrowHalf)), back.Sub(d.Left().Scale(arrowHalf)))
}

// dot adds the filled end of a leader that points at a surface.
func (f *figure) dot(p geom.Vec) {
	const sides = 12
	pts := make([]geom.Vec, sides)
	for i := range pts {
		pts[i] = p.Add(geom.Polar(dotRadius, 2*math.Pi*float64(i)/sides))
	}
	f.Fill(pts...)
}

// place adds all of g, moved by d.
func (f *figure) place(g *figure, d geom.Vec) { f.Place(&g.Figure, d) }
