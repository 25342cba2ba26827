package view

import (
	"math"
	"slices"

	"reseat/export/picture"
	"reseat/jig/geom"
)

// Pens: edges, and what is added outside of everything. A seam closes the hairlines
// that renderers leave between areas.
var (
	penEdge   = picture.Pen{WidthMM: 0.18, Round: true}
	penAround = picture.Pen{WidthMM: 0.45, Round: true}
)

const seamMM = 0.1

// Greys of a side that is turned away from the light and of one that lies right in
// it; the lightest is not white, which is air. Chosen by eye.
const (
	darkestGrey  = 112
	lightestGrey = 252
	shades       = 9
)

// upward is the normal of tops.
var upward = [3]float64{0, 0, 1}

// grey gives a side its shade. The light comes over the eye's right shoulder, so
// that the top is lightest, the long side next and the start end darkest.
func grey(n [3]float64) picture.Colour {
	flat := geom.Vec{X: n[0], Y: n[1]}
	right, near := lateral(flat), nearness(flat)
	up, toward := n[2]*cosUp-near*sinUp, n[2]*sinUp+near*cosUp
	const r, u, t = 0.45, 0.60, 0.66 // chosen by eye
	cos := (r*right + u*up + t*toward) / math.Sqrt(r*r+u*u+t*t)
	step := math.Round((1 + cos) / 2 * (shades - 1))
	g := uint8(math.Round(darkestGrey + step*(lightestGrey-darkestGrey)/(shades-1)))
	return picture.Colour{g, g, g}
}

// ring puts points of the plan on the page, all at one height.
func (s *scene) ring(pts []geom.Vec, z float64) geom.Loop {
	out := make([]geom.Vec, len(pts))
	for i, p := range pts {
		out[i] = s.page(p, z)
	}
	return geom.FromPoints(out)
}

// silhouette lays a wide line under a layer, of which half stays to be seen.
func (s *scene) silhouette(l layer) {
	for _, w := range l.walls {
		s.Loop(penAround, geom.FromPoints(w.corners))
	}
	for _, r := range slices.Concat(l.tops...) {
		s.Loop(penAround, r)
	}
}

// paint puts a layer over what is there.
func (s *scene) paint(l layer) {
	for _, w := range l.ordered() {
		c := w.corners
		s.Add(picture.Fill{Loops: []geom.Loop{geom.FromPoints(c)}, Colour: grey(w.normal), SeamMM: seamMM})
		from, to := 1, 3
		if w.ends[0] {
			from = 0
		}
		if w.ends[1] {
			to = 4
		}
		s.Line(penEdge, []geom.Vec{c[3], c[0], c[1], c[2]}[from:to]...)
	}
	for _, t := range l.tops {
		s.Add(picture.Fill{Loops: t, Colour: grey(upward)})
		for _, r := range t {
			s.Loop(penEdge, r)
		}
	}
}

// letters paints a part's raised marks: outline, dark body, lighter top.
func (s *scene) letters(p Part) {
	for _, m := range p.Marks {
		var body, top []geom.Loop
		for _, stroke := range m.Strokes {
			for i, a := range stroke[:len(stroke)-1] {
				d := stroke[i+1].Sub(a)
				piece := s.flat(geom.Slot(a.Add(d.Scale(0.5)), math.Atan2(d.Y, d.X), d.Norm(), m.WidthMM), p.At, 2*flatMM)
				body, top = append(body, s.ring(piece, p.ThicknessMM)), append(top, s.ring(piece, m.LevelMM))
			}
		}
		body = append(body, top...)
		for _, l := range body {
			s.Loop(penEdge, l)
		}
		for _, l := range body {
			s.Add(picture.Fill{Loops: []geom.Loop{l}, Colour: picture.Colour{darkestGrey, darkestGrey, darkestGrey}})
		}
		for _, l := range top {
			s.Add(picture.Fill{Loops: []geom.Loop{l}, Colour: grey(upward)})
		}
	}
}
