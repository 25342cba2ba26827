package block

import (
	"math"

	"reseat/export/picture"
	"reseat/jig/geom"
)

// Letter heights in millimetres, from the series of ISO 3098 (2.5, 3.5, 5).
const (
	Small  = 2.5 // tables, notes, dimensions
	Middle = 3.5 // ids, headings
	Large  = 5.0 // the title
)

// LineGap is the distance between two lines of text in heights of a capital:
// 1.6 keeps the boxes of neighbouring lines apart (ascent + descent = 1.44).
const LineGap = 1.6

// Arrowheads and gaps in millimetres. ISO 129-1 leaves them to the drawing as
// long as they are uniform; a narrow filled head of 15 degrees is one of its
// terminators.
const (
	ArrowLong = 3.0
	arrowHalf = 0.4 // half the width at the back: 15 degrees in all
	DotRadius = 0.5 // leader that ends inside a surface
)

// PenFilm draws a film, which is too thin to be drawn to scale.
var PenFilm = func() picture.Pen {
	p := picture.PenOutline
	p.WidthMM *= 1.4
	return p
}()

// Figure collects items in a frame of its own before it finds its place.
type Figure struct {
	picture.Figure
	found []Obstacle // of the first items; see Obstacles
}

// Obstacles returns what each item is to others. Items are only ever added.
func (f *Figure) Obstacles() []Obstacle {
	for _, it := range f.Items[len(f.found):] {
		f.found = append(f.found, NewObstacle(it))
	}
	return f.found
}

// Ink returns the box that covers all items.
func (f *Figure) Ink() geom.Box {
	b := geom.EmptyBox()
	for _, o := range f.Obstacles() {
		b = b.Union(o.Ink)
	}
	return b
}

// Heading adds bold letters.
func (f *Figure) Heading(at geom.Vec, h float64, s string) {
	f.Add(picture.Text{At: at, Height: h, Bold: true, S: picture.Plain(s)})
}

// Arrow adds a filled head with its tip at p, pointing along dir.
func (f *Figure) Arrow(p, dir geom.Vec) {
	d := dir.Unit()
	back := p.Sub(d.Scale(ArrowLong))
	f.Fill(p, back.Add(d.Left().Scale(arrowHalf)), back.Sub(d.Left().Scale(arrowHalf)))
}

// Dot adds the filled end of a leader that points at a surface.
func (f *Figure) Dot(p geom.Vec) {
	const sides = 12
	pts := make([]geom.Vec, sides)
	for i := range pts {
		pts[i] = p.Add(geom.Polar(DotRadius, 2*math.Pi*float64(i)/sides))
	}
	f.Fill(pts...)
}
