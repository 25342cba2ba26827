package offset

import (
	"math"

	"reseat/jig/geom"
)

// Centres returns where the middle of a round cutter of radius r may go without cutting
// beyond the region.
func Centres(region []geom.Loop, r float64) []geom.Loop { return Of(region, -r, Round) }

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
