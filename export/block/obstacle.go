package block

import (
	"math"
	"slices"

	"reseat/export/picture"
	"reseat/jig/geom"
)

// ChordMM is how far a chord may leave its arc when lines are tested against
// text boxes; a tenth of the narrowest line, so it cannot be seen.
const ChordMM = 0.025

// Overlap reports whether two boxes share more than an edge.
func Overlap(a, b geom.Box) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

// Within reports whether b lies in outer.
func Within(outer, b geom.Box) bool { return outer.Contains(b.Min) && outer.Contains(b.Max) }

// Obstacle is an item as labels see it.
type Obstacle struct {
	Ink    geom.Box
	Pieces [][2]geom.Vec // centre line as straight pieces; none for fills and texts
	Width  float64       // of the pen, mm
}

// NewObstacle returns what an item is to others.
func NewObstacle(it picture.Item) Obstacle {
	o := Obstacle{Ink: it.Ink()}
	var edges []geom.Edge
	switch it := it.(type) {
	case picture.Stroke:
		edges, o.Width = it.Edges(), it.Pen.WidthMM
	case picture.Circle:
		round := picture.Stroke{Path: geom.Slot(it.C, 0, 0, 2*it.R), Closed: true}
		edges, o.Width = round.Edges(), it.Pen.WidthMM
	}
	for _, e := range edges {
		if !e.IsArc() {
			o.Pieces = append(o.Pieces, [2]geom.Vec{e.P, e.Q})
			continue
		}
		a := e.Arc()
		n := geom.ArcSegments(a.R, math.Abs(a.Sweep), ChordMM)
		for k := range n {
			o.Pieces = append(o.Pieces, [2]geom.Vec{a.At(float64(k) / float64(n)), a.At(float64(k+1) / float64(n))})
		}
	}
	return o
}

// PassesUnder reports whether the centre line of the item passes under a box, the pen's
// width counted.
func (o Obstacle) PassesUnder(b geom.Box) bool {
	b = b.Grow(o.Width / 2)
	return Overlap(o.Ink, b) && slices.ContainsFunc(o.Pieces, func(p [2]geom.Vec) bool { return Crosses(b, p[0], p[1]) })
}

// Crosses reports whether the segment pq passes through the box.
func Crosses(b geom.Box, p, q geom.Vec) bool {
	if max(p.X, q.X) <= b.Min.X || min(p.X, q.X) >= b.Max.X || max(p.Y, q.Y) <= b.Min.Y || min(p.Y, q.Y) >= b.Max.Y {
		return false
	}
	s := ClipSegment(b, p, q)
	return s.Lo < s.Hi
}

// ClipSegment returns the range of the segment pq, 0 to 1, that lies in the box;
// lo >= hi when none does.
//
// It clips the segment's parameter against the four sides in turn (Liang and
// Barsky 1984).
func ClipSegment(b geom.Box, p, q geom.Vec) Span {
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
				return Span{1, 0}
			}
		case den < 0:
			t0 = max(t0, dist/den)
		default:
			t1 = min(t1, dist/den)
		}
	}
	return Span{t0, t1}
}

// chord returns the range of the segment pq, 0 to 1, that lies in a circle;
// lo >= hi when none does:
//
//	|p + t d - c|^2 = r^2,  d = q - p,  0 <= t <= 1
func chord(c geom.Vec, r float64, p, q geom.Vec) Span {
	d, m := q.Sub(p), p.Sub(c)
	a, b := d.Dot(d), m.Dot(d)
	disc := b*b - a*(m.Dot(m)-r*r)
	if a == 0 || disc <= 0 {
		return Span{1, 0}
	}
	root := math.Sqrt(disc)
	return Span{math.Max(0, (-b-root)/a), math.Min(1, (-b+root)/a)}
}

// Clash says how badly a box would sit on what is drawn already.
type Clash int

const (
	Free      Clash = iota
	OnNarrow        // crosses a narrow line
	Forbidden       // meets a text, a filled mark or a wide line
)

// WorstClash returns the worst that box b meets.
func (f *Figure) WorstClash(b geom.Box) Clash {
	worst := Free
	for _, o := range f.Obstacles() {
		switch solid := len(o.Pieces) == 0; {
		case solid && Overlap(o.Ink, b), o.Width >= picture.WideMM && o.PassesUnder(b):
			return Forbidden
		case worst == Free && o.PassesUnder(b):
			worst = OnNarrow
		}
	}
	return worst
}
