package sheet

import (
	"math"

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
type figure struct{ items []Item }

func (f *figure) add(it ...Item) { f.items = append(f.items, it...) }

func (f *figure) line(p Pen, pts ...geom.Vec) {
	path := make([]geom.Vertex, len(pts))
	for i, v := range pts {
		path[i].Vec = v
	}
	f.add(Stroke{Pen: p, Path: path})
}

func (f *figure) loop(p Pen, l geom.Loop) {
	if len(l) > 1 {
		f.add(Stroke{Pen: p, Path: append([]geom.Vertex(nil), l...), Closed: true})
	}
}

func (f *figure) circle(p Pen, c geom.Vec, r float64) { f.add(Circle{p, c, r}) }

func (f *figure) box(p Pen, b geom.Box) {
	f.loop(p, geom.Loop{{Vec: b.Min}, {Vec: geom.Vec{X: b.Max.X, Y: b.Min.Y}}, {Vec: b.Max}, {Vec: geom.Vec{X: b.Min.X, Y: b.Max.Y}}})
}

// text adds one horizontal line of letters.
func (f *figure) text(at geom.Vec, h float64, a Anchor, s string) {
	if s = plain(s); s != "" {
		f.add(Text{At: at, Height: h, Anchor: a, S: s})
	}
}

// heading adds bold letters.
func (f *figure) heading(at geom.Vec, h float64, s string) {
	f.add(Text{At: at, Height: h, Bold: true, S: plain(s)})
}

// arrow adds a filled head with its tip at p, pointing along dir.
func (f *figure) arrow(p, dir geom.Vec) {
	d := dir.Unit()
	back := p.Sub(d.Scale(arrowLong))
	f.add(Fill{[]geom.Vec{p, back.Add(d.Left().Scale(arrowHalf)), back.Sub(d.Left().Scale(arrowHalf))}})
}

// dot adds the filled end of a leader that points at a surface.
func (f *figure) dot(p geom.Vec) {
	const sides = 12
	pts := make([]geom.Vec, sides)
	for i := range pts {
		pts[i] = p.Add(geom.Polar(dotRadius, 2*math.Pi*float64(i)/sides))
	}
	f.add(Fill{pts})
}

// place adds all of g, moved by d.
func (f *figure) place(g *figure, d geom.Vec) {
	for _, it := range g.items {
		f.add(it.shifted(d))
	}
}

// ink returns the box that covers all items.
func (f *figure) ink() geom.Box {
	b := geom.EmptyBox()
	for _, it := range f.items {
		b = b.Union(it.Ink())
	}
	return b
}
