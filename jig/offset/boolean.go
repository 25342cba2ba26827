package offset

import (
	"math"

	"reseat/jig/geom"
)

// Centres returns where the middle of a round cutter of radius r may go without cutting
// beyond the region.
func Centres(region []geom.Loop, r float64) []geom.Loop { return Grow(region, -r, Round) }

// Union returns the region that lies in any of the simple counter-clockwise contours.
func Union(contours ...geom.Loop) []geom.Loop {
	pieces, in := piecesOf(contours)
	return join(pieces, func(p geom.Vec) bool {
		for _, l := range in {
			if l.Depth(p) > validTol {
				return false
			}
		}
		return true
	})
}

// Subtract returns the part of what a contour bounds that lies in none of others; all are simple and
// counter-clockwise.
func Subtract(contour geom.Loop, others ...geom.Loop) []geom.Loop {
	pieces, in := piecesOf([]geom.Loop{contour})
	away, out := piecesOf(others)
	for i := range away {
		e := away[i].Edge
		away[i] = newPiece(geom.Edge{P: e.Q, Q: e.P, Bulge: -e.Bulge})
	}
	return join(append(pieces, away...), func(p geom.Vec) bool {
		for _, l := range out {
			if l.Depth(p) > validTol {
				return false
			}
		}
		return in[0].Depth(p) >= -validTol
	})
}

// Nearest returns the point of the contours that lies nearest to p, and how far; the
// first of several. Without contours it is infinitely far.
func Nearest(region []geom.Loop, p geom.Vec) (at geom.Vec, distance float64) {
	distance = math.Inf(1)
	for _, l := range region {
		for i := range l {
			e := l.Edge(i)
			if d := e.Distance(p); d < distance {
				at, distance = e.At(e.Along(p)), d
			}
		}
	}
	return at, distance
}
