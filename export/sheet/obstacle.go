package sheet

import (
	"math"
	"slices"

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

// obstacle is an item as labels see it.
type obstacle struct {
	ink    geom.Box
	pieces [][2]geom.Vec // centre line as straight pieces; none for fills and texts
	width  float64       // of the pen, mm
}

func newObstacle(it picture.Item) obstacle {
	o := obstacle{ink: it.Ink()}
	var edges []geom.Edge
	switch it := it.(type) {
	case picture.Stroke:
		edges, o.width = it.Edges(), it.Pen.WidthMM
	case picture.Circle:
		round := picture.Stroke{Path: geom.Slot(it.C, 0, 0, 2*it.R), Closed: true}
		edges, o.width = round.Edges(), it.Pen.WidthMM
	}
	for _, e := range edges {
		if !e.IsArc() {
			o.pieces = append(o.pieces, [2]geom.Vec{e.P, e.Q})
			continue
		}
		a := e.Arc()
		n := geom.ArcSegments(a.R, math.Abs(a.Sweep), chordMM)
		for k := range n {
			o.pieces = append(o.pieces, [2]geom.Vec{a.At(float64(k) / float64(n)), a.At(float64(k+1) / float64(n))})
		}
	}
	return o
}

// under reports whether the centre line of the item passes under a box, the pen's
// width counted.
func (o obstacle) under(b geom.Box) bool {
	b = b.Grow(o.width / 2)
	return overlap(o.ink, b) && slices.ContainsFunc(o.pieces, func(p [2]geom.Vec) bool { return crosses(b, p[0], p[1]) })
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
	for _, o := range f.obstacles() {
		switch solid := len(o.pieces) == 0; {
		case solid && overlap(o.ink, b), o.width >= picture.WideMM && o.under(b):
			return forbidden
		case worst == free && o.under(b):
			worst = onNarrow
		}
	}
	return worst
}
