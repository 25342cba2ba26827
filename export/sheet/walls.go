package sheet

import (
	"math"

	"reseat/jig/geom"
)

// walls are the four long straight sides of a board or a window.
type walls struct{ start, far, left, right geom.Edge }

// sideSlope is the largest slope of a side against its axis for which it still
// counts as that side: 45 degrees, so that every straight edge counts once.
const sideSlope = 1.0

// findWalls picks the longest straight edge on each side of a contour. Corner reliefs
// and rounded corners are left out, so that lengths and widths are measured from wall
// to wall. It fails when a side has none.
func findWalls(l geom.Loop) (walls, bool) {
	if l.Area() < 0 {
		l = l.Reverse()
	}
	var w walls
	var long [4]float64
	for i := range l {
		e := l.Edge(i)
		if e.IsArc() {
			continue
		}
		d := e.Q.Sub(e.P)
		k, side := 3, &w.start // runs down: the start end
		switch {
		case math.Abs(d.Y) < sideSlope*math.Abs(d.X) && d.X > 0:
			k, side = 0, &w.right
		case math.Abs(d.Y) < sideSlope*math.Abs(d.X):
			k, side = 1, &w.left
		case d.Y > 0:
			k, side = 2, &w.far
		}
		if n := d.Norm(); n > long[k] {
			long[k], *side = n, e
		}
	}
	for _, n := range long {
		if n == 0 {
			return walls{}, false
		}
	}
	return w, true
}

// corners returns where the walls meet when drawn out: right and left at the
// start, right and left at the far end.
func (w walls) corners() (sr, sl, fr, fl geom.Vec, ok bool) {
	var oks [4]bool
	sr, oks[0] = meet(w.start, w.right)
	sl, oks[1] = meet(w.start, w.left)
	fr, oks[2] = meet(w.far, w.right)
	fl, oks[3] = meet(w.far, w.left)
	return sr, sl, fr, fl, oks[0] && oks[1] && oks[2] && oks[3]
}

// meet returns the intersection of the lines through two straight edges; false
// when they are parallel.
func meet(a, b geom.Edge) (geom.Vec, bool) {
	da, db := a.Q.Sub(a.P), b.Q.Sub(b.P)
	den := da.Cross(db)
	// Below this sine the lines are parallel as far as a drawing can tell: they
	// would meet further off than a thousand times their length.
	const parallel = 1e-3
	if math.Abs(den) < parallel*da.Norm()*db.Norm() {
		return geom.Vec{}, false
	}
	t := b.P.Sub(a.P).Cross(db) / den
	return a.P.Add(da.Scale(t)), true
}

// length is the distance between the end walls along the datum line.
func (w walls) length() float64 {
	return w.far.P.Lerp(w.far.Q, 0.5).X - w.start.P.Lerp(w.start.Q, 0.5).X
}
