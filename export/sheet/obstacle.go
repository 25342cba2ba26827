package sheet

import (
	"math"

	"reseat/export/picture"
	"reseat/jig/geom"
)

// chordMM is how far a chord may leave its arc when lines are tested against
// text boxes; a tenth of the narrowest line, so it cannot be seen.
const chordMM = 0.025

// overlap reports whether two boxes share more than an edge.
func overlap(a, b geom.Box) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

// within reports whether b lies in outer.
func within(outer, b geom.Box) bool { return outer.Contains(b.Min) && outer.Contains(b.Max) }

// lines returns the centre line of an item as straight pieces and the pen's width;
// none for fills and texts.
func lines(it picture.Item) (pieces [][2]geom.Vec, width float64) {
	var edges []geom.Edge
	switch it := it.(type) {
	case picture.Stroke:
		edges, width = it.Edges(), it.Pen.WidthMM
	case picture.Circle:
		round := picture.Stroke{Path: geom.Slot(it.C, 0, 0, 2*it.R), Closed: true}
		edges, width = round.Edges(), it.Pen.WidthMM
	}
	for _, e := range edges {
		if !e.IsArc() {
			pieces = append(pieces, [2]geom.Vec{e.P, e.Q})
			continue
		}
		a := e.Arc()
		n := geom.ArcSegments(a.R, math.Abs(a.Sweep), chordMM)
		for k := range n {
			pieces = append(pieces, [2]geom.Vec{a.At(float64(k) / float64(n)), a.At(float64(k+1) / float64(n))})
		}
	}
	return pieces, width
}

// crosses reports whether the segment pq passes through the box.
func crosses(b geom.Box, p, q geom.Vec) bool {
	s := inside(b, p, q)
	return s.lo < s.hi
}

// inside returns the range of the segment pq, 0 to 1, that lies in the box;
// lo >= hi when none does.
//
// It clips the segment's parameter against the four sides in turn (Liang and
// Barsky 1984).
func inside(b geom.Box, p, q geom.Vec) span {
	t0, t1 := 0.0, 1.0
	d := q.Sub(p)
	for _, s := range [4][2]float64{
		{-d.X, p.X - b.Min.X},
		{d.X, b.Max.X - p.X},
		{-d.Y, p.Y - b.Min.Y},
		{d.Y, b.Max.Y - p.Y},
	} {
		switch den, dist := s[0], s[1]; {
		case den == 0:
			if dist <= 0 {
				return span{1, 0}
			}
		case den < 0:
			t0 = math.Max(t0, dist/den)
		default:
			t1 = math.Min(t1, dist/den)
		}
	}
	return span{t0, t1}
}

// chord returns the range of the segment pq, 0 to 1, that lies in a circle;
// lo >= hi when none does:
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

// touch says how badly a box would sit on what is drawn already.
type touch int

const (
	free      touch = iota
	onNarrow        // crosses a narrow line
	forbidden       // meets a text, a filled mark or a wide line
)

// hit returns the worst that box b meets.
func (f *figure) hit(b geom.Box) touch {
	worst := free
	for i, ink := range f.inks() {
		if !overlap(ink, b) {
			continue
		}
		switch f.Items[i].(type) {
		case picture.Text, picture.Fill:
			return forbidden
		}
		pieces, width := lines(f.Items[i])
		grown := b.Grow(width / 2)
		for _, c := range pieces {
			if crosses(grown, c[0], c[1]) {
				if width >= picture.WideMM {
					return forbidden
				}
				worst = onNarrow
				break
			}
		}
	}
	return worst
}
