package picture

import (
	"reseat/jig/geom"
)

// Picture is a finished drawing.
type Picture struct {
	Title string   // for the file's metadata
	Size  geom.Vec // width and height of the paper, mm
	Figure
}

// Item is one mark on the paper: a Stroke, Circle, Fill or Text.
type Item interface {
	// Ink returns the box that the mark covers, line width included, in mm.
	// For Text it is an estimate on the safe side; see TextWidth.
	Ink() geom.Box
	// Shifted returns the mark moved by d.
	Shifted(d geom.Vec) Item
}

// Stroke is a line through vertices; a vertex's bulge curves the piece that
// leaves it, as in geom.Loop. The bulge of the last vertex counts only when the
// stroke is closed.
type Stroke struct {
	Pen    Pen
	Path   geom.Loop
	Closed bool
}

// Circle is a full circle, not filled.
type Circle struct {
	Pen Pen
	C   geom.Vec
	R   float64
}

// Fill is an area of one colour between closed contours (even-odd): arrowheads,
// dots, faces.
type Fill struct {
	Loops  []geom.Loop
	Colour Colour
	// SeamMM is the width of a stroke in the fill's own colour round it, which
	// closes the hairlines that renderers leave between neighbours. Ink leaves
	// it out.
	SeamMM float64
}

// Colour is red, green and blue; the zero value is black.
type Colour [3]uint8

// Anchor says which point of a text's baseline lies at its position.
type Anchor int

// The anchors.
const (
	Start Anchor = iota
	Middle
	End
)

// Text is one line of upright sans-serif letters, black.
type Text struct {
	At     geom.Vec // on the baseline
	Height float64  // of the capital letters, mm (ISO 3098: nominal size)
	Anchor Anchor
	Angle  float64 // of the baseline; radians, counter-clockwise
	Bold   bool
	S      string
}

// Edges returns the stroke's pieces in order.
func (s Stroke) Edges() []geom.Edge {
	n := len(s.Path)
	if !s.Closed {
		n--
	}
	var out []geom.Edge
	for i := 0; i < n; i++ {
		out = append(out, s.Path.Edge(i))
	}
	return out
}

// Ink implements Item.
func (s Stroke) Ink() geom.Box {
	b := geom.EmptyBox()
	for _, e := range s.Edges() {
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
	for _, l := range f.Loops {
		b = b.Union(l.Bounds())
	}
	return b
}

// Ink implements Item.
func (t Text) Ink() geom.Box {
	w := TextWidth(t.S, t.Height)
	if t.Bold {
		w *= BoldWider
	}
	x0 := 0.0
	switch t.Anchor {
	case Middle:
		x0 = -w / 2
	case End:
		x0 = -w
	}
	turn := geom.Rigid{Angle: t.Angle, Shift: t.At}
	b := geom.EmptyBox()
	for _, x := range [2]float64{x0, x0 + w} {
		for _, y := range [2]float64{-Descent * t.Height, Ascent * t.Height} {
			b = b.Include(turn.Apply(geom.Vec{X: x, Y: y}))
		}
	}
	return b
}

// Shifted implements Item.
func (s Stroke) Shifted(d geom.Vec) Item {
	s.Path = geom.Rigid{Shift: d}.Loop(s.Path)
	return s
}

// Shifted implements Item.
func (c Circle) Shifted(d geom.Vec) Item {
	c.C = c.C.Add(d)
	return c
}

// Shifted implements Item.
func (f Fill) Shifted(d geom.Vec) Item {
	loops := make([]geom.Loop, len(f.Loops))
	for i, l := range f.Loops {
		loops[i] = geom.Rigid{Shift: d}.Loop(l)
	}
	f.Loops = loops
	return f
}

// Shifted implements Item.
func (t Text) Shifted(d geom.Vec) Item {
	t.At = t.At.Add(d)
	return t
}

// Figure collects items, in drawing order.
type Figure struct{ Items []Item }

// Add appends items.
func (f *Figure) Add(it ...Item) { f.Items = append(f.Items, it...) }

// Line draws straight pieces through points.
func (f *Figure) Line(p Pen, pts ...geom.Vec) { f.Add(Stroke{Pen: p, Path: geom.FromPoints(pts)}) }

// Loop draws a closed contour; nothing when it has fewer than two corners.
func (f *Figure) Loop(p Pen, l geom.Loop) {
	if len(l) > 1 {
		f.Add(Stroke{Pen: p, Path: l, Closed: true})
	}
}

// Box draws a rectangle.
func (f *Figure) Box(p Pen, b geom.Box) { f.Loop(p, geom.Rect(b)) }

// Circle draws a circle.
func (f *Figure) Circle(p Pen, c geom.Vec, r float64) { f.Add(Circle{p, c, r}) }

// Fill fills the polygon through the points with black.
func (f *Figure) Fill(pts ...geom.Vec) { f.Add(Fill{Loops: []geom.Loop{geom.FromPoints(pts)}}) }

// Text writes one horizontal line of letters; nothing when Plain leaves none.
func (f *Figure) Text(at geom.Vec, h float64, a Anchor, s string) {
	if s = Plain(s); s != "" {
		f.Add(Text{At: at, Height: h, Anchor: a, S: s})
	}
}

// Place adds all of g, moved by d.
func (f *Figure) Place(g *Figure, d geom.Vec) {
	for _, it := range g.Items {
		f.Add(it.Shifted(d))
	}
}
