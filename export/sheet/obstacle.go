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

// chords returns the stroked centre line of an item as straight pieces; none
// for fills and texts.
func chords(it picture.Item) [][2]geom.Vec {
	var pts []geom.Vec
	switch it := it.(type) {
	case picture.Stroke:
		var out [][2]geom.Vec
		for _, e := range it.Edges() {
			if !e.IsArc() {
				out = append(out, [2]geom.Vec{e.P, e.Q})
				continue
			}
			a := e.Arc()
			n := geom.ArcSegments(a.R, math.Abs(a.Sweep), chordMM)
			for k := 0; k < n; k++ {
				out = append(out, [2]geom.Vec{a.At(float64(k) / float64(n)), a.At(float64(k+1) / float64(n))})
			}
		}
		return out
	case picture.Circle:
		n := max(8, geom.ArcSegments(it.R, 2*math.Pi, chordMM))
		for k := 0; k <= n; k++ {
			pts = append(pts, it.C.Add(geom.Polar(it.R, 2*math.Pi*float64(k)/float64(n))))
		}
	}
	var out [][2]geom.Vec
	for i := 1; i < len(pts); i++ {
		out = append(out, [2]geom.Vec{pts[i-1], pts[i]})
	}
	return out
}

// penWidth returns the width of an item's line, zero for fills and texts.
func penWidth(it picture.Item) float64 {
	switch it := it.(type) {
	case picture.Stroke:
		return it.Pen.WidthMM
	case picture.Circle:
		return it.Pen.WidthMM
	}
	return 0
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

// touch says how badly a box would sit on what is drawn already.
type touch int

const (
	free      touch = iota
	onNarrow        // crosses a narrow line
	forbidden       // meets a text, a filled mark or a wide line
)

// hit returns the worst that box b meets among items.
func hit(items []picture.Item, b geom.Box) touch {
	worst := free
	for _, it := range items {
		ink := it.Ink()
		if !overlap(ink, b) {
			continue
		}
		switch it.(type) {
		case picture.Text, picture.Fill:
			return forbidden
		}
		w := penWidth(it)
		grown := b.Grow(w / 2)
		for _, c := range chords(it) {
			if crosses(grown, c[0], c[1]) {
				if w >= picture.WideMM {
					return forbidden
				}
				worst = onNarrow
				break
			}
		}
	}
	return worst
}
