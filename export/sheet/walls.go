package sheet

import (
	"math"

	"reseat/jig/geom"
)

// walls are the corners of a board or a window, reliefs and roundings left out.
type walls struct{ startRight, startLeft, farRight, farLeft geom.Vec }

// findWalls draws out the longest straight edge on each side of a contour to where
// they meet, so that lengths and widths are measured from wall to wall. It fails when
// a side has none.
func findWalls(l geom.Loop) (walls, bool) {
	if l.Area() < 0 {
		l = l.Reverse()
	}
	var sides [4]geom.Edge // right, far, left, start
	for i := range l {
		e := l.Edge(i)
		if e.IsArc() {
			continue
		}
		// A side is less than 45 degrees off its axis, an end the rest: every edge
		// counts once, and a side is never parallel to an end.
		k, d := 3, e.Q.Sub(e.P)
		switch {
		case math.Abs(d.Y) < math.Abs(d.X) && d.X > 0:
			k = 0
		case math.Abs(d.Y) < math.Abs(d.X):
			k = 2
		case d.Y > 0:
			k = 1
		}
		if d.Norm() > sides[k].Length() {
			sides[k] = e
		}
	}
	for _, e := range sides {
		if e.P == e.Q {
			return walls{}, false
		}
	}
	right, far, left, start := sides[0], sides[1], sides[2], sides[3]
	return walls{meet(start, right), meet(start, left), meet(far, right), meet(far, left)}, true
}

// meet returns the intersection of the lines through two straight edges.
func meet(a, b geom.Edge) geom.Vec {
	da, db := a.Q.Sub(a.P), b.Q.Sub(b.P)
	return a.P.Add(da.Scale(b.P.Sub(a.P).Cross(db) / da.Cross(db)))
}

// length is the distance between the middles of the ends along the datum line.
func (w walls) length() float64 {
	return (w.farLeft.X + w.farRight.X - w.startLeft.X - w.startRight.X) / 2
}
