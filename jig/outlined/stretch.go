package outlined

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/geom"
)

// Stretch is a straight part of one side of an outline, left or right, where nothing of the
// board lies farther out: v = VMM + Slope u from one station to another.
type Stretch struct{ FromMM, ToMM, VMM, Slope float64 }

const (
	// chordMM is how closely an arc beside a stretch is followed, and what may lie over its very
	// ends: far below what a touch tells.
	chordMM = 0.01
	// LeastStretchMM is the shortest stretch that a touch is offered on: shorter, and a board
	// aside is touched beside it. Common practice, no source.
	LeastStretchMM = 10.0
	// mostSlope of a stretch that still counts as a side: steeper, it tells along more than
	// across. 45 degrees. Practice.
	mostSlope = 1.0
)

// Stretches lists the straight parts of the left or right side, in the order of u.
func Stretches(outline geom.Loop, left bool) (out []Stretch) {
	for i := range outline {
		e := outline.Edge(i)
		// Counter-clockwise the left side runs towards the start end.
		d := e.Q.Sub(e.P)
		if e.IsArc() || (d.X < 0) != left || math.Abs(d.Y) > mostSlope*math.Abs(d.X) || math.Abs(d.X) < LeastStretchMM {
			continue
		}
		s := Stretch{FromMM: math.Min(e.P.X, e.Q.X), ToMM: math.Max(e.P.X, e.Q.X), Slope: d.Y / d.X}
		s.VMM = e.P.Y - float64(s.Slope*e.P.X)
		if outermost(outline, i, e) {
			out = append(out, s)
		}
	}
	slices.SortStableFunc(out, func(a, b Stretch) int { return cmp.Compare(a.FromMM, b.FromMM) })
	return out
}

// outermost reports whether nothing of the outline lies outside an edge beside its length.
func outermost(outline geom.Loop, i int, e geom.Edge) bool {
	along, length := e.Q.Sub(e.P).Unit(), e.Length()
	for k := range outline {
		if k == i {
			continue
		}
		pts := geom.Loop{outline[k], {Vec: outline.Edge(k).Q}}.Flatten(chordMM)
		for n, q := range pts[1:] {
			p := pts[n].Sub(e.P)
			d := q.Sub(pts[n])
			// The part of the chord that lies beside the edge.
			from, to := p.Dot(along), p.Dot(along)+d.Dot(along)
			lo, hi := math.Max(0, math.Min(from, to)), math.Min(length, math.Max(from, to))
			for _, at := range []float64{lo, hi} {
				at := p.Add(d.Scale((at - from) / (to - from)))
				if hi > lo+chordMM && at.Cross(along) > chordMM {
					return false
				}
			}
		}
	}
	return true
}

// At is the place of the stretch's line at a station.
func (s Stretch) At(u float64) geom.Vec { return geom.Vec{X: u, Y: s.VMM + float64(s.Slope*u)} }

// Covers reports whether a station lies on the stretch by at least room from its ends.
func (s Stretch) Covers(u, room float64) bool { return u >= s.FromMM+room && u <= s.ToMM-room }

// ListStretches lists stretches for a message.
func ListStretches(all []Stretch) string {
	var out []string
	for _, s := range all {
		out = append(out, fmt.Sprintf("u %.1f to %.1f", s.FromMM, s.ToMM))
	}
	return strings.Join(out, ", ")
}

// SquareStart is the range of v over which the start end is straight and square to the datum
// line; ok is false where it is not.
func SquareStart(outline geom.Loop) (from, to float64, ok bool) {
	for i := range outline {
		e := outline.Edge(i)
		at := math.Max(math.Abs(e.P.X), math.Abs(e.Q.X))
		if !e.IsArc() && at <= squareMM && e.Length() >= LeastStretchMM && e.Length() > to-from {
			from, to, ok = math.Min(e.P.Y, e.Q.Y), math.Max(e.P.Y, e.Q.Y), true
		}
	}
	return from, to, ok
}

// squareMM is how far off u = 0 a square start end may lie: the rounded digit of a drawing.
const squareMM = 0.01
