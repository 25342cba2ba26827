package sheet

import (
	"math"

	"reseat/jig/geom"
)

// List is a finished sheet: what is drawn, in drawing order.
type List struct {
	Title string   // for the file's metadata; plain text
	Sheet string   // name of the sheet size, such as "A2"
	Size  geom.Vec // width and height of the paper, mm
	Frame geom.Box // all ink lies within it
	Items []Item
}

// Item is one mark on the paper: a Stroke, Circle, Fill or Text.
type Item interface {
	// Ink returns the box that the mark covers, line width included, in mm.
	// For Text it is an estimate on the safe side; see TextWidth.
	Ink() geom.Box
	shifted(d geom.Vec) Item
}

// Stroke is a line through vertices; a vertex's bulge curves the piece that
// leaves it, as in geom.Loop. The bulge of the last vertex counts only when the
// stroke is closed.
type Stroke struct {
	Pen    Pen
	Path   []geom.Vertex
	Closed bool
}

// Circle is a full circle, not filled.
type Circle struct {
	Pen Pen
	C   geom.Vec
	R   float64
}

// Fill is a polygon filled with black and not outlined: arrowheads and dots.
type Fill struct{ Points []geom.Vec }

// Anchor says which point of a text's baseline lies at its position.
type Anchor int

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Text is one line of upright sans-serif letters.
type Text struct {
	At     geom.Vec // on the baseline
	Height float64  // of the capital letters, mm (ISO 3098: nominal size)
	Anchor Anchor
	Angle  float64 // of the baseline; radians, counter-clockwise
	Bold   bool
	S      string
}

// pieces returns the stroke as edges.
func (s Stroke) pieces() []geom.Edge {
	n := len(s.Path)
	var out []geom.Edge
	for i := 0; i < n; i++ {
		if i == n-1 && !s.Closed {
			break
		}
		out = append(out, geom.Edge{P: s.Path[i].Vec, Q: s.Path[(i+1)%n].Vec, Bulge: s.Path[i].Bulge})
	}
	return out
}

// Ink implements Item.
func (s Stroke) Ink() geom.Box {
	b := geom.EmptyBox()
	for _, e := range s.pieces() {
		b = b.Union(e.Bounds())
	}
	return b.Grow(s.Pen.WidthMM / 2)
}

// Ink implements Item.
func (c Circle) Ink() geom.Box {
	return geom.Box{Min: c.C, Max: c.C}.Grow(c.R + c.Pen.WidthMM/2)
}

// Ink implements Item.
func (f Fill) Ink() geom.Box {
	b := geom.EmptyBox()
	for _, p := range f.Points {
		b = b.Include(p)
	}
	return b
}

// Ink implements Item.
func (t Text) Ink() geom.Box {
	w := TextWidth(t.S, t.Height)
	if t.Bold {
		w *= boldWider
	}
	x0 := 0.0
	switch t.Anchor {
	case Middle:
		x0 = -w / 2
	case End:
		x0 = -w
	}
	sin, cos := math.Sincos(t.Angle)
	if t.Angle == math.Pi/2 {
		sin, cos = 1, 0
	}
	b := geom.EmptyBox()
	for _, x := range [2]float64{x0, x0 + w} {
		for _, y := range [2]float64{-descent * t.Height, ascent * t.Height} {
			b = b.Include(t.At.Add(geom.Vec{X: cos*x - sin*y, Y: sin*x + cos*y}))
		}
	}
	return b
}

func (s Stroke) shifted(d geom.Vec) Item {
	path := make([]geom.Vertex, len(s.Path))
	for i, v := range s.Path {
		path[i] = geom.Vertex{Vec: v.Add(d), Bulge: v.Bulge}
	}
	s.Path = path
	return s
}

func (c Circle) shifted(d geom.Vec) Item {
	c.C = c.C.Add(d)
	return c
}

func (f Fill) shifted(d geom.Vec) Item {
	pts := make([]geom.Vec, len(f.Points))
	for i, p := range f.Points {
		pts[i] = p.Add(d)
	}
	return Fill{pts}
}

func (t Text) shifted(d geom.Vec) Item {
	t.At = t.At.Add(d)
	return t
}
