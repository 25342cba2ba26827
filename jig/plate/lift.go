package plate

import (
	"math"

	"reseat/jig/geom"
)

// Finger reliefs are hollows in the window's long walls, opposite each other, at which
// finger and thumb take the board by its sides. They are some 22 mm wide and as deep as
// a fingertip. Common practice, no source.
var fingerRelief = hollow{depth: 9, radius: 9, lip: 2}

const (
	// liftStepMM is how far a relief is moved at a time to find it room.
	liftStepMM = 5.0
	// wallShare of a long wall stays straight at either end: there the board bears.
	wallShare = 0.2
)

// Lifted returns the window with a finger relief in each of its two long walls, as near
// their middle as clear accepts the whole, and the reliefs' station. It is not ok when no
// place is clear, or a cutter of radius rc does not go in.
func Lifted(window geom.Loop, rc float64, clear func(geom.Loop) bool) (lifted geom.Loop, station float64, ok bool) {
	if rc > fingerRelief.radius {
		return nil, 0, false
	}
	right, left := -1, -1 // the longest straight edges along +u and -u
	for i := range window {
		e := window.Edge(i)
		if d := e.Q.Sub(e.P); !e.IsArc() && math.Abs(d.X) > math.Abs(d.Y) {
			at := &right
			if d.X < 0 {
				at = &left
			}
			if *at < 0 || e.Length() > window.Edge(*at).Length() {
				*at = i
			}
		}
	}
	if right < 0 || left < 0 {
		return nil, 0, false
	}
	a, b := window.Edge(right), window.Edge(left)
	lo, hi := math.Max(a.P.X, b.Q.X), math.Min(a.Q.X, b.P.X)
	middle, most := (lo+hi)/2, (hi-lo)*(0.5-wallShare)-fingerRelief.half()
	along := func(e geom.Edge, u float64) float64 { return e.Length() * (u - e.P.X) / (e.Q.X - e.P.X) }
	for off := 0.0; off <= most; off += liftStepMM {
		for _, u := range []float64{middle + off, middle - off} {
			l := fingerRelief.into(window, max(right, left), -1, func(e geom.Edge) float64 { return along(e, u) })
			l = fingerRelief.into(l, min(right, left), -1, func(e geom.Edge) float64 { return along(e, u) })
			if clear(l) {
				return l, u, true
			}
		}
	}
	return nil, 0, false
}
